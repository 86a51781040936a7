"""Who goes: the presser, whoever is as good, and for everybody else the reason with its seconds."""

from __future__ import annotations

import re

import pytest

from pressinglib.field.scene_file import scene, scene_names
from pressinglib.field.situation import Situation
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import Settings
from pressinglib.teach.exercise import RIGHT, WRONG, Exercise
from pressinglib.teach.lessons.lesson_00 import who_goes
from pressinglib.teach.press_questions import Race, WhoPresses


def asked(situation: Situation, rulebook: Rulebook | None = None) -> Exercise:
    return Exercise("Who goes?", "Name him.", situation, WhoPresses(), "The ball.", rulebook or Rulebook())


@pytest.mark.parametrize("name", scene_names())
def test_exactly_the_presser_is_right_where_nobody_is_as_soon(name: str) -> None:
    exercise = asked(scene(name))
    rights = [number for number in exercise.plan.assignments if exercise.check(number).outcome == RIGHT]
    race, first = Race(exercise.plan), exercise.plan.presser
    assert first in rights
    assert [number for number in rights if race.time_s(number) > race.time_s(first) + 0.1] == []


def test_two_who_are_level_are_both_right() -> None:
    """Ball and carrier on the middle line, 10 and 9 the same way off it: no eye could choose."""
    middle = scene("build-up left").moved("possession", "5", (36, 0)).with_ball((35.3, 0), carrier="5")
    exercise = asked(middle.moved("pressing", "9", (25, -5)).moved("pressing", "10", (25, 5)))
    assert [exercise.check(number).outcome for number in ("9", "10")] == [RIGHT, RIGHT]
    apart = asked(exercise.situation.moved("pressing", "10", (23, 5)))
    assert [apart.check(number).outcome for number in ("9", "10")] == [RIGHT, WRONG]


def test_the_nearest_of_the_back_line_is_told_what_he_is_needed_for() -> None:
    verdict = who_goes.check("3")
    assert verdict.outcome == WRONG
    assert re.match(r"3 could be there in \d\.\d s, 11 in \d\.\d s: soon enough, but 3 stays", verdict.words)
    assert verdict.words.endswith("stays in the back line, to drop with the line.")


def test_with_anyone_eligible_he_is_right() -> None:
    assert asked(who_goes.situation, Rulebook(Settings(pressers="anyone"))).check("3").outcome == RIGHT


def test_a_late_player_is_told_by_how_many_seconds() -> None:
    race = Race(who_goes.plan)
    late_s = round(race.time_s("8"), 1) - round(race.time_s("11"), 1)
    assert f"8 is {late_s:.1f} s too late" in who_goes.check("8").words


def test_the_right_answer_says_why_the_sooner_one_stays() -> None:
    assert "3 could be there sooner" in who_goes.check("11").words


def test_a_beaten_midfielder_is_told_that_he_is_not_goal_side() -> None:
    words = asked(scene("behind the midfield")).check("6").words
    assert "not goal-side" in words


def test_the_goalkeeper_stays() -> None:
    assert "stays to sweep" in who_goes.check(1).words


def test_nobody_is_right_only_where_nobody_goes() -> None:
    mid_block = Rulebook(Settings(confrontation_x_m=0))
    holding = asked(scene("build-up left"), mid_block)
    assert holding.plan.presser is None
    assert [holding.check("nobody").outcome, holding.check("9").outcome] == [RIGHT, WRONG]
    assert who_goes.check("nobody").outcome == WRONG
