"""Offside position: IFAB, Laws of the Game, Law 11 (law). In the opponents' half, nearer to the opponents' goal line
than both the ball and the second-last opponent; level is onside; a defender off the pitch counts as on his goal line.

The pictures are invented. The team in possession attacks the goal at x = -52.5.
"""

import pytest

from pressinglib.physics import offside_line_x

KEEPER = -50.0


@pytest.mark.parametrize(
    ("own_x", "ball_x", "line_x"),
    [
        pytest.param([KEEPER, -20, -18, 5], 10, -20, id="second-last opponent"),
        pytest.param([-20, 5, KEEPER, -18], 10, -20, id="order of players does not matter"),
        pytest.param([-15, -20, -18, 5], 10, -18, id="keeper ahead of the line: an outfield player is the last one"),
        pytest.param([KEEPER, -20, -18, 5], -30, -30, id="ball behind the second-last opponent"),
        pytest.param([KEEPER, 8, 10, 12], 30, 0, id="own half is never offside"),
        pytest.param([KEEPER, -20, -20, 5], 10, -20, id="two players level"),
        pytest.param([-53.5, -53.0, -18, 5], 10, -52.5, id="players behind the goal line count as on it"),
        pytest.param([float("nan"), -20, -18, 5], 10, -18, id="no goalkeeper"),
        pytest.param([-20, float("nan"), float("nan")], -5, -5, id="a single opponent: the ball"),
    ],
)
def test_line(own_x, ball_x, line_x):
    assert offside_line_x(own_x, ball_x) == line_x
