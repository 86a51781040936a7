"""What every exercise keeps to, whatever its kind; all exercises of all lessons are put through it, mirrored too."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from pressinglib.field.player import Player
from pressinglib.field.situation import Situation
from pressinglib.teach.exercise import HINTS, Exercise
from pressinglib.teach.lessons import lesson_00
from pressinglib.teach.verdict import NOT_ATTEMPTED, RIGHT, WRONG
from pressinglib.teach.who_presses import WhoPresses

LESSONS = [lesson_00]
NAMED = [(name, value) for lesson in LESSONS for name, value in vars(lesson).items() if isinstance(value, Exercise)]
EXERCISES = [case for name, exercise in NAMED for case in (
    pytest.param(exercise, id=name), pytest.param(exercise.mirrored(), id=f"{name}, mirrored"))]
every_exercise = pytest.mark.parametrize("exercise", EXERCISES)
NONSENSE = [None, "", "nine", 3.7, -1, [], {}, (1, 2, 3), float("nan"), object(), b"9", (999, 0), "9" * 5000]


@every_exercise
def test_dots_are_not_attempted_and_say_what_to_do(exercise: Exercise) -> None:
    assert exercise.check(...).outcome == NOT_ATTEMPTED
    assert exercise.check(...).words == exercise.task


@every_exercise
def test_its_own_solution_is_right(exercise: Exercise) -> None:
    assert exercise.check(exercise.solution().answer).outcome == RIGHT


@every_exercise
@pytest.mark.parametrize("answer", NONSENSE, ids=lambda answer: repr(answer)[:12])
def test_nonsense_is_wrong_and_never_an_error(exercise: Exercise, answer: Any) -> None:
    verdict = exercise.check(answer)
    assert verdict.outcome == WRONG
    assert 0 < len(verdict.words) < 200


@every_exercise
def test_the_same_answer_gets_the_same_verdict(exercise: Exercise) -> None:
    answer = exercise.solution().answer
    assert exercise.check(answer) == exercise.check(answer) == replace(exercise).check(answer)


@every_exercise
def test_four_hints_say_more_and_more_and_the_last_shows(exercise: Exercise) -> None:
    hints = [exercise.hint(step) for step in range(1, HINTS + 1)]
    assert len({hint.words for hint in hints}) == HINTS
    assert hints[0].words == exercise.look
    assert any(sign.isdigit() for sign in hints[2].words)  # how far, in seconds, metres or men
    assert hints[3].words == exercise.solution().words
    assert [repr(hint).partition(":")[0] for hint in hints] == [f"Hint {step} of {HINTS}" for step in range(1, 5)]


@every_exercise
@pytest.mark.parametrize("step", [..., 0, 5, "1", None])
def test_no_hint_is_given_that_was_not_asked_for(exercise: Exercise, step: Any) -> None:
    assert repr(exercise.hint(step)) == "Stuck: Write 1, 2 or 3 over the dots for a hint; 4 shows an answer."


@every_exercise
def test_its_picture_gives_no_plan_away(exercise: Exercise) -> None:
    layers = {mark.layer for mark in exercise.picture.drawing.marks}
    assert layers.isdisjoint({"roles", "shadow", "lanes", "gaps"})
    assert "presses" not in exercise.picture.drawing.words


def test_a_solution_holds_the_picture_with_the_answer_in_it() -> None:
    exercise = lesson_00.place_the_cover
    solution = exercise.solution()
    assert solution.situation is not None
    assert solution.situation.player("pressing", "8").xy == solution.answer
    assert exercise.check(solution.situation).outcome == RIGHT


def test_a_hostile_number_is_judged_and_never_markup() -> None:
    number = "<b>9</b>"
    picture = lesson_00.which_side.situation
    renamed = tuple(Player(number, p.slot, p.xy) if p.number == "9" else p for p in picture.pressing)
    exercise = Exercise("Who?", "Choose.", replace(picture, pressing=renamed), WhoPresses(), "The ball.")
    shown = [exercise.check(number), exercise.check("7"), exercise.check("99"), *map(exercise.hint, range(1, 5))]
    assert exercise.check(number).outcome == RIGHT
    assert [card for card in shown if number in card._repr_html_()] == []
    assert "&lt;b&gt;9&lt;/b&gt;" in exercise.check("7")._repr_html_()


def test_where_the_ball_is_won_nobody_goes() -> None:
    picture = Situation.line_up(ball_xy=(30, 10))
    won = replace(picture.moved("pressing", "9", picture.ball_xy).moved("possession", picture.on_ball or "", (31, 11)),
                  ball_xy=picture.ball_xy, carrier=None)
    exercise = Exercise("Who?", "Choose.", won, WhoPresses(), "The ball.")
    assert (won.state, exercise.solution().answer) == ("won", "nobody")
    assert [exercise.check("nobody").outcome, exercise.check("9").outcome] == [RIGHT, WRONG]
