"""Who went to the ball, what the players did, and how sure a count is."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from pressinglib.data import MatchPlan, Team, Tracking
from pressinglib.data.match_statistics import Share, first_presser, spot_adherence
from pressinglib.field.pitch import Pitch
from pressinglib.roles.rulebook import Rulebook
from tests.judge.duels import wilson

STEP_S = 0.1


def run(goes: int | None, near: int = 0, count: int = 60) -> MatchPlan:
    """Their 6 gets the ball after a second; of our 8 and 10 the one with index `goes` runs to him, `near` is nearer."""
    t = np.arange(count) * STEP_S
    ball = np.stack([np.clip((t - 0.3) * 20.0, 0, 20) + 10, 0 * t], axis=-1)
    theirs = np.tile([[10.0, 0], [30, 0], [45, 5]], (count, 1, 1))
    ours = np.tile([[18.0, 4], [16, -5], [-10, 0], [-40, 0]], (count, 1, 1))
    ours[:, near, 0] += 3.0
    if goes is not None:
        way = (30.0, 0.0) - ours[0, goes]
        ours[:, goes] += way * np.clip((t - 0.8) / 2.0, 0, 0.95)[:, None]
    slots = ("central midfielder", "attacking midfielder", "centre-back", "goalkeeper")
    home = Team(("8", "10", "5", "1"), slots, ours)
    away = Team(("4", "6", "9"), ("centre-back", "central midfielder", "centre-forward"), theirs)
    match = Tracking(Pitch(), home, away, t, ball, np.zeros(count), t >= 0, np.arange(count))
    return MatchPlan.of(match, Rulebook().with_settings(pressers="anyone"), with_faults=False)


@pytest.mark.parametrize(("goes", "number"), [(0, "8"), (1, "10")])
def test_who_comes_within_two_metres_first_has_gone(goes: int, number: str) -> None:
    (one,) = [g for g in first_presser(run(goes), 0.5).goings if g.frame_id > 5]
    assert (one.went, one.nearest, one.pressing, one.line) == (number, "8", "home", "midfield")


def test_where_nobody_comes_nobody_has_gone() -> None:
    found = first_presser(run(None))
    assert not [g for g in found.goings if g.went] and found.shares["the one named"] == Share(0, 0)
    assert found.shares["somebody went within 3 s"] == Share(0, len(found.goings))
    assert re.search(rf"somebody went within 3 s +0 +{len(found.goings)} +0 ", repr(found))


def test_who_is_there_already_is_not_asked_for() -> None:
    plan = run(None)
    ours = plan.match.home.xy.copy()
    ours[:, 0] = (29.0, 1.0)
    match = replace(plan.match, home=replace(plan.match.home, xy=ours))
    assert not [g for g in first_presser(MatchPlan.of(match, with_faults=False)).goings if g.frame_id > 5]


def test_lines_add_up() -> None:
    found = first_presser(run(1, near=1))
    gone = len([g for g in found.goings if g.went])
    assert sum(share.hits for words, share in found.shares.items() if words.startswith("from the ")) == gone > 0
    assert found.shares["the nearest"] == Share(gone, gone)


def test_who_runs_to_his_spot_comes_nearer(invented: Tracking) -> None:
    few = MatchPlan.of(invented, per_second=1, with_faults=False)
    rows = spot_adherence(few)
    assert list(rows.shares) == ["pressure", "cover", "balance", "back line", "goalkeeper"]
    assert rows.shares["pressure"].of == rows.shares["goalkeeper"].of > 0
    assert list(rows.to_frame()["role"]) == list(rows.shares)
    still = replace(invented, home=replace(invented.home, xy=np.tile(invented.home.xy[:1], (160, 1, 1))),
                    away=replace(invented.away, xy=np.tile(invented.away.xy[:1], (160, 1, 1))),
                    ball_xy=np.tile(invented.ball_xy[:1], (160, 1)))
    for row in spot_adherence(MatchPlan.of(still, per_second=1, with_faults=False)):
        assert row["m off"] == pytest.approx(row["m off later"]) and row["nearer"] == 0


@pytest.mark.parametrize(("hits", "n"), [(0, 10), (3, 7), (52, 52), (1, 1000)])
def test_intervals_are_those_of_wilson(hits: int, n: int) -> None:
    assert Share(hits, n).interval == pytest.approx(wilson(hits, n, z=1.959963984540054))


def test_published_value_of_the_interval() -> None:
    """Newcombe 1998, 10.1002/(SICI)1097-0258(19980430)17:8<857::AID-SIM777>3.0.CO;2-E, table I, method 3: 81 of 263
    gives 0.2553 to 0.3662 (value from memory)."""
    assert Share(81, 263).interval == pytest.approx((0.2553, 0.3662), abs=5e-5)
