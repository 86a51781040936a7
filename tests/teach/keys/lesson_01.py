"""Lesson 01: answers to try."""

from __future__ import annotations

from tests.teach.keys.key import Key

KEYS = {
    "whose_ball": Key(wrong=("8", 6), right=("10", 10)),
    "whose_man": Key(wrong=("8", "10"), right=("6", 6)),
    "how_far": Key(wrong=(2, "16 m"), right=(6, "12,5 m")),
    "ten_to_b": Key(wrong=(9, "20 m"), right=(15, "12,5 m")),
    "ten_to_c": Key(wrong=(1, 13), right=(9, "4 m")),
    "the_ends": Key(wrong=({"2": (-4, -25)}, {"2": (-5, -18), "3": (-5, 4)}),
                    right=({"2": (-5, -26), "3": (-5, 8)}, {2: (-6, -24.5), 3: (-5.5, 5)})),
    "what_wrong": Key(wrong=("broken line", "two press one ball"), right=("block too long", "Block too long")),
}
