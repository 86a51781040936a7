"""Lesson 04: answers to try."""

from __future__ import annotations

from tests.teach.keys.key import Key

KEYS = {
    "covers": Key(wrong=("8", 11), right=("6", 6)),
    "no_cover": Key(wrong=("6", 8), right=("1", 4)),
    "two_covers": Key(wrong=({"10": (30, 8), "11": (30, 12)}, {"10": (24, 3), "11": (29, 12)}),
                      right=({"10": (24, 2.4), "11": (26, 26)}, {"10": (20.5, 1), "11": (25, 28)})),
    "how_near": Key(wrong=(25, "0.2 m"), right=(6, "5 m")),
    "high_up": Key(wrong=(4, "14 m"), right=(8, "7 m")),
    "home": Key(wrong=(8, 1), right=(4, "3 m")),
    "who_next": Key(wrong=("9", 8), right=("6", 6)),
}
