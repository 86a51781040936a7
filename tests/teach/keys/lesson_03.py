"""Lesson 03: answers to try."""

from __future__ import annotations

from tests.teach.keys.key import Key

KEYS = {
    "which_side": Key(wrong=("left", "LEFT"), right=("right", " Right")),
    "other_side": Key(wrong=("left", "LEFT"), right=("right", " Right")),
    "what_angle": Key(wrong=(30, "90 degrees"), right=(65, "75 degrees")),
    "who_is_hidden": Key(wrong=("6", "5"), right=("8", 2)),
    "end_spot": Key(wrong=((33.8, 12.8), (30, 8)), right=((35.1, 11.5), (34.9, 11.2))),
    "near_goal": Key(wrong=("curved", "round"), right=("straight", "Straight")),
}
