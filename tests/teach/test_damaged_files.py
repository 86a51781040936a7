"""Thousands of damaged files of every kind: each is read, or refused in words; a class is marked all the same."""

from __future__ import annotations

import json
import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from pressinglib.errors import PlainFileError
from pressinglib.field.scene_file import (
    OwnMark,
    SceneFile,
    load_scene,
    load_session,
    save_session,
    save_situation,
    scene,
)
from pressinglib.teach import read_class, read_exercises
from pressinglib.teach.answer_file import AnswerFile, Try, load_answers, save_answers
from pressinglib.teach.class_results import judged_again
from pressinglib.teach.lessons.lesson_00 import place_the_cover
from pressinglib.teach.own_exercise import load_exercise, make_exercise, save_exercise
from tests.teach.damage import damaged

MARKS = (OwnMark("arrow", ((0, 0), (10, 5))), OwnMark("note", ((3, 3),), "here"))
FILES = (60, 4000)  # of a kind: by default, and with --full
TRIES = (Try("my team", "Who goes?", "9", "right"), Try("my team", "Where?", [20.0, -9.0], "wrong"),
         Try("00", "Which gaps?", ["9-10", {"8": [1, 2]}], "wrong"))
ASKED = {"who.json": ("Who goes?", "Name him.", "who goes"),
         "where.json": ("Where?", "Drag {cover}.", "deny a pass", "8, 6")}


def write_exercise(path: Path) -> None:
    save_exercise(make_exercise(place_the_cover.situation, *ASKED["where.json"]), path)


KINDS: dict[str, tuple[Callable[[Path], object], Callable[[Path], Any]]] = {
    "exercise": (write_exercise, load_exercise),
    "answers": (lambda path: save_answers(AnswerFile("Kim", TRIES), path), load_answers),
    "scene": (lambda path: save_situation(scene("throw-in"), path, "A title", "Notes", MARKS), load_scene),
    "session": (lambda path: save_session([SceneFile(scene("ten men"), "Ten", "", MARKS),
                                           SceneFile(scene("worked scene"))], path), load_session),
}


@pytest.fixture
def count(full: bool) -> int:
    """How many files of a kind."""
    return FILES[full]


@pytest.mark.parametrize("kind", KINDS)
def test_a_damaged_file_is_read_or_refused_in_words(tmp_path: Path, count: int, kind: str) -> None:
    write, load = KINDS[kind]
    path, dice, refused = tmp_path / "a.json", random.Random(kind), 0
    write(path)
    document = json.loads(path.read_text("utf-8"))
    for _ in range(count):
        path.write_bytes(damaged(document, dice))
        try:
            found = load(path)
        except PlainFileError as error:
            refused += 1
            assert error.problems and str(error).isprintable() and len(str(error)) < 12_000
            continue
        if kind == "exercise":
            assert all(judged_again(found, one.answer).words for one in TRIES)
            assert found.hint(3).words
    assert count / 2 < refused < count


def test_a_class_is_marked_whatever_else_lies_in_its_folders(tmp_path: Path, count: int) -> None:
    """Every damaged file is named, or read as what it now is; the marks of the others stay as they were."""
    answers, exercises = tmp_path / "answers", tmp_path / "exercises"
    answers.mkdir()
    exercises.mkdir()
    for name, fields in ASKED.items():
        save_exercise(make_exercise(place_the_cover.situation, *fields), exercises / name)
    save_answers(AnswerFile("Zoe", TRIES), answers / "zoe.json")
    exercise, kims = (json.loads(path.read_text("utf-8")) for path in (exercises / "where.json", answers / "zoe.json"))
    kims["learner"] = "Kim"
    before = read_class(answers, exercises)
    dice, many = random.Random(1), count // 10
    (exercises / "x.json").write_text(json.dumps({**exercise, "settings": {"cls": 1}}))
    for n in range(many):
        (answers / f"x{n}.json").write_bytes(damaged(kims, dice))
        (exercises / f"x{n}.json").write_bytes(damaged({**exercise, "scene": {}}, dice))
    found = read_exercises(exercises)
    assert [one.title for one in found] == ["Where?", "Who goes?"] and len(found.skipped) == many + 1
    results = read_class(answers, found)
    [zoe] = [row for row in results.table().rows if row[0] == "Zoe"]
    assert zoe == before.table().rows[0]
    assert len(results.skipped) + len(results.learners) == 2 * many + 2
    assert all(f"Skipped {name}: {why}" in results.notes and why.isprintable() for name, why in results.skipped)
    assert "<table" in results._repr_html_() and 'role="img"' in results._repr_html_()
