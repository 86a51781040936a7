"""Lesson 11: answers to try."""

from __future__ import annotations

from pressinglib.field.situation import Situation
from pressinglib.teach.rule_questions import always_inside, always_outside, the_nearest
from tests.teach.keys.key import Key


def goalkeeper(situation: Situation) -> str | None:
    """Keeps the contract, and is there last."""
    return next((p.number for p in situation.pressing if p.is_goalkeeper), None)


KEYS = {
    "reading": Key(wrong=("8", "9"), right=("4", 4)),
    "promise": Key(wrong=("kind", "mirror"), right=("order", "Order ")),
    "agree": Key(wrong=({"10": (0, 0)}, {"10": (30, 20)}), right=({"10": (12, 1)}, {10: (13, 2)})),
    "who": Key(wrong=(goalkeeper, lambda situation: 9),
                          right=(the_nearest, lambda situation: the_nearest(situation))),
    "cost": Key(wrong=("our corner", "low block"), right=("behind the midfield", "Wingers high")),
    "side": Key(wrong=(always_outside, lambda situation: "forward"),
                            right=(always_inside, lambda situation: always_inside(situation))),
}
