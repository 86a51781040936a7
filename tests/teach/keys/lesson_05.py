"""Lesson 05: answers to try."""

from __future__ import annotations

from tests.teach.keys.key import Key

KEYS = {
    "gap": Key(wrong=("7-8", "7-8, 8-9"), right=("8-9", "9 - 8")),
    "wide": Key(wrong=(25, "2 m"), right=(8, "7 m")),
    "who_drops": Key(wrong=("11", "8"), right=("6", 6)),
    "hunt": Key(wrong=("9-10", "9-10 and 9-11"), right=("9-10, 7-10", "10-7 and 10-9")),
    "repair": Key(wrong=({"10": (20, -8), "7": (22, -16)}, {"6": (11, -14), "8": (12, 8), "11": (22, 18)}),
                  right=({"6": (11, -14), "8": (12, 8)}, {"6": (18, -14), "8": (15, 6)})),
    "lanes": Key(wrong=({"11": (17, 29)}, {"6": (31, 15), "9": (32, 16), "11": (32, 20)}),
                       right=({"6": (12, 17), "9": (19, 6), "11": (16, 29)},
                              {"6": (19, 6), "9": (12, 17), "11": (21, 28)})),
    "far_side": Key(wrong=(17, "3 m"), right=(12, "10.5 m")),
}
