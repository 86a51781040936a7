"""Lesson 09: what the prose says must be what the engine says."""

from __future__ import annotations

import re

import pytest

from pressinglib.field.scenes import scene
from pressinglib.play.actions import TRIGGERS
from pressinglib.play.tactics import find_triggers
from pressinglib.roles.plan import plan_press
from pressinglib.teach.lessons import lesson_09 as lesson
from pressinglib.teach.pictures import pass_on_its_way
from pressinglib.teach.stand import Stand
from tests.teach.kept import kept, printed, prose

NOTEBOOK = kept("09")


def test_the_six_that_are_named_are_those_that_are_found() -> None:
    assert re.findall(r"^- (.*)$", prose(NOTEBOOK, "name"), re.MULTILINE) == list(TRIGGERS)


@pytest.mark.parametrize(("x", "seen"), [(16.1, ("receiver facing own goal",)), (15.9, ())])
def test_within_six_metres_his_back_is_a_trigger(x: float, seen: tuple[str, ...]) -> None:
    """Their 6 stands at (22, 1)."""
    assert find_triggers(lesson.trigger_or_not.situation.moved("pressing", "10", (x, 1))) == seen


def test_at_the_usual_pace_the_square_pass_is_none() -> None:
    usual = pass_on_its_way(scene("worked scene"), "4", 2.0, lesson.USUAL_PASS_MPS)
    assert find_triggers(usual) == ()


def test_one_goes_with_the_slow_pass_and_it_is_nine() -> None:
    assert lesson.which_trigger.plan.presser == "9"


def test_beside_the_keeper_their_three_is_the_one_option_left() -> None:
    stand = Stand(lesson.when_to_start.plan, lesson.when_to_start.situation)
    others = [p.number for p in stand.situation.possession if p.number != "5"]
    assert {number for number in others if stand.lane_s(number) > 0} == {"1", "3", "4"}
    assert stand.plan.account["4"] == "shadow"


@pytest.mark.parametrize(("place", "words"), [
    ((28, 22), "in the lane"), ((24, 26), "6 m at least"), ((20, 22), "late for their 3")])
def test_a_trap_that_shows_or_that_stays_open_is_none(place: tuple[float, float], words: str) -> None:
    assert re.search(words, lesson.set_the_trap.check(place).words)


def test_six_to_ten_metres() -> None:
    assert lesson.FREE_M == 6.0
    assert 9.5 < Stand(lesson.set_the_trap.plan, lesson.set_the_trap.situation).denial("11", "3").slack_m < 10.0


def test_after_the_touch_he_is_two_seconds_late() -> None:
    assert "2.0 s" in lesson.when_to_start.check("after").words


def test_two_close_one_and_eleven_cuts_it_out() -> None:
    lines = printed(NOTEBOOK, "start-story").splitlines()
    assert "two close him down" in lines[2]
    assert "11 cuts out the pass" in lines[-1]


def test_near_their_corner_the_clock_ends_it_and_with_high_wingers_the_ball() -> None:
    assert "5.0 s  The time is over" in printed(NOTEBOOK, "counter-story")
    assert lesson.on_or_back.check("back").words.startswith("3 of 6")
    near = scene("their corner")
    assert lesson.go_on_or_back(plan_press(near))["go on"].holds
