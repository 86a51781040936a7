"""Many frames at once: each gets the plan that it gets alone."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from pressinglib.data import open_match
from pressinglib.errors import BadInput
from pressinglib.field.frames import Frames
from pressinglib.field.scene_file import scene, scene_names
from pressinglib.field.situation import Situation
from pressinglib.physics.pitch_control import least_arrival
from pressinglib.roles import pipeline as module
from pressinglib.roles.measures import ACCOUNTS, GAP_STATES
from pressinglib.roles.pipeline import plan_frames
from pressinglib.roles.plan import Plan, plan_press
from pressinglib.roles.settings import DUTIES, ROLES, STATES, TIMINGS, WAYS

MATCH = Path(__file__).parents[2] / "notebooks" / "data" / "dfl-open"
BY_PLAYER = ("role", "duty", "mark", "anchor_xy", "target_xy", "arrival_s")
STEERS = {1: "left", -1: "right", 0: "none"}


@pytest.fixture(scope="module")
def defending() -> Frames:
    """40 frames of a match, spread over 20 minutes."""
    frames = open_match(MATCH).defending("away")
    return frames.take(np.linspace(0, len(frames) - 1, 40).round().astype(int))


def pressure_s(situation: Situation) -> float:
    pressed = situation.receiver or situation.on_ball
    place = situation.ball_xy if pressed is None else situation.player("possession", pressed).xy
    players = situation.pressing
    return float(least_arrival([q.xy for q in players], [q.velocity for q in players], place))


def named(numbers: tuple[str, ...], index: int) -> str | None:
    return numbers[index] if index >= 0 else None


def check_row(frames: Frames, columns: dict[str, np.ndarray], f: int, plan: Plan) -> None:
    row = {name: column[f] for name, column in columns.items()}
    ours, theirs = frames.pressing_numbers, frames.possession_numbers
    assert (STATES[row["state"]], TIMINGS[row["timing"]], STEERS[row["steer"]]) == (plan.state, plan.timing, plan.steer)
    assert named(ours, row["presser"]) == plan.presser
    assert (row["danger_before"], row["danger_after"]) == pytest.approx(plan.danger, abs=1e-9)
    assert {way: named(ours, n) for way, n in zip(WAYS, row["take_over"], strict=True)} == {
        way: number for way, (number, _) in plan.take_over.items()}
    assert {n: ACCOUNTS[a] for n, a in zip(theirs, row["account"], strict=True) if a >= 0} == plan.account
    assert np.nan_to_num(row["far_side_limit_m"]) == pytest.approx(plan.far_side_limit_m or 0.0)
    assert row["pressure_s"] == pytest.approx(pressure_s(plan.situation), abs=1e-9)
    check_lanes(plan, row, ours, theirs)
    check_gaps(plan, row, ours)
    for n, number in enumerate(ours):
        if np.isfinite(frames.pressing_xy[f, n, 0]):
            check_player(plan, number, {name: row[name][n] for name in BY_PLAYER}, theirs)


def check_lanes(plan: Plan, row: dict[str, np.ndarray], ours: tuple[str, ...], theirs: tuple[str, ...]) -> None:
    lanes = {lane["opponent"]: lane for lane in plan.lanes}
    margins = dict(zip(theirs, row["lane_margin_s"], strict=True))
    assert {n for n, margin in margins.items() if np.isfinite(margin)} == set(lanes)
    for m, number in enumerate(theirs):
        if number in lanes:
            assert margins[number] == pytest.approx(lanes[number]["margin_s"], abs=1e-3)
            assert lanes[number]["closed_by"] in (None, named(ours, row["lane_closed_by"][m]))


def check_gaps(plan: Plan, row: dict[str, np.ndarray], ours: tuple[str, ...]) -> None:
    gaps = {gap["between"]: gap for gap in plan.gaps}
    found = np.flatnonzero(row["gap_state"] >= 0)
    assert {(named(ours, row["gap_left"][g]), named(ours, row["gap_right"][g])) for g in found} == set(gaps)
    for g in found:
        gap = gaps[named(ours, row["gap_left"][g]), named(ours, row["gap_right"][g])]
        assert GAP_STATES[row["gap_state"][g]] == gap["state"]
        assert named(ours, row["gap_filled_by"][g]) == gap["filled_by"]
        assert row["gap_width_m"][g] == pytest.approx(gap["width_m"], abs=0.006)
        assert row["gap_limit_m"][g] == pytest.approx(gap["limit_m"], abs=0.006)


def check_player(plan: Plan, number: str, his: dict[str, np.ndarray], theirs: tuple[str, ...]) -> None:
    a = plan.assignments[number]
    assert (ROLES[his["role"]], named(theirs, his["mark"])) == (a.role, a.mark)
    assert DUTIES[his["duty"]].format(mark=f"their {a.mark}" if a.mark else "the ball") == a.duty
    assert his["target_xy"] == pytest.approx(a.target_xy, abs=1e-9)
    assert his["anchor_xy"] == pytest.approx(a.anchor_xy, abs=1e-9)
    assert his["arrival_s"] == pytest.approx(a.arrival_s, abs=1e-9)


def test_frames_of_a_match_get_the_plans_they_get_alone(defending: Frames) -> None:
    columns = plan_frames(defending)
    for f in range(len(defending)):
        check_row(defending, columns, f, plan_press(defending.situation(f)))


@pytest.mark.parametrize("name", scene_names())
def test_scenes_get_the_plans_they_get_alone(name: str) -> None:
    s = scene(name)
    frames = Frames.of([s, s.with_ball((-5.0, 12.0)), s])
    columns = plan_frames(frames)
    for f in range(len(frames)):
        check_row(frames, columns, f, plan_press(frames.situation(f)))


def test_absent_players_keep_their_column(defending: Frames) -> None:
    xy = np.array(defending.pressing_xy)
    xy[:, 3] = np.nan
    without = Frames(**{**vars(defending), "pressing_xy": xy})
    columns = plan_frames(without)
    assert (columns["role"][:, 3] == -1).all() and np.isnan(columns["target_xy"][:, 3]).all()
    assert np.isfinite(np.delete(columns["target_xy"], 3, axis=1)).all()
    check_row(without, columns, 0, plan_press(without.situation(0)))


def test_how_many_are_planned_at_a_time_changes_nothing(defending: Frames, monkeypatch: pytest.MonkeyPatch) -> None:
    whole = plan_frames(defending)
    monkeypatch.setattr(module, "FRAMES_AT_ONCE", 7)
    for name, column in plan_frames(defending).items():
        np.testing.assert_allclose(column, whole[name], atol=1e-9, err_msg=name)


def test_two_who_have_a_man_do_not_run_past_each_other(defending: Frames) -> None:
    """No two covers or balancing players of 40 frames would run 2 m less with their men changed, and neither further.

    The rule changes men from 1 m; spots are set apart after that.
    """
    plan, crossed = plan_frames(defending), []
    has_man = np.isin(plan["role"], [ROLES.index("cover"), ROLES.index("balance")]) & (plan["mark"] >= 0)
    for own, spot, who in zip(defending.pressing_xy, plan["anchor_xy"], has_man, strict=True):
        run_m = np.linalg.norm(own[who][:, None] - spot[who], axis=-1)  # of each to each one's spot
        straight, changed = np.diag(run_m), np.maximum(run_m, run_m.T)
        saved_m = straight[:, None] + straight - run_m - run_m.T
        crossed += saved_m[(saved_m > 2.0) & (changed <= np.maximum(straight[:, None], straight))].tolist()
    assert has_man.sum() > 100 and crossed == []


def test_no_frames_give_empty_columns_of_the_same_kind(defending: Frames) -> None:
    some, none = plan_frames(defending.take(slice(2))), plan_frames(defending.take(slice(0)))
    assert {name: (c.dtype, c.shape[1:]) for name, c in none.items()} == {
        name: (c.dtype, c.shape[1:]) for name, c in some.items()}
    assert {len(c) for c in none.values()} == {0}


def test_what_is_no_frames_or_off_the_pitch_is_refused(defending: Frames) -> None:
    with pytest.raises(BadInput, match="frames: expected a Frames; got list"):
        plan_frames([scene("worked scene")])  # type: ignore[arg-type]
    with pytest.raises(BadInput, match="rulebook: expected a Rulebook"):
        plan_frames(defending, "stock")  # type: ignore[arg-type]
    ball = np.array(defending.ball_xy)
    ball[4] = np.nan
    with pytest.raises(BadInput, match="frame 4: expected ball and players"):
        plan_frames(Frames(**{**vars(defending), "ball_xy": ball}))
