"""Exercises of one's own, and their files: there and back, hostile ones, and marks that stay after an update."""

from __future__ import annotations

import json
from dataclasses import fields, replace
from pathlib import Path
from typing import Any

import pytest

from pressinglib import Rulebook, Settings, Situation, __version__
from pressinglib.errors import BadInput, ExerciseFileError, PressingError
from pressinglib.field.scene_file import scene
from pressinglib.files import Checker
from pressinglib.teach.accepted import Accepted, doubts_of
from pressinglib.teach.exercise import RIGHT, WRONG, Exercise
from pressinglib.teach.lessons.lesson_00 import place_the_cover
from pressinglib.teach.own_exercise import (
    EXERCISE,
    KINDS,
    asked_of,
    kind_of,
    load_exercise,
    make_exercise,
    save_exercise,
)

WHO = ("Who goes?", "Name the one who goes.", "who goes")
COVER = ("Where does 8 stand?", "Drag 8.", "deny a pass", "8, 6")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "mine.json"


@pytest.fixture
def document(path: Path) -> dict[str, Any]:
    save_exercise(make_exercise(place_the_cover.situation, *COVER), path)
    return json.loads(path.read_text("utf-8"))


def one_of_kind(kind: str) -> Exercise:
    """An exercise of this kind, on a picture that carries it."""
    if kind == "find the fault":
        spoilt = scene("worked scene").moved("pressing", "7", (14, 6))
        return make_exercise(spoilt, "What is wrong?", "Name the fault.", kind, "far side too narrow")
    asked = "8, 6" if KINDS[kind].asks else ""
    return make_exercise(place_the_cover.situation, "A question?", "Answer.", kind, asked)


# -- making ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_can_be_made_and_is_right_by_its_own_answer(kind: str) -> None:
    exercise = one_of_kind(kind)
    assert kind_of(exercise) == kind
    assert exercise.check(exercise.solution().answer).outcome == RIGHT
    assert exercise.hint(1).words == KINDS[kind].look


@pytest.mark.parametrize("asked", ["8, 6", "8 6", " 8 ,6 ", ["8", "6"], (8, 6), {"cover": "8", "option": "6"}])
def test_what_is_asked_can_be_written_in_many_ways(asked: Any) -> None:
    assert asked_of(KINDS["deny a pass"], asked, place_the_cover.situation) == {"cover": "8", "option": "6"}


@pytest.mark.parametrize(("change", "words"), [
    ({"title": ""}, "the title: expected a text of 1-120"),
    ({"title": "x" * 121}, "the title"), ({"title": None}, "the title"),
    ({"task": "  "}, "the task: expected a text of 1-400"), ({"task": "a\x00b"}, "the task"),
    ({"kind": "who gose"}, "no kind 'who gose' here. Choose who goes, the back line, mark the gaps, which side"),
    ({"kind": 3}, "kind"),
    ({"asked": ""}, "what is asked: expected the number of the cover and the number of the option"),
    ({"asked": "8"}, "what is asked"), ({"asked": "8, 6, 4"}, "what is asked"), ({"asked": "8, 99"}, "no option '99'"),
    ({"asked": {"cover": "8"}}, "what is asked"), ({"asked": None}, "what is asked"), ({"asked": 4}, "what is asked"),
    ({"task": "Drag {cover.__class__}."}, "no braces but {cover} and {option}|no braces but {cover} or {option}"),
    ({"task": "{cover:>9999999999}"}, "no braces"), ({"task": "{"}, "no braces"), ({"look": "{0}"}, "no braces"),
    ({"look": "x" * 401}, "the look"), ({"situation": "my scene"}, "picture: expected a Situation"),
])
def test_a_typo_in_a_field_is_answered_with_what_to_write(change: dict[str, Any], words: str) -> None:
    good = dict(zip(("title", "task", "kind", "asked"), COVER, strict=True))
    with pytest.raises(PressingError, match=words):
        make_exercise(**{"situation": place_the_cover.situation, **good, **change})


def test_what_has_no_answer_is_refused_with_the_reason() -> None:
    """A place near enough to the man is too near to the ball: two would press it."""
    ball = place_the_cover.situation.ball_xy
    beside = place_the_cover.situation.moved("possession", "6", (ball[0] + 0.3, ball[1] + 0.6))
    with pytest.raises(BadInput, match="8 can deny 6 from nowhere on the pitch: .* Move their 6 or the ball"):
        make_exercise(beside, "Where?", "Drag 8.", "deny a pass", "8, 6")


