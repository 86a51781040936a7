"""Lesson 07: answers to try."""

from __future__ import annotations

from tests.teach.keys.key import Key

KEYS = {
    "beaten": Key(wrong=("no", "NO"), right=("yes", " Yes")),
    "who_goes": Key(wrong=("11", "3"), right=("6", " 6")),
    "runs_back": Key(wrong=("6", "7"), right=("11", 9)),
    "run_home": Key(wrong=((13, 28), (9, 30)), right=((3.5, 16.5), (2, 17.5))),
    "which_side": Key(wrong=("left", "LEFT"), right=("right", " Right")),
    "how_long": Key(wrong=(1, "7 s"), right=(3.5, "3 s")),
    "full_back": Key(wrong=("stay", "wait"), right=("go", " Go")),
    "and_now": Key(wrong=("go", "wait"), right=("stay", "STAY")),
}
