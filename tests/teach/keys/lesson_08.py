"""Lesson 08: answers to try."""

from __future__ import annotations

from tests.teach.keys.key import Key

KEYS = {
    "to_spare": Key(wrong=("0", 2), right=("1", 1)),
    "short": Key(wrong=("1", 3), right=("2", 2)),
    "who_keeps_four": Key(wrong=("denied", "free"), right=("shadow", " Shadow")),
    "way_out": Key(wrong=("8", 4), right=("2", 2)),
    "wing_back": Key(wrong=((-7, 24), (16, 29)), right=((9, 27), (8, 28))),
    "best_shape": Key(wrong=("4-4-2", "3-5-2"), right=("4-3-3", " 4-3-3 ")),
    "winger_takes": Key(wrong=("7", 8), right=("2", 2)),
    "in_the_middle": Key(wrong=("4-3-3", "3-5-2"), right=("4-4-2", " 4-4-2 ")),
}
