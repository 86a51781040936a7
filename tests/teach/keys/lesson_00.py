"""Lesson 00: answers to try."""

from __future__ import annotations

from tests.teach.keys.key import Key

KEYS = {
    "who_goes": Key(wrong=("3", 8), right=("11", 11)),
    "stays_out": Key(wrong=("11", 8), right=("7", 7)),
    "which_side": Key(wrong=("left", " LEFT"), right=("right", "Right ")),
    "place_the_cover": Key(wrong=((12, -9), (24, -5.5)), right=((20, -9), (28, -10.7))),
    "the_switch": Key(wrong=("9", "8"), right=("7", 7)),
}
