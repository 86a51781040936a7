"""The printed pictures of the lessons, all of one size."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan
from pressinglib.show.drawing import USUAL_LAYERS, draw_plan, draw_situation

if TYPE_CHECKING:
    from pressinglib.show.print_view import Picture

WIDTH_CM, DPI = 16.0, 100.0  # as wide as the text of a page, small enough to keep in a notebook


def drawn(what: Situation | Plan, layers: Iterable[str] = USUAL_LAYERS) -> Picture:
    """The picture of a situation as it is, or of a plan with the layers asked for: roles, runs and shadow by default.

    Examples
    --------
    >>> from pressinglib.roles.plan import plan_press
    >>> situation = Situation.line_up(ball_xy=(30, 10))
    >>> drawn(situation)
    Picture: Their 5 on the ball, ...
    >>> "presses" in repr(drawn(situation)), "presses" in repr(drawn(plan_press(situation)))
    (False, True)
    """
    from pressinglib.show.print_view import Picture

    drawing = draw_plan(what.situation, what, layers) if isinstance(what, Plan) else draw_situation(what)
    return Picture(drawing, WIDTH_CM, DPI)
