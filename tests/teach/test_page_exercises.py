"""Exercises on a page: it says what the lesson would say, and its tries are marked like any others."""

from __future__ import annotations

import json
from collections import Counter
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from pressinglib import Board, PressingError, plan_press, save_page, scene
from pressinglib.field.scene_file import SceneFile
from pressinglib.teach.answer_file import AnswerFile, Try, save_answers
from pressinglib.teach.class_results import read_class
from pressinglib.teach.course import TEAM, Course
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.lessons import lesson_00, lesson_02
from pressinglib.teach.page_exercises import Baked
from tests.show.test_page import data_of
from tests.teach.keys.kinds import KINDS
from tests.teach.lessons import ALL

QUICK = {name: exercise for name, exercise in KINDS.items() if name not in ("write_rule", "move_players")}


@cache
def baked(exercise: Exercise) -> tuple[dict[str, Any], list[tuple[str, Any]]]:
    """What its page holds, and every answer with its key."""
    one = Baked(exercise)
    return data_of(one.section("00")), list(one.answers().items())


@pytest.mark.parametrize("name", QUICK)
def test_every_kind_is_judged_as_the_lesson_judges(name: str) -> None:
    exercise = QUICK[name]
    data, answers = baked(exercise)
    assert set(data["answers"]) == {key for key, _ in answers}
    for key, answer in answers[:: max(1, len(answers) // 40)]:
        outcome, head, *words = data["verdicts"][data["answers"][key]]
        verdict = exercise.check(answer)
        assert head == exercise.taught(answer)[0].head
        for tries in range(3):
            assert words[min(tries, len(words) - 1)] == exercise.taught(answer)[tries].words
        assert outcome == exercise.taught(answer)[0].outcome
        assert outcome == verdict.outcome or outcome == "not attempted"  # what makes no sense is no try
    assert data["hints"] == [exercise.hint(step).words for step in (1, 2, 3)]


@pytest.mark.parametrize("name", QUICK)
def test_its_solution_is_right(name: str) -> None:
    data, _ = baked(QUICK[name])
    form, model = data["form"], data["model"]
    if form["options"]:
        key = ", ".join(model if form["in_order"] else sorted(model, key=form["options"].index))
    else:
        key = ",".join(map(str, model)) if form["placed"] else f"{model:g}"
    assert data["verdicts"][data["answers"][key]][0] == "right"
    assert data["solution"] == QUICK[name].solution().words


def test_all_but_a_few_exercises_can_be_answered_on_a_page() -> None:
    asked = {name: exercise for name, (exercise, _) in ALL.items() if name.startswith("lesson")}
    later = [exercise for exercise in asked.values() if not Baked(exercise).can_be_baked()]
    assert len(asked) - len(later) >= 58  # of 77, in a trial
    assert {type(one.judge).__name__ for one in later if len(one.form.placed) < 3} == {"WriteRule"}
    assert all("on a computer" in Baked(one).section("00") for one in later)


def test_tries_are_marked_by_the_tutor(tmp_path: Path) -> None:
    exercises = [lesson_00.who_goes, lesson_02.in_order, lesson_00.place_the_cover]
    tries, right = [], Counter[str]()
    for exercise in exercises:
        data, answers = baked(exercise)
        for key, answer in answers[:6] + answers[-6:]:
            outcome = data["verdicts"][data["answers"][key]][0]
            if outcome != "not attempted":
                tries.append(Try(TEAM, exercise.title, answer, outcome))
                right[exercise.title] += outcome == "right"
    save_answers(AnswerFile("Kim", tuple(tries)), tmp_path / "kim.json")
    marks = [[one.outcome for one in some] for some in read_class(tmp_path, Course(TEAM, exercises)).tries.values()]
    assert [mark.count("right") for mark in marks] == [right[exercise.title] for exercise in exercises]
    assert sum(map(len, marks)) == len(tries) > 20


@pytest.mark.parametrize(("what", "sections"), [
    (scene("worked scene"), 1), (plan_press(scene("worked scene")), 1), (Board(scene("worked scene")), 1),
    (SceneFile(scene("worked scene"), "Tuesday"), 1), ([lesson_00.who_goes, scene("worked scene")], 2)])
def test_scenes_and_exercises_in_one_file(what: Any, sections: int, tmp_path: Path) -> None:
    page = save_page(what, tmp_path / "page.html", carry_m=0.0).read_text("utf-8")
    assert page.count('data-part="packed"') == sections
    assert ('id="answers"' in page) == (sections == 2)
    assert ("<h1>Tuesday</h1>" in page) == isinstance(what, SceneFile)


@pytest.mark.parametrize("what", ["a scene", [], [3]])
def test_what_is_neither_is_said(what: Any, tmp_path: Path) -> None:
    with pytest.raises(PressingError, match="page: expected"):
        save_page(what, tmp_path / "page.html")
    assert not list(tmp_path.iterdir())


def test_it_is_told_how_far_it_is(tmp_path: Path) -> None:
    told: list[tuple[int, int]] = []
    save_page(scene("worked scene"), tmp_path / "a.html", carry_m=0.0, progress=lambda *counts: told.append(counts))
    assert told == sorted(told) and told[-1][0] == told[-1][1] > 100


def test_hostile_titles_are_text(tmp_path: Path) -> None:
    bad = Exercise("<script>1</script>", "</script><b>", lesson_00.who_goes.situation, lesson_00.who_goes.judge, "<i>")
    page = save_page(bad, tmp_path / "page.html").read_text("utf-8")
    assert "<script>1" not in page and "<b>" not in page and "<i>" not in page
    assert json.dumps(data_of(page)["name"]) == '"<script>1</script>"'
