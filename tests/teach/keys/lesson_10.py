"""Lesson 10: answers to try."""

from __future__ import annotations

from tests.teach.keys.key import Key

KEYS = {
    "one_answer": Key(wrong=((25, 5.1), {"10": (25.2, 5)}), right=((20, 6), {"10": (29, 3)})),
    "mark_three": Key(wrong=("6", "their 8"), right=("10", " 10 ")),
    "teach_again": Key(wrong=("Who goes", "Where does the cover stand"), right=("To which side", "to which side")),
    "whose_claim": Key(wrong=("Dan", "Ada"), right=("Gus", "gus ")),
    "counter_case": Key(wrong=("A", "C"), right=("B", "b")),
}
