"""Players with a top speed of their own: every clock uses it, and nothing changes where nobody has one."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from pressinglib import (
    Frames,
    Player,
    PressingError,
    Settings,
    Situation,
    choices,
    find_faults,
    load_situation,
    plan_frames,
    plan_press,
    save_situation,
    scene,
    scene_names,
    simulate,
)
from pressinglib.physics import Running, control_field, total_pressure
from pressinglib.physics.lanes import lane_margins, rest_lane_margins
from pressinglib.play import Pass
from pressinglib.roles.measures import AfterRuns, danger
from pressinglib.roles.picture import Picture

NAMES = [name for name in scene_names() if scene(name).state == "open play"]


def with_top(s: Situation, top_mps: float | None, *numbers: str, team: str = "pressing") -> Situation:
    """The picture with these players (all of the team where none is named) at their own top speed."""
    players = tuple(replace(p, top_speed_mps=top_mps) if p.number in numbers or not numbers else p
                    for p in s.players(team))  # type: ignore[arg-type]
    return replace(s, **{team: players})


@pytest.mark.parametrize("name", NAMES)
def test_the_usual_top_speed_said_of_everybody_changes_nothing(name: str) -> None:
    s, usual = scene(name), Settings().top_speed_mps
    said = with_top(with_top(s, usual), usual, team="possession")
    one, other = (plan_frames(Frames.of([q])) for q in (s, said))
    for key, values in one.items():
        np.testing.assert_allclose(np.asarray(other[key], float), np.asarray(values, float), atol=1e-9)
    assert [f.kind for f in find_faults(s)] == [f.kind for f in find_faults(said)]


@pytest.mark.parametrize("name", NAMES)
def test_a_slower_team_is_never_earlier_and_a_faster_one_never_later(name: str) -> None:
    slow, usual, fast = (Picture(Frames.of([with_top(scene(name), top)]), Settings()) for top in (6.5, None, 8.8))
    spots = plan_press(scene(name)).decisions.spot
    for clock in (lambda p: p.own_arrival(p.ball[:, None]), lambda p: p.marking_s,
                  lambda p: p.own_running.braked_time(p.own, p.own_velocity, spots, 0.3)):
        times = [np.nan_to_num(clock(p)) for p in (slow, usual, fast)]
        assert (times[0] >= times[1] - 1e-9).all() and (times[1] >= times[2] - 1e-9).all()
        assert (times[0] > times[2] + 1e-3).any()
    assert danger(slow, slow.own)[0] >= danger(usual, usual.own)[0] >= danger(fast, fast.own)[0]
    plan = plan_press(scene(name)).decisions
    margins = [AfterRuns(p, plan).margin_s for p in (slow, usual, fast)]
    assert (margins[0] >= margins[1] - 1e-9).all() and (margins[1] >= margins[2] - 1e-9).all()


def test_a_slower_centre_back_is_later_and_nobody_else_is() -> None:
    """Each at the same places; the race to a ball over the top is lost by his being late alone."""
    s = scene("counter-attack 4 v 3")
    one, other = (Picture(Frames.of([q]), Settings()) for q in (s, with_top(s, 6.0, "4")))
    places = np.random.default_rng(3).uniform((-50, -30), (0, 30), (1, 40, 2))
    times = [np.stack([p.own_arrival(places[:, k, None])[0] for k in range(40)]) for p in (one, other)]
    four = one.own_index(0, "4")
    assert (times[1][:, four] >= times[0][:, four]).all() and (times[1] > times[0]).any()
    np.testing.assert_array_equal(*(np.delete(t, four, axis=1) for t in times))


def test_a_slow_presser_passes_the_job_on() -> None:
    s = scene("worked scene")
    first = plan_press(s).presser
    assert first is not None and plan_press(with_top(s, 4.0, first)).presser != first


def test_the_mirrored_picture_has_the_mirrored_plan() -> None:
    s = with_top(with_top(scene("worked scene"), 6.2, "4", "8"), 9.0, "11", "7", team="possession")
    plan, other = plan_press(s), plan_press(s.mirrored())
    assert plan.presser == other.presser
    for number, job in plan.assignments.items():
        assert other.assignments[number].role == job.role
        np.testing.assert_allclose(other.assignments[number].target_xy * (1, -1), job.target_xy, atol=1e-9)


def test_the_law_broadcasts_over_players() -> None:
    """As one law a player, asked one by one."""
    xy, velocity = np.random.default_rng(0).uniform(-20, 20, (2, 5, 2))
    tops, to = np.array([6.0, np.nan, 8.0, 9.5, 5.0]), np.array([[3.0, 4.0], [-10.0, 8.0], [25.0, -20.0]])
    law, alone = Running().of(tops), [Running(top_speed_mps=7.8 if np.isnan(t) else t) for t in tops]
    pace = velocity / 4
    for ours, theirs in (
            (law.at(np.s_[:, None]).time(xy[:, None], pace[:, None], to, 0.3, 0.9),
             [one.time(xy[k], pace[k], to, 0.3, 0.9) for k, one in enumerate(alone)]),
            (law.reached_xy(xy, pace, to[0], 1.5, 0.3), [one.reached_xy(xy[k], pace[k], to[0], 1.5, 0.3)
                                                         for k, one in enumerate(alone)]),
            (lane_margins((0, 0), to, xy, pace, running=law).T,
             [lane_margins((0, 0), to, xy[k:k + 1], pace[k:k + 1], running=one)[:, 0] for k, one in enumerate(alone)]),
            (rest_lane_margins((0, 0), to, xy, running=law).T,
             [rest_lane_margins((0, 0), to, xy[k:k + 1], running=one)[:, 0] for k, one in enumerate(alone)])):
        np.testing.assert_allclose(ours, np.array(theirs), atol=1e-9)


def test_pressure_and_space_use_it() -> None:
    s = scene("worked scene")
    assert total_pressure(with_top(s, 5.0)) > total_pressure(s) > total_pressure(with_top(s, 9.5))
    shares = [control_field(q, 6.0).share.mean() for q in (with_top(s, 6.0), s, with_top(s, 6.0, team="possession"))]
    assert shares == sorted(shares)


def test_time_uses_it() -> None:
    """A fast runner of theirs gets further; games that are played on know it too."""
    s = scene("worked scene")
    slow, fast = (simulate(with_top(s, top), [Pass("6", at_s=0.3)], duration_s=2) for top in (5.0, 9.5))
    assert min(fast.pressure_s) < min(slow.pressure_s)
    ran = [np.hypot(*np.moveaxis(np.diff(q.frames.pressing_xy, axis=0), -1, 0)).sum() for q in (slow, fast)]
    assert ran[1] > ran[0]
    won = [choices(with_top(s, top), copies=64).values[0, :, 1].mean() for top in (4.5, 10.0)]
    assert won[1] > won[0]


def test_files_frames_and_the_mirror_keep_it(tmp_path: Path) -> None:
    s = with_top(scene("worked scene"), 6.4, "4")
    back = load_situation(save_situation(s, tmp_path / "slow.json"))
    assert back == s == Frames.of([s]).situation(0) == s.mirrored().mirrored()
    assert '"top_speed_mps": 6.4' in (tmp_path / "slow.json").read_text()
    assert "top_speed" not in save_situation(scene("worked scene"), tmp_path / "plain.json").read_text()


@pytest.mark.parametrize("top", [2.9, 12.1, float("nan"), "fast", True])
def test_wrong_values_are_said(top: object) -> None:
    with pytest.raises(PressingError, match="top speed of player 9"):
        Player("9", "centre-forward", (0, 0), top_speed_mps=top)  # type: ignore[arg-type]
