"""Theirs who have no task stay, or look for a lane and keep their shape; the carrier looks up."""

from __future__ import annotations

import numpy as np
import pytest

from pressinglib import simulate
from pressinglib.field.scene_file import scene
from pressinglib.play import Pass, Run
from pressinglib.play.attack import SHAPE_M
from tests.play.stories import happened

CHAIN = [Pass(at_s=0.8), Pass(at_s=2.8), Pass(at_s=4.8)]


def test_they_stay_where_nothing_is_said() -> None:
    q = simulate(scene("worked scene"), [Pass("6", at_s=0.5)], duration_s=3)
    others = [q.frames.possession_numbers.index(n) for n in ("2", "3", "4", "7", "9", "10", "11")]
    assert (q.frames.possession_xy[-1, others] == q.frames.possession_xy[0, others]).all()


@pytest.mark.parametrize("name", ["goalkeeper on the ball", "build-up left", "low block"])
def test_who_seeks_keeps_his_shape(name: str) -> None:
    q = simulate(scene(name), CHAIN, duration_s=6, attackers="seek")
    busy = {n for e in q.events for n in e.possession}
    for k, number in enumerate(q.frames.possession_numbers):
        if number not in busy:
            off = np.hypot(*(q.frames.possession_xy[:, k] - q.frames.possession_xy[0, k]).T)
            assert off.max() <= SHAPE_M + 1.0, number
    moved = np.hypot(*np.moveaxis(q.frames.possession_xy[-1] - q.frames.possession_xy[0], -1, 0))
    assert (moved > 1.0).sum() >= 3, "some do seek"


def test_seeking_opens_lanes() -> None:
    """After two seconds more of them are free than if they had stayed: what they run for."""
    free = {manner: sum(sum(row["state"] == "open" for row in simulate(
        scene(name), [], duration_s=2, attackers=manner).plans[-1].lanes)
        for name in ("worked scene", "build-up right", "full-back on the ball")) for manner in ("stay", "seek")}
    assert free["seek"] > free["stay"]


def test_a_run_is_run_and_then_he_stays() -> None:
    runs = [Run("possession", "8", (12, 20), at_s=0.5), Run("possession", "8", (5, 25), at_s=3.0)]
    q = simulate(scene("worked scene"), runs, duration_s=6)
    k = q.frames.possession_numbers.index("8")
    way = q.frames.possession_xy[:, k]
    assert np.hypot(*(way - (12, 20)).T).min() < 0.7
    np.testing.assert_allclose(way[-1], (5, 25), atol=0.2)


def test_a_carrier_who_looks_up_takes_an_open_lane() -> None:
    q = simulate(scene("worked scene"), [Pass(at_s=0.1)], duration_s=0.4)
    receiver = happened(q, "pass played")[0].possession[1]
    states = {row["opponent"]: row["state"] for row in q.plans[0].lanes}
    assert receiver != "1" and receiver in states
    assert not happened(simulate(scene("worked scene"), [Pass(at_s=0.1)], duration_s=3), "pass intercepted")
