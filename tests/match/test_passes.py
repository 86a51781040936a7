"""Passes read from an invented run of play, where it is known who passed to whom."""

import numpy as np
import pytest

from pressinglib.data import Team, Tracking
from pressinglib.field.pitch import Pitch
from tests.match.passes import passes_of, spells

STEP_S = 0.08
HOME = {"4": (-20.0, 0.0), "6": (0.0, 0.0), "9": (20.0, 10.0)}
AWAY = {"5": (10.0, -20.0), "8": (-40.0, -20.0)}


def run_of_play(*stations, height_m=0.0, speed_mps=12.0, dead=False):
    """The ball rests 0.8 s with each player in turn and runs straight from one to the next."""
    spots = [(HOME | AWAY)[number] for number in stations]
    path = [np.repeat([spots[0]], 10, axis=0)]
    for start, end in zip(spots[:-1], spots[1:], strict=True):
        count = round(np.hypot(*np.subtract(end, start)) / speed_mps / STEP_S)
        path += [np.linspace(start, end, count + 1)[1:], np.repeat([end], 10, axis=0)]
    ball = np.concatenate(path)
    high = np.where(np.abs(np.diff(ball, axis=0, append=ball[-1:])).sum(-1) > 0, height_m, 0.0)
    alive = np.ones(len(ball), bool)
    alive[12:14] = not dead
    teams = [Team(tuple(team), ("outfield",) * len(team), np.repeat([list(team.values())], len(ball), axis=0))
             for team in (HOME, AWAY)]
    time = np.arange(len(ball)) * STEP_S
    return Tracking(Pitch(), *teams, time, ball, high, alive, np.arange(len(ball)))


@pytest.mark.parametrize("side", ["home", "away"])
def test_a_pass_and_an_interception(side):
    passes = passes_of(run_of_play("4", "6", "5", "8"), side)
    if side == "home":
        assert passes.passer.tolist() == [0, 1]
        assert passes.target.tolist() == [1, -1]
        assert passes.completed.tolist() == [True, False]
        assert passes.meant.tolist() == [1, -1]  # nobody of the home side stands where the second one goes
    else:
        assert (passes.passer.tolist(), passes.target.tolist(), passes.meant.tolist()) == ([0], [1], [1])


def test_a_pass_is_meant_for_the_man_behind_the_one_who_cuts_it_out():
    match = run_of_play("4", "6")
    shifted = Team(("5",), ("outfield",), np.repeat([[(-10.0, 0.0)]], len(match), axis=0))
    cut = Tracking(match.pitch, match.home, shifted, match.time_s, np.minimum(match.ball_xy, (-10.0, 0.0)),
                   match.ball_height_m, match.alive, match.frame_id)
    passes = passes_of(cut, "home")
    assert (passes.meant.tolist(), passes.target.tolist()) == ([1], [-1])


def test_pictures_are_turned_so_that_the_defending_side_attacks_to_the_right():
    frames = passes_of(run_of_play("4", "6"), "home").frames
    assert frames.possession_numbers == tuple(HOME)
    np.testing.assert_allclose(frames.possession_xy[0, 0], (20.0, 0.0))
    np.testing.assert_allclose(passes_of(run_of_play("5", "8"), "away").frames.possession_xy[0, 0], (10.0, -20.0))


def test_what_is_no_pass():
    assert len(passes_of(run_of_play("4", "6", dead=True), "home")) == 0
    assert len(passes_of(run_of_play("4", "6", speed_mps=4.5), "home")) == 0
    assert len(passes_of(run_of_play("4", "6"), "away")) == 0


def test_lofted_passes_are_marked():
    assert passes_of(run_of_play("4", "9", height_m=4.0), "home").lofted.tolist() == [True]
    assert passes_of(run_of_play("4", "9"), "home").lofted.tolist() == [False]


def test_spells_tile_what_is_held():
    rows = spells(run_of_play("4", "6", "5"))
    assert rows[:, 2].tolist() == [0, 1, 3]
    assert (rows[:, 0] <= rows[:, 1]).all() and (rows[1:, 0] > rows[:-1, 1]).all()
