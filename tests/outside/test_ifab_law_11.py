"""Offside position: in the opponents' half, nearer to the opponents' goal line than both the ball and the second-last
opponent; level is onside; a defender off the pitch counts as on his goal line. Pictures are invented; the team in
possession attacks the goal at x = -52.5.
"""

import pytest

from pressinglib.physics import offside_line_x
from tests.outside.check import Check, value_of

SOURCE = (
    "IFAB, Laws of the Game, Law 11"
)

KEEPER, NOBODY = -50.0, float("nan")


def line(what, own_x, ball_x, x):
    return Check(f"line, {what}, m", "offside position", "law", float(x), lambda: offside_line_x(own_x, ball_x))


CHECKS = [
    line("second-last opponent", [KEEPER, -20, -18, 5], 10, -20),
    line("order of players does not matter", [-20, 5, KEEPER, -18], 10, -20),
    line("keeper ahead of it: an outfield player is the last one", [-15, -20, -18, 5], 10, -18),
    line("ball behind the second-last opponent", [KEEPER, -20, -18, 5], -30, -30),
    line("own half is never offside", [KEEPER, 8, 10, 12], 30, 0),
    line("two players level", [KEEPER, -20, -20, 5], 10, -20),
    line("players behind the goal line count as on it", [-53.5, -53.0, -18, 5], 10, -52.5),
    line("no goalkeeper", [NOBODY, -20, -18, 5], 10, -18),
    line("a single opponent: the ball (own reading)", [-20, NOBODY, NOBODY], -5, -5),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_against_the_source(check):
    assert value_of(check) == check.expected
