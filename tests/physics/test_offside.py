"""The offside line on pictures and on many frames."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from pressinglib.field.situation import Situation
from pressinglib.physics import offside_line_m, offside_line_x

along = st.floats(-55, 55)


def test_line_of_a_picture_is_set_by_the_last_outfield_player():
    picture = Situation.line_up(pressing="4-4-2", possession="4-3-3", ball_xy=(30.0, 10.0))
    second_last = sorted(player.xy[0] for player in picture.pressing)[1]
    assert offside_line_m(picture) == min(second_last, 0.0)
    assert offside_line_m(picture.mirrored()) == offside_line_m(picture)


@given(st.lists(along, min_size=2, max_size=11), along, st.randoms())
def test_line_counts_who_is_beyond_it(own, ball, shuffle):
    """Nobody is offside in the own half, behind the ball, or with two opponents level or nearer to their goal."""
    line = offside_line_x(own, ball)
    assert line <= 0.0
    assert line <= max(ball, -52.5)
    assert line == -52.5 or sum(x <= line for x in own) >= 2 or line in (0.0, ball)
    assert sum(x < line for x in own) <= 1 or line in (0.0, ball, -52.5)
    shuffled = list(own)
    shuffle.shuffle(shuffled)
    assert offside_line_x(shuffled, ball) == line


def test_frames_and_absent_players():
    own = np.array([[-50.0, -20.0, -10.0], [np.nan, -20.0, -10.0], [np.nan, np.nan, -10.0], [-50.0, -20.0, -10.0]])
    lines = offside_line_x(own, np.array([5.0, 5.0, -3.0, np.nan]))
    np.testing.assert_array_equal(lines, [-20.0, -10.0, -3.0, np.nan])
