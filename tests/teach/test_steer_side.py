"""To which side: the side of the plan, with what the other side would open."""

from __future__ import annotations

import pytest

from pressinglib.field.scene_file import scene, scene_names
from pressinglib.roles.plan import plan_press
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import Settings
from pressinglib.teach.exercise import RIGHT, WRONG, Exercise
from pressinglib.teach.lessons import lesson_07
from pressinglib.teach.lessons.lesson_00 import which_side
from pressinglib.teach.press_questions import OTHER, SteerSide
from tests.teach.lessons import mirrored


def asked(name: str, rulebook: Rulebook | None = None) -> Exercise:
    return Exercise("Side?", "Choose.", scene(name), SteerSide(), "The touchline.", rulebook or Rulebook())


@pytest.mark.parametrize("name", scene_names())
def test_the_side_of_the_plan_is_right_and_the_other_wrong(name: str) -> None:
    exercise = asked(name)
    side = exercise.plan.steer
    assert [exercise.check(side).outcome, exercise.check(OTHER[side]).outcome] == [RIGHT, WRONG]


def test_the_mirrored_picture_has_the_mirrored_answer() -> None:
    assert [which_side.solution().answer, mirrored(which_side).solution().answer] == ["right", "left"]


def test_the_wrong_side_is_told_first_what_it_opens() -> None:
    """Steered inside, nobody is left for their 5, who else is in the shadow: so says the plan made that way."""
    inside = plan_press(which_side.situation, Rulebook(Settings(steering="inside")))
    assert inside.steer == "left" and (inside.account["5"], inside.account["8"]) == ("free", "denied")
    assert (which_side.plan.account["5"], which_side.plan.account["8"]) == ("shadow", "denied")
    assert which_side.check("left").words.startswith("Steer him left, and the pass to 5 is on.")
    assert "hides their 5" in which_side.check("right").words


def test_a_rulebook_that_steers_inside_turns_the_answer_round() -> None:
    exercise = asked("build-up right", Rulebook(Settings(steering="inside")))
    assert [exercise.check("left").outcome, exercise.check("right").outcome] == [RIGHT, WRONG]


def test_the_surplus_is_counted_for_the_right_sides() -> None:
    """By hand: within 25 m of the ball at y = -12.2, one of ours and one of theirs below; one and three above."""
    assert "2 short on the left and level on the right" in which_side.hint(3).words
    assert "level on the left and 2 short on the right" in mirrored(which_side).hint(3).words


def test_the_touchline_is_named_where_it_counts() -> None:
    """On a pitch 68 m wide the ball at y = -31.3 is 2.7 m from the line; at -12.2 it is 21.8 m off, beyond 14."""
    assert "the touchline counts as 2" in asked("full-back on the ball").hint(3).words
    assert "touchline" not in which_side.hint(3).words


def test_the_second_hint_is_the_rule_that_decides() -> None:
    broken = Exercise("Side?", "Choose.", lesson_07.which_side.situation, SteerSide(), "The touchline.")
    assert broken.plan.steer == "right" and broken.situation.ball_xy[1] > 0  # inside
    assert "back into the crowd" in broken.hint(2).words
    assert "outside, to the nearer touchline" in which_side.hint(2).words
