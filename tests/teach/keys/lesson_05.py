"""Lesson 05: answers to try."""

from __future__ import annotations

from tests.teach.keys.key import Key

KEYS = {
    "which_gap": Key(wrong=("7-8", "7-8, 8-9"), right=("8-9", "9 - 8")),
    "how_wide": Key(wrong=(25, "2 m"), right=(8, "7 m")),
    "who_drops": Key(wrong=("11", "8"), right=("6", 6)),
    "drop_spot": Key(wrong=((12, 14), (2, -12)), right=((7, 13), (6.4, 12.4))),
    "how_far_in": Key(wrong=(17, "3 m"), right=(12, "10.5 m")),
}
