"""What else is right: every answer that is shown as accepted is accepted, and the others are not."""

from __future__ import annotations

import pytest
from shapely import Point, Polygon

from pressinglib import Situation
from pressinglib.field.scene_file import scene
from pressinglib.teach.accepted import Accepted
from pressinglib.teach.exercise import RIGHT, WRONG, Exercise
from pressinglib.teach.lessons.lesson_00 import place_the_cover, which_side, who_goes
from pressinglib.teach.lessons.lesson_10 import mark_three, one_answer
from pressinglib.teach.own_exercise import KINDS, make_exercise
from tests.teach.test_exercise_file import one_of_kind


@pytest.mark.parametrize("exercise", [who_goes, which_side, place_the_cover, mark_three])
def test_right_is_right_and_wrong_is_wrong(exercise: Exercise) -> None:
    accepted = Accepted(exercise)
    assert {exercise.check(answer).outcome for answer in accepted.right} == {RIGHT}
    assert {exercise.check(answer).outcome for answer in accepted.wrong[:40]} <= {WRONG}
    assert repr(accepted.card).startswith("Right: ")


def test_two_who_are_level_are_both_shown() -> None:
    level = make_exercise(one_answer.situation, "Who goes?", "Write his number.", "who goes")
    assert sorted(Accepted(level).right) == ["10", "9"]
    assert "also" in Accepted(level).card.words


def test_places_in_the_area_are_right_and_far_outside_it_wrong() -> None:
    accepted = Accepted(place_the_cover)
    area = [Polygon(mark.points) for mark in accepted.area()]
    assert f"about {len(accepted.right)} m2" in accepted.card.words
    assert sum(part.area for part in area) == pytest.approx(len(accepted.right), rel=0.2)
    middles = [part.representative_point() for part in area]
    assert {place_the_cover.check((p.x, p.y)).outcome for p in middles} == {RIGHT}
    far = [answer for answer in accepted.wrong if min(part.distance(Point(answer)) for part in area) > 1]
    assert far and {place_the_cover.check(answer).outcome for answer in far[:20]} == {WRONG}


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_a_tutor_has_answers_to_get_wrong(kind: str) -> None:
    assert Accepted(one_of_kind(kind)).wrong != []


def test_where_answers_cannot_be_listed_that_is_said() -> None:
    from tests.teach.keys.kinds import KINDS as ONE_OF_EACH

    assert "whatever does the same job" in Accepted(ONE_OF_EACH["place_players"]).card.words
    assert Accepted(ONE_OF_EACH["place_players"]).area() == []


def test_a_corner_of_the_pitch_is_no_accident() -> None:
    corner = Situation.line_up(ball_xy=(51, 33))
    assert Accepted(make_exercise(corner, "Who?", "Name him.", "who goes")).right
    assert Accepted(make_exercise(scene("throw-in"), "Who?", "Name him.", "who goes")).right
