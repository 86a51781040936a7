"""Lesson 02: answers to try."""

from __future__ import annotations

from tests.teach.keys.key import Key

KEYS = {
    "nearest": Key(wrong=("10", "11"), right=("9", 9)),
    "in_order": Key(wrong=("10, 9, 11, 7", "9, 10"), right=("9, 10, 11, 7", [9, 10, 11, 7])),
    "stop_clock": Key(wrong=(2, "8 m"), right=(5, "4,5 m")),
    "where_to_brake": Key(wrong=(2, 15), right=(5.5, "7 m")),
    "in_time": Key(wrong=("in time", "hold"), right=("late", "Late")),
    "how_far_off": Key(wrong=(2, "12 m"), right=(5, "6,5 m")),
    "where_he_ends": Key(wrong=((27, 29), (23, 26)), right=((25, 27.9), (24.8, 28.2))),
}
