"""Lesson 01: what the words say must be what the engine says."""

from __future__ import annotations

import re
from math import dist

import numpy as np
import pytest
from scipy.optimize import linear_sum_assignment

from pressinglib.field.scene_file import scene
from pressinglib.field.situation import Situation
from pressinglib.field.zonal_block import lined_up_xy
from pressinglib.physics.ball import ball_time
from pressinglib.roles.plan import plan_press
from pressinglib.roles.snapshot import Snapshot
from pressinglib.teach.lessons import lesson_01 as lesson
from pressinglib.teach.line_questions import alone, ten_band, ten_shifted
from pressinglib.teach.pictures import in_tenths, placed, towards
from pressinglib.teach.stand import Stand
from tests.teach.kept import kept, prose, told

NOTEBOOK = kept("01")


def test_the_nearest_is_not_the_first_and_the_first_is_twice_as_far_off() -> None:
    said = [lesson.whose_ball.check(number).words for number in ("8", "10")]
    near, first = (float(re.search(r"(\d+\.\d) m away", words)[1]) for words in said)
    assert near == 4.5 and "4.5 m" in prose(NOTEBOOK, "ball")
    assert 1.6 < first / near < 2.2
    assert [words.split()[0] for words in said] == ["8", "10"]


def test_the_hand_over_holds_with_a_second_to_spare() -> None:
    first_s, _, ball_s = map(float, re.findall(r"(\d+\.\d) s[.:]", lesson.whose_man.solution().words))
    assert ball_s - first_s > 0.9


@pytest.mark.parametrize("seed", range(6))
def test_whoever_is_handed_the_runner_is_there_before_the_ball(seed: int) -> None:
    first_s, _, ball_s = map(float, re.findall(r"(\d+\.\d) s[.:]", lesson.whose_man.variant(seed).solution().words))
    assert first_s <= ball_s


def test_half_of_the_balls_way_is_more_than_two_passes_allow() -> None:
    low, _, high = lesson.shift_band(lesson.how_far.plan)
    half_m = abs(lesson.how_far.situation.ball_xy[1]) / 2
    assert f"here {half_m:.0f} m" in told(lesson, "how_far")
    assert 3 < low < high < half_m
    assert "switch" in lesson.how_far.check(half_m).words
    assert "before 2" in lesson.how_far.check(low - 1).words


@pytest.mark.parametrize("seed", range(3))
def test_the_band_is_where_both_passes_are_paid_for(seed: int) -> None:
    """At its ends one of the two is just paid for; a metre beyond it no longer is."""
    exercise = lesson.how_far.variant(seed)
    low, _, high = lesson.shift_band(exercise.plan)
    assert [exercise.check(m).outcome for m in (low, high, low - 1, high + 1)] == ["right", "right", "wrong", "wrong"]


def test_no_number_of_metres_is_right_for_both_passes() -> None:
    (low_b, best_b, high_b), (low_c, best_c, high_c) = (ten_band(e.plan) for e in (lesson.ten_to_b, lesson.ten_to_c))
    assert high_c + 1.0 < low_b
    assert "About 15 m, and 12 would do" in told(lesson, "ten_to_b")
    assert [lesson.ten_to_b.check(m).outcome for m in (15, 12)] == ["right", "right"]
    for way_m, best_m, cell in ((41, best_b, "ten-b"), (18, best_c, "ten-c")):
        assert f"{way_m} m" in prose(NOTEBOOK, cell)
        assert 0.33 < best_m / way_m < 0.5  # "a little less than half of the ball's way"
    for exercise in (lesson.ten_to_b, lesson.ten_to_c):
        s = exercise.situation
        block = lined_up_xy(tuple(p.slot for p in s.pressing), s.ball_xy, s.pitch)
        before, after = (np.mean([xy[1] for xy, p in zip(places, s.pressing, strict=True) if not p.is_goalkeeper])
                         for places in ([p.xy for p in s.pressing], block))
        low, _, high = ten_band(exercise.plan)
        assert low < abs(after - before) < high + 1.5  # the block that the library itself lines up


def test_too_few_and_too_many_metres_leave_somebody_alone_on_either_side() -> None:
    rules, start = lesson.ten_to_b.rulebook, lesson.ten_to_b.situation
    low, _, high = ten_band(lesson.ten_to_b.plan)
    stands = [Snapshot.of(ten_shifted(start, m), rules) for m in (low - 0.5, low, high, high + 0.5)]
    few, least, most, many = (set(np.flatnonzero(alone(st, st.own[st.outfield]))) for st in stands)
    assert (least, most) == (set(), set()) and few and many and few.isdisjoint(many)


def test_the_ten_need_as_long_as_the_ball() -> None:
    s = lesson.ten_to_b.rulebook.settings
    ball_s, ten_s = float(ball_time(41, s.ball_mps)), float(s.running.rest_time(15.0, s.reaction_s))
    assert abs(ball_s - 3.3) < 0.5 and abs(ten_s - 3.0) < 0.5


def test_the_far_back_may_stand_more_than_twenty_metres_off() -> None:
    assert re.search(r"and is 2\d\.\d m off", lesson.the_ends.solution().words)
    assert "more than twenty metres" in told(lesson, "the_ends")


def man_for_man(situation: Situation) -> Situation:
    """Everybody 1.5 m goal-side of an opponent, the pairs with the least running in all (Hungarian method)."""
    ours = [p for p in situation.pressing if not p.is_goalkeeper]
    places = [towards(man.xy, situation.pitch.own_goal_xy, 1.5) for man in situation.possession
              if not man.is_goalkeeper]
    rows, columns = linear_sum_assignment([[dist(p.xy, place) for place in places] for p in ours])
    return placed(situation, {ours[i].number: places[j] for i, j in zip(rows, columns, strict=True)})


def test_men_cost_twice_the_running_and_nobody_is_open_either_way() -> None:
    plan, words, run_m = plan_press(scene("full-back on the ball")), told(lesson, "the_ends"), []
    runs_made = placed(plan.situation, {n: in_tenths(job.target_xy) for n, job in plan.assignments.items()})
    for after in (runs_made, man_for_man(plan.situation)):
        assert Stand(plan, after).free == set()
        run_m.append(sum(dist(p.xy, after.player("pressing", p.number).xy) for p in plan.situation.pressing))
    assert f"run {run_m[0]:.0f} m to their places in zones, and {run_m[1]:.0f} m to their men" in words
