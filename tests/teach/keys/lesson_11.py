"""Lesson 11: answers to try."""

from __future__ import annotations

from pressinglib.field.situation import Situation
from pressinglib.teach.lessons.lesson_11 import always_inside, the_nearest
from tests.teach.keys.key import Key


def goalkeeper(situation: Situation) -> str | None:
    """Keeps the contract, and is there last."""
    return next((p.number for p in situation.pressing if p.is_goalkeeper), None)


def always_outside(situation: Situation) -> str:
    """Keeps the contract, and is what the stock rule does already."""
    return "left" if situation.ball_xy[1] > 0 else "right"


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