def test_a_place_that_the_plan_does_not_think_of_is_found_on_the_pitch() -> None:
    """The plan sends 8 elsewhere; in the lane he denies their 6 all the same, and is told that he comes late."""
    exercise = make_exercise(scene("worked scene"), "Where?", "Drag {cover}.", "deny a pass", "8, 6")
    assert exercise.check((23.2, 1.9)).outcome == exercise.check(exercise.solution().answer).outcome == RIGHT
    late = doubts_of(Accepted(make_exercise(scene("worked scene"), "Where?", "Drag.", "deny a pass", "1, 6")))
    assert len(late) == 1 and late[0].startswith("1 would come too late here: ") and "Move 1 nearer" in late[0]


@pytest.mark.parametrize("kind", ["which side", "mark the gaps"])
def test_a_question_that_cannot_be_got_wrong_is_refused(kind: str) -> None:
    with pytest.raises(BadInput, match="Every answer to this is right, .*: Loose ball"):
        make_exercise(scene("worked scene").with_ball((-10, 0)), "What?", "Answer.", kind)


def test_a_question_that_is_too_easy_or_tells_its_answer_is_doubted() -> None:
    far = make_exercise(scene("worked scene"), "Where?", "Drag.", "deny a pass", "2, 11")
    assert doubts_of(Accepted(far))[0].startswith("Hardly any answer is wrong: 4")
    told = make_exercise(scene("worked scene"), "Why does 9 go?", "Say it.", "who goes")
    assert doubts_of(Accepted(told)) == ["Title and task tell 9, which is the answer: leave it out."]
    assert doubts_of(Accepted(make_exercise(scene("worked scene"), "Left or right?", "Say it.", "which side"))) == []


# -- the file ----------------------------------------------------------------------------------------------------------


def test_there_and_back(path: Path) -> None:
    exercise = make_exercise(scene("worked scene"), *WHO, look="Look at 9.")
    assert save_exercise(exercise, path) == path
    assert load_exercise(path) == exercise
    assert load_exercise(path).note == ""
    assert repr(load_exercise(path)) == "Who goes? Name the one who goes."


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_there_and_back(path: Path, kind: str) -> None:
    exercise = one_of_kind(kind)
    save_exercise(exercise, path)
    assert load_exercise(path) == exercise


def test_where_no_gap_is_open_that_is_the_answer() -> None:
    exercise = make_exercise(scene("ten men"), "Which gaps?", "Write pairs.", "mark the gaps")
    assert exercise.solution().words.startswith("none.")
    assert exercise.check("none").outcome == RIGHT


def test_a_fault_that_is_not_in_the_picture_cannot_be_asked_for() -> None:
    with pytest.raises(BadInput, match='There is no "block too long" in this picture. '):
        make_exercise(scene("worked scene"), "What is wrong?", "Name it.", "find the fault", "block too long")
    with pytest.raises(BadInput, match="no fault 'flat covr'"):
        make_exercise(scene("worked scene"), "What is wrong?", "Name it.", "find the fault", "flat covr")


def test_it_is_judged_with_the_settings_of_the_file(path: Path) -> None:
    """The nearest is right only where anyone may press; the file says so, not the reader's own rulebook."""
    from pressinglib.teach.lessons.lesson_00 import who_goes

    anyone = Rulebook(Settings(pressers="anyone"))
    save_exercise(make_exercise(who_goes.situation, *WHO, rulebook=anyone), path)
    assert [who_goes.check("3").outcome, load_exercise(path).check("3").outcome] == [WRONG, RIGHT]


def test_every_setting_is_written_down_so_that_new_defaults_change_no_mark(document: dict[str, Any]) -> None:
    assert set(document["settings"]) == {field.name for field in fields(Settings)}


def test_another_version_is_said(path: Path, document: dict[str, Any]) -> None:
    del document["settings"]["covered_s"]
    path.write_text(json.dumps({**document, "made_with": "0.0.1"}))
    note = load_exercise(path).note
    assert f"Made with pressinglib 0.0.1, judged here with {__version__}" in note
    assert note in repr(load_exercise(path))


