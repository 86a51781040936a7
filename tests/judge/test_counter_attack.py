"""Counter-attacks: who delays, who minds a runner, who runs back. The family is our own, shapes by common practice."""

from __future__ import annotations

import numpy as np
import pytest

from pressinglib.field.frames import Frames
from pressinglib.roles.picture import Picture
from pressinglib.roles.pipeline import decide
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import MIND, RECOVER
from tests.judge.openings import AWAY_M, NUMBERS, WAYS_M, counter_attack, counter_attacks

GOAL = np.array([-52.5, 0.0])


def goal_m(xy: np.ndarray) -> np.ndarray:
    return np.hypot(*np.moveaxis(xy - GOAL, -1, 0))


@pytest.fixture(scope="module")
def decided() -> list:
    """Picture and decisions of each of the family, and of each shaken twelve times."""
    random, found = np.random.default_rng(7), []
    for situation in counter_attacks():
        frames = Frames.of([situation] * 13)
        ours = frames.pressing_xy + random.normal(0, 1.0, frames.pressing_xy.shape) * (np.arange(13) > 0)[:, None, None]
        p = Picture(Frames(**{**vars(frames), "pressing_xy": frames.pitch.inside(ours, 0.5)}), Rulebook().settings)
        found.append((p, decide(p, Rulebook())))
    return found


def test_the_family_is_whole(decided: list) -> None:
    assert len(decided) == len(NUMBERS) * len(WAYS_M) * len(AWAY_M) == 36


def test_nobody_goal_side_of_a_running_carrier_walks_away_from_goal(decided: list) -> None:
    """But he who delays him, and he only into the carrier's way; a step for room between two places is allowed."""
    for p, d in decided:
        others = p.outfield & p.goal_side & (np.arange(11) != d.presser[:, None])
        up_m = d.spot[..., 0] - p.own[..., 0]
        assert up_m[others].max(initial=0.0) < 1.0


def test_one_delays_and_stays_goal_side(decided: list) -> None:
    for p, d in decided:
        rows = np.arange(len(p))
        assert (d.presser >= 0).all()
        assert (goal_m(d.spot[rows, d.presser]) < p.ball_goal_m).all()


def test_all_who_are_beaten_come_back(decided: list) -> None:
    for p, d in decided:
        late = p.outfield & (p.own_goal_m > p.ball_goal_m[:, None] + 3.0) & (np.arange(11) != d.presser[:, None])
        assert np.mean(d.duty[late] == RECOVER) > 0.99
        assert (goal_m(d.spot) < p.own_goal_m - 2.0)[late].all()


def test_who_runs_back_is_not_sent_where_somebody_is(decided: list) -> None:
    for _, d in decided:
        apart = np.linalg.norm(d.spot[:, :, None] - d.spot[:, None], axis=-1) + 99 * np.eye(11)
        assert (apart >= 5.0 - 1e-9)[d.duty == RECOVER].all()


@pytest.mark.parametrize("way", WAYS_M)
def test_the_next_minds_the_most_dangerous_runner_goal_side(way: str) -> None:
    p = Picture(Frames.of([counter_attack(2, 2, way, 30.0)]), Rulebook().settings)
    d = decide(p, Rulebook())
    minder = np.flatnonzero(d.duty[0] == MIND)
    assert len(minder) == 1 and p.opp_number(0, int(d.mark[0, minder[0]])) == "9"
    assert goal_m(d.spot[0, minder])[0] < goal_m(p.opp[0, d.mark[0, minder]])[0]
