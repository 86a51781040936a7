"""Lesson 09: what the prose says must be what the engine says."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from pressinglib.field.scene_file import scene
from pressinglib.play.actions import TRIGGERS
from pressinglib.play.tactics import find_triggers
from pressinglib.teach.lessons import lesson_09 as lesson
from pressinglib.teach.pictures import pass_on_its_way
from pressinglib.teach.prices import KEPT
from pressinglib.teach.stand import Stand
from tests.play.stories import happened
from tests.teach.kept import kept, prose

NOTEBOOK = kept("09")


def test_the_six_that_are_named_are_those_that_are_found() -> None:
    assert re.findall(r"^- (.*)$", prose(NOTEBOOK, "name"), re.MULTILINE) == list(TRIGGERS)


@pytest.mark.parametrize(("x", "seen"), [(16.1, ("receiver facing own goal",)), (15.9, ())])
def test_within_six_metres_a_turned_back_is_a_trigger(x: float, seen: tuple[str, ...]) -> None:
    """Their 6 stands at (22, 1)."""
    assert find_triggers(lesson.trigger_or_not.situation.moved("pressing", "10", (x, 1))) == seen


def test_which_way_their_six_faces_is_drawn_and_decides() -> None:
    s = lesson.trigger_or_not.others[0]
    assert "facing" in {mark.style for mark in lesson.trigger_or_not.picture.drawing.marks if hasattr(mark, "style")}
    turned = tuple(replace(p, facing_deg=180.0) if p.number == "6" else p for p in s.possession)
    assert (find_triggers(s), find_triggers(replace(s, possession=turned))) == (("receiver facing own goal",), ())


def test_at_the_usual_pace_the_square_pass_is_none() -> None:
    usual = pass_on_its_way(scene("worked scene"), "4", 2.0, lesson.USUAL_PASS_MPS)
    assert find_triggers(usual) == ()


def test_the_first_film_stops_before_the_slow_pass_and_then_nine_goes() -> None:
    film = lesson.waiting(6.0)
    seen = [event.time_s for event in happened(film, "trigger seen")]
    assert len(seen) == 1 and lesson.waiting(2.3).times[-1] < seen[0] < lesson.waiting(2.7).times[-1]
    assert [plan.presser for plan in lesson.waiting(2.3).plans] == [None] * len(lesson.waiting(2.3))
    assert film.at(seen[0] + 0.5).plan.presser == "9"


def test_beside_the_keeper_their_two_is_the_one_option_left() -> None:
    stand = Stand(lesson.when_to_start.plan, lesson.when_to_start.situation)
    others = [p.number for p in stand.situation.possession if p.number != "5"]
    assert {number for number in others if stand.lane_s(number) > 0} == {"1", "2", "4"}
    assert stand.plan.account["4"] == "shadow"


@pytest.mark.parametrize(("place", "words"), [
    ((28, 22), "in the lane"), ((24, 26), "6 m at least"), ((20, 22), "late for their 2")])
def test_a_trap_that_shows_or_that_stays_open_is_none(place: tuple[float, float], words: str) -> None:
    assert re.search(words, lesson.set_the_trap.check(place).words)


def test_six_to_ten_metres() -> None:
    assert lesson.FREE_M == 6.0
    assert 9.5 < Stand(lesson.set_the_trap.plan, lesson.set_the_trap.situation).denial("11", "2").slack_m < 10.0


@pytest.mark.parametrize(("late_s", "later_s"), [(0.0, 0.5), (2.1, 2.5)])
def test_the_trap_that_is_judged_is_the_trap_that_is_played(late_s: float, later_s: float) -> None:
    """With the pass half a second for braking and getting in the way, after the touch about two seconds more."""
    plan = lesson.when_to_start.plan
    film = lesson.trap_on_two(plan.situation, late_s)
    in_s = happened(film, "carrier contained")[0].time_s - lesson.touch_s(plan, "2")
    assert in_s == pytest.approx(later_s, abs=0.35)
    assert f"in the way {in_s:.1f} s later" in lesson.held_up(plan, late_s)[1]


def test_the_trap_film_stops_before_the_ball_is_there_and_two_close_it() -> None:
    film = lesson.trap_film()
    assert lesson.trap_film(1.4).times[-1] < happened(film, "pass received")[0].time_s
    assert {"9", "11"} < set(re.findall(r"\d+", happened(film, "ball won")[0].words))


def test_the_counter_press_goes_on_for_five_seconds_or_until_they_have_played_out_of_it() -> None:
    film = lesson.ball_just_lost()
    assert happened(film, "counter-press aborted")[0].time_s == pytest.approx(5.0, abs=0.1)
    assert lesson.on_or_back.check("back").words.startswith("The ball is past 3 of your 6")
    assert lesson.still_on.check("go on").outcome == "right"


def test_what_is_said_of_prices_is_what_the_games_that_are_kept_say() -> None:
    """A way is right where its whole interval lies above 0; the words hold its number and both ends."""
    found, beside = lesson.more_often(lesson.what_it_costs.plan), KEPT["price_09"]["more"]
    assert {way for way, finding in found.items() if finding.holds} == {
        way for way, rates in beside.items() if rates[1][1] > 0}
    value, low, high = beside["man for man"][1]
    assert f'by "man for man": {-value:.0f} fewer ({-high:.0f} to {-low:.0f})' in lesson.zone_or_man()
    assert {row["choice"] for row in lesson.prices()} == {"as planned", *found}