def test_a_scene_of_an_older_version_is_brought_up(path: Path, document: dict[str, Any]) -> None:
    document["scene"]["version"] = 1
    path.write_text(json.dumps(document))
    assert load_exercise(path).situation == place_the_cover.situation


def test_a_rule_of_ones_own_cannot_be_kept(path: Path) -> None:
    own = Rulebook().with_rules(choose_presser=lambda situation: "9")
    with pytest.raises(BadInput, match="a rule of your own"):
        save_exercise(make_exercise(scene("worked scene"), *WHO, rulebook=own), path)
    assert not path.exists()


def test_what_is_no_exercise_is_refused(path: Path) -> None:
    for value in (None, "who", Situation.line_up()):
        with pytest.raises(BadInput, match="exercise: expected an Exercise"):
            save_exercise(value, path)  # type: ignore[arg-type]


def test_a_folder_that_is_not_there_is_said(tmp_path: Path) -> None:
    with pytest.raises(PressingError, match="a folder that you can write to"):
        save_exercise(make_exercise(scene("worked scene"), *WHO), tmp_path / "none" / "mine.json")


def test_an_old_file_stays_when_the_new_one_fails(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    exercise = make_exercise(scene("worked scene"), *WHO)
    save_exercise(exercise, path)
    old = path.read_bytes()

    def full(handle: int) -> None:
        raise OSError(28, "no space left")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(PressingError, match="no space left"):
        save_exercise(replace(exercise, title="Another?"), path)
    assert path.read_bytes() == old
    assert [p.name for p in path.parent.iterdir()] == ["mine.json"]


HOSTILE = [b"", b"[]", b"null", b"3", b"{}", b'{"version": 1}', b'{"version": 2}', b'{"version": true}', b"\xff",
           b"[" * 100_000, b'{"a":' * 30_000, b'{"version": NaN}', b'{"version": 1, "version": 1}', b" " * 200_001,
           b"9" * 5000, b'{"version": 1, "settings": 1e999}']


@pytest.mark.parametrize("content", HOSTILE, ids=lambda content: repr(content[:20]))
def test_a_hostile_file_gets_a_clear_answer(path: Path, content: bytes) -> None:
    path.write_bytes(content)
    with pytest.raises(ExerciseFileError) as caught:
        load_exercise(path)
    assert caught.value.problems and len(str(caught.value)) < 12_000


@pytest.mark.parametrize(("key", "value", "words"), [
    ("title", 3, "title: expected a text"), ("title", "", "the title"), ("task", "x" * 500, "the task"),
    ("kind", "os.system", "no kind 'os.system'"), ("kind", ["who goes"], "kind: expected a text"),
    ("asked", {"cover": 8, "option": "6"}, "asked: expected numbers"), ("asked", {"cover": "8"}, "what is asked"),
    ("asked", {"cover": "8", "option": "6", "more": "1"}, "what is asked"), ("asked", [], "asked"),
    ("settings", {"pressers": "all"}, "settings.pressers: expected one of front, anyone"),
    ("settings", {"prssers": "front"}, "settings.prssers"), ("settings", {"ball_mps": "fast"}, "settings.ball_mps"),
    ("settings", {"ball_mps": 1e300}, "settings.ball_mps"), ("settings", 3, "settings: expected named values"),
    ("settings", {"__class__": "x"}, "settings.__class__"), ("settings", {"pressers": ["front"]}, "settings.pressers"),
    ("scene", [], "scene: expected named values"), ("scene", {"version": 2}, "scene.ball_xy: missing"),
    ("scene", {"version": 99}, "scene.version"), ("made_with", "", "made_with"), ("made_with", 1, "made_with"),
    ("more", 1, "more: unknown key"),
])
def test_a_wrong_value_is_named_with_its_place(path: Path, document: dict[str, Any], key: str, value: Any,
                                               words: str) -> None:
    path.write_text(json.dumps({**document, key: value}))
    with pytest.raises(ExerciseFileError, match=words):
        load_exercise(path)


def test_all_faults_are_named_at_once(document: dict[str, Any]) -> None:
    document["scene"]["ball_xy"] = [1]
    check = Checker()
    EXERCISE.newest(check, {**document, "title": 1, "settings": {"ball_mps": 0}})
    assert [fault.partition(":")[0] for fault in check.faults] == ["title", "settings.ball_mps", "scene.ball_xy"]
