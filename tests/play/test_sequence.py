"""A sequence is read by its moments, as a table, as plain values, and for its faults."""

from __future__ import annotations

import numpy as np
import pytest

from pressinglib import PressingError, find_faults, plan_press, simulate
from pressinglib.field.frames import Frames
from pressinglib.field.scene_file import scene, scene_names
from pressinglib.play import Pass, Run
from pressinglib.roles.faults import KINDS
from pressinglib.roles.pipeline import plan_frames
from tests.play.stories import STORIES, happened, story


def test_moments_by_time() -> None:
    q = story("switch")
    assert len(q) == 71 and q.times[-1] == pytest.approx(7.0)
    assert [q.index(t) for t in (-1, 0, 0.05, 0.1, 3.0, 99)] == [0, 0, 0, 1, 30, 70]
    here = q.at(0.54)
    assert here.time_s == 0.5 and here.plan is q.plans[5] and here.situation is q.situations[5]
    assert [e.kind for e in here.events] == ["pass played", "trigger seen"]
    with pytest.raises(PressingError, match="time in s"):
        q.at("soon")  # type: ignore[arg-type]


def test_every_event_belongs_to_one_moment() -> None:
    q = story("into midfield")
    assert [e for t in q.times for e in q.at(float(t)).events] == list(q.events)


def test_pressure_and_danger_are_those_of_the_pictures() -> None:
    q = story("into midfield")
    for k in (0, 12, 30, 60):
        assert q.danger[k] == pytest.approx(plan_press(q.situations[k]).danger[0], abs=1e-9)
        assert q.pressure_s[k] == pytest.approx(plan_frames(Frames.of([q.situations[k]]))["pressure_s"][0], abs=1e-9)


def test_table() -> None:
    q = story("into midfield")
    rows = list(q.table())
    assert len(rows) == len(q) and rows[0]["presser"] == "9" and rows[0]["ball"] == "5"
    assert rows[10]["ball"] == "to 8"


@pytest.mark.parametrize("name", scene_names())
def test_every_named_scene_can_go_on(name: str) -> None:
    """Nobody is told anything: the press runs, and theirs stand."""
    q = simulate(scene(name), duration_s=1.0)
    assert len(q) >= 2 and not happened(q, "action left out")


def test_at_first_the_plan_is_that_of_the_picture() -> None:
    """Where the carrier stands; who runs with the ball leaves men behind, and they are let go."""
    for name in ("worked scene", "build-up left", "low block", "full-back on the ball", "back five"):
        one, plan = simulate(scene(name), duration_s=0.1).plans[0], plan_press(scene(name))
        assert {n: (a.role, a.mark) for n, a in one.assignments.items()} == {
            n: (a.role, a.mark) for n, a in plan.assignments.items()}, name


def test_faults_of_a_moment_look_back_a_second() -> None:
    q = story("round the back")
    k = q.index(2.0)
    assert [f.kind for f in q.faults(2.0)] == [
        f.kind for f in find_faults(q.situations[k], before=q.situations[k - 10], before_s=1.0)]
    assert [f.kind for f in q.faults(0.0)] == [f.kind for f in find_faults(q.situations[0])]
    assert {f.kind for name in STORIES for t in (1.0, 3.0) for f in story(name).faults(t)} <= set(KINDS)


def test_a_presser_who_is_late_shows_as_a_late_jump() -> None:
    """He waits until the ball has been played, and then runs at it as fast as he can: after the first touch."""
    waits = Run("pressing", "9", to_xy=(27, -2), until_s=1.2)
    late = simulate(scene("worked scene"), [waits, Run("pressing", "9", to_xy=(37, -8), at_s=1.2), Pass("4", at_s=0.5)],
                    duration_s=3)
    good = simulate(scene("worked scene"), [Pass("4", at_s=0.5)], duration_s=3)
    kinds = [{f.kind for t in np.arange(1.8, 3.1, 0.1) for f in q.faults(float(t))} for q in (late, good)]
    assert {"late jump", "diving in"} <= kinds[0] and not {"late jump", "diving in"} & kinds[1]


def test_chance_enters_only_with_a_seed() -> None:
    ends = {seed: simulate(scene("worked scene"), [Pass("6", at_s=0.5), Pass("2", at_s=2)], seed=seed, duration_s=4)
            for seed in (None, 1, 2)}
    balls = [q.frames.ball_xy[min(12, len(q) - 1)] for q in ends.values()]
    assert np.hypot(*(balls[1] - balls[2])) > 0.05 and np.hypot(*(balls[0] - balls[1])) > 0.01


def test_a_small_step_changes_little() -> None:
    """Half the step: the same story, within a metre for all but one of us."""
    coarse, fine = (simulate(scene("worked scene"), STORIES["into midfield"], step_s=step, duration_s=4)
                    for step in (0.1, 0.05))
    assert [e.kind for e in coarse.events] == [e.kind for e in fine.events]
    off = np.hypot(*np.moveaxis(coarse.frames.pressing_xy[-1] - fine.frames.pressing_xy[-1], -1, 0))
    assert np.sort(off)[-2] < 1.0
