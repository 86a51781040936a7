"""Lesson 06: what the prose says must be what the engine says."""

from __future__ import annotations

import re

from pressinglib.field.scenes import scene
from pressinglib.physics.offside import offside_line_m
from pressinglib.roles.plan import plan_press
from pressinglib.teach.hold_step_drop import HoldStepDrop
from pressinglib.teach.lessons import lesson_06 as lesson
from tests.teach.kept import kept, printed, prose

NOTEBOOK = kept("06")


def times() -> dict[str, float]:
    return lesson.race_s(lesson.over_top.situation, lesson.over_top.plan.rulebook.settings)


def test_open_ball_drops_and_closes_up() -> None:
    plan = lesson.open_ball.plan
    line = [plan.assignments[number].anchor_xy for number in lesson.BACK_FOUR]
    before = [plan.situation.player("pressing", number).xy for number in lesson.BACK_FOUR]
    assert all(after[0] < was[0] - 2 for after, was in zip(line, before, strict=True))
    assert max(y for _, y in line) - min(y for _, y in line) < max(y for _, y in before) - min(y for _, y in before)
    assert all(man.xy[0] > 0 for man in plan.situation.pressing if man.number not in (lesson.KEEPER, *lesson.BACK_FOUR))


def test_the_same_picture_without_the_pass_back_is_no_gift() -> None:
    assert HoldStepDrop().model(lesson.back_pass.plan) == "step"
    assert HoldStepDrop().model(plan_press(scene("full-back on the ball"))) == "hold"


def test_dropping_far_leaves_their_9_open_and_a_metre_does_not() -> None:
    brave, early = (set(re.findall(r"\d+", row.split("open")[1]))
                    for row in printed(NOTEBOOK, "contested-both").splitlines())
    assert early - brave == {"9"}


def test_9_is_past_the_centre_backs_onside_and_caught_once_2_is_up() -> None:
    picture = lesson.offside.situation
    nine = picture.player("possession", "9").xy[0]
    assert nine < min(picture.player("pressing", number).xy[0] for number in ("4", "5"))
    assert nine > offside_line_m(picture)
    mended = lesson.mend_line.solution().situation
    assert mended is not None
    assert nine < offside_line_m(mended)


def test_the_runner_is_first_though_the_line_is_nearer() -> None:
    race = times()
    assert min(race["line"], race["keeper"]) - race["runner"] > 0.5
    assert abs(race["runner"] - 2.0) < 0.1
    picture = lesson.over_top.situation
    place = lesson.landing(picture)
    assert picture.player("possession", "9").xy[0] > max(picture.player("pressing", n).xy[0] for n in ("4", "5"))
    assert place[0] < picture.player("pressing", "5").xy[0] - 11


def test_the_race_follows_the_running() -> None:
    """Outside check by own arithmetic: at most 7.8 m/s, so nobody covers his way faster than that."""
    picture, race = lesson.over_top.situation, times()
    (x, y), (kx, ky) = lesson.landing(picture), picture.player("pressing", "1").xy
    assert race["keeper"] > 0.3 + (((x - kx) ** 2 + (y - ky) ** 2) ** 0.5 - 0.9) / 7.8


def test_the_keeper_just_wins_where_the_prose_says() -> None:
    just, easy = (int(metres) for metres in re.findall(r"(?:At|at) (\d+) m", prose(NOTEBOOK, "keeper-why")))
    outcomes = [lesson.keeper_height.check({"1": (off_m - 52.5, 0.2)}).outcome for off_m in (just - 2, just, easy)]
    assert outcomes == ["wrong", "right", "right"]


def test_the_goalkeeper_goes_back_as_their_10_comes_near() -> None:
    def off_m(x: float) -> float:
        plan = plan_press(lesson.open_ball.situation.moved("possession", "10", (x, 1.0)))
        return float(plan.assignments["1"].anchor_xy[0]) + 52.5

    assert off_m(-25.0) < off_m(-20.0) < off_m(-15.0)
