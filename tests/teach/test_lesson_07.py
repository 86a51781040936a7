"""Lesson 07: what the prose says must be what the engine says."""

from __future__ import annotations

from math import dist

from pressinglib.roles.plan import plan_press
from pressinglib.roles.presser import broken
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import Settings
from pressinglib.teach.explanation import sections
from pressinglib.teach.lessons import lesson_07 as lesson
from pressinglib.teach.press_questions import Race
from tests.play.stories import happened

WHY = sections(lesson)
THROUGH, FIRST, AGAIN = (e.plan for e in (lesson.who_goes, lesson.full_back, lesson.and_now))


def test_11_is_the_nearest_and_as_soon_but_not_goal_side() -> None:
    s, race = THROUGH.situation, Race(THROUGH)
    assert min(s.pressing, key=lambda p: dist(p.xy, s.ball_xy)).number == "11"
    assert abs(race.time_s("11") - race.time_s("6")) < 0.1
    assert (race.goal_side("11"), race.goal_side("6"), THROUGH.presser) == (False, True, "6")


def test_four_are_beaten_three_only_run_back_and_one_covers() -> None:
    p = THROUGH.picture
    assert broken(p)[0] and int((p.front & ~p.goal_side).sum()) == 4
    assert {n for n, found in lesson.who_is_beaten(THROUGH).items() if found.holds} == {"9", "10", "11"}
    jobs = THROUGH.assignments
    assert {n for n, job in jobs.items() if job.role == "cover"} == {"8"}
    assert (jobs["8"].mark, jobs["3"].role, THROUGH.account["7"]) == ("10", "back line", "free")
    assert jobs["7"].duty.startswith("guard the far side")


def test_back_into_the_crowd_though_the_left_line_is_nearer_and_outside_near_a_line() -> None:
    assert THROUGH.situation.ball_xy[1] > 0 and THROUGH.steer == "right"
    assert "Left of the ball you have 2, right of it 8" in lesson.crowd(THROUGH)
    assert (broken(FIRST.picture)[0], FIRST.situation.ball_xy[1] < -20, FIRST.steer) == (True, True, "right")
    assert THROUGH.rulebook.settings.touchline_m == 14


def test_the_late_press_is_broken_when_the_film_stops_and_not_before() -> None:
    film = lesson.late_press(2.6)
    assert [e.time_s for e in happened(film, "pass received")][0] < film.times[-1]
    assert not broken(film.plans[0].picture)[0] and broken(lesson.beaten.plan.picture)[0]


def test_the_film_stops_before_anybody_is_in_the_way_and_six_is_first() -> None:
    run = lesson.run_at_us(lesson.how_long.situation)
    stopped = happened(run, "carrier contained")[0]
    assert (stopped.pressing, round(2 * stopped.time_s) / 2) == (("6",), 3.5)
    assert "three and a half seconds" in WHY["how_long"]
    assert not happened(run, "ball won")
    assert lesson.run_at_us(lesson.how_long.situation, 2.0).times[-1] < stopped.time_s


def test_the_full_back_goes_and_stays_for_the_seconds_that_are_named() -> None:
    first, again = Race(FIRST), Race(AGAIN)
    assert round(first.time_s("7") - first.time_s("2"), 1) == 0.5
    assert (first.goal_side("7"), FIRST.presser, FIRST.assignments["2"].duty.split()[0]) == (False, "2", "contain")
    assert 0 < again.time_s("7") - again.time_s("2") < 0.2
    assert (again.goal_side("7"), AGAIN.presser, AGAIN.assignments["2"].mark) == (True, "7", None)
    assert AGAIN.rulebook.settings.step_out_s == 1.0


def test_straight_back_is_the_shorter_way_home() -> None:
    s = FIRST.situation
    (x, y), (ball_x, ball_y) = s.player("pressing", "7").xy, s.ball_xy
    away_m = dist((x, y), (ball_x, ball_y))
    back = [s.moved("pressing", "7", (x - m, y)) for m in range(12)]
    chasing = [s.moved("pressing", "7", (x + m * (ball_x - x) / away_m, y + m * (ball_y - y) / away_m))
               for m in range(12)]
    straight, at_him = (next(m for m, moved in enumerate(way) if plan_press(moved).presser == "7")
                        for way in (back, chasing))
    assert 0 < straight < at_him


def test_both_rules_leave_the_same_two_and_the_full_back_only_delays() -> None:
    midfield, first = lesson.both_rules()
    assert (midfield["goes"], first["goes"]) == ("7", "2")
    assert (midfield["open"], first["open"]) == ("4 and 11", "4 and 11")
    anyone = plan_press(AGAIN.situation, Rulebook(Settings(pressers="anyone")))
    assert [plan.assignments[n].duty.split()[0] for plan, n in ((AGAIN, "7"), (anyone, "2"))] == ["press", "contain"]
