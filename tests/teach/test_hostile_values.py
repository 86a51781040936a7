"""Names that no file can have, disks that refuse, answers that bite: a sentence with what to do, never a traceback."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from pressinglib import save_picture, teach
from pressinglib.errors import PressingError
from pressinglib.field.scene_file import scene
from pressinglib.teach.answer_file import progress_of
from pressinglib.teach.desk import Desk, Homework, MarkClass
from pressinglib.teach.exercise import RIGHT, WRONG
from pressinglib.teach.handout import printed
from pressinglib.teach.lessons.lesson_00 import who_goes
from pressinglib.teach.own_exercise import load_exercise, make_exercise, save_exercise
from tests.teach.keys.kinds import KINDS

MINE = make_exercise(who_goes.situation, "Who goes?", "Write his number.", "who goes")
NAMES = ("a\0b", "\ud800", "x" * 300, "no folder/mine", "file/mine")
WRITERS: dict[str, Callable[[str], object]] = {
    ".json": lambda name: save_exercise(MINE, name),
    ".pdf": lambda name: printed(name, {".pdf": lambda: b"as if drawn"}),  # as handouts, practices and slides do
    ".png": lambda name: save_picture(scene("worked scene"), name, dpi=30),
}


@pytest.fixture(autouse=True)
def inside(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "file").write_text("")


def said(error: PressingError) -> bool:
    """Whether it can be shown, and says what to do."""
    return bool(error.todo) and str(error).encode("utf-8") != b"" and len(str(error)) < 800


@pytest.mark.parametrize("name", NAMES, ids=ascii)
@pytest.mark.parametrize("end", WRITERS)
def test_a_place_that_cannot_be_written_to_is_said(end: str, name: str) -> None:
    with pytest.raises(PressingError) as caught:
        WRITERS[end](name + end)
    assert said(caught.value)
    assert os.listdir() == ["file"]


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EACCES, errno.EROFS])
@pytest.mark.parametrize("end", WRITERS)
def test_a_disk_that_refuses_is_said(monkeypatch: pytest.MonkeyPatch, end: str, number: int) -> None:
    def refuses(*_: object) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr("os.fsync", refuses)
    with pytest.raises(PressingError, match=os.strerror(number)) as caught:
        WRITERS[end](f"mine{end}")
    assert said(caught.value) and os.listdir() == ["file"]


@pytest.mark.parametrize("name", [*NAMES, "", "file"], ids=ascii)
def test_a_place_that_cannot_be_read_is_said(name: str) -> None:
    for read in (load_exercise, teach.read_exercises, lambda folder: teach.read_class(folder, teach.Course("00", ()))):
        with pytest.raises(PressingError) as caught:
            read(name)
        assert said(caught.value)


@pytest.mark.parametrize("name", ["a\0b", "\ud800", "x" * 300, "file", "file/more"], ids=ascii)
def test_folders_that_cannot_be_are_said_by_every_button(name: str) -> None:
    verdict = progress_of("Kim", "00", name).check(who_goes, "11")
    assert verdict.outcome == RIGHT and "(Not kept: " in verdict.words
    form = Desk(who_goes.situation, name)
    form.tell(form.save)
    assert "Choose a folder" in form.words.text or "Take " in form.words.text
    desk = MarkClass(name, name)
    desk.buttons["Mark"].click()
    assert "expected a folder" in desk.words.text or "not JSON" in desk.words.text
    assert Homework(name, name).words.text.startswith("No file yet.")


# -- answers that bite -------------------------------------------------------------------------------------------------


def biting(how: str) -> Any:
    """An object that raises when it is looked at in this way."""
    def bite(*_: Any) -> Any:
        raise RuntimeError("bitten")

    return type("Biting", (), {"__hash__": object.__hash__, how: bite})()


WAYS = ("__eq__", "__hash__", "__repr__", "__str__", "__iter__", "__len__", "__float__", "__bool__", "__getattr__",
        "__call__", "__contains__", "__getitem__", "__index__", "__array__")
BITING = {way: biting(way) for way in WAYS}
HUGE = 10**5000
ANSWERS: dict[str, Any] = {
    **BITING, "huge": HUGE, "huge below zero": -HUGE, "huge place": (HUGE, 0), "huge list": [HUGE],
    "huge by number": {HUGE: (1, 2)}, "place of biting": (BITING["__float__"], 1),
    "list of biting": [BITING["__eq__"], BITING["__str__"]], "by biting": {BITING["__str__"]: (1, 2)},
    "surrogate": "\ud800", "type": object, "endless": iter(int, 1), "bytes": b"9", "complex": 1j, "nan": float("nan"),
}


@pytest.mark.parametrize("kind", KINDS)
def test_an_answer_that_bites_is_wrong_and_no_accident(tmp_path: Path, kind: str) -> None:
    exercise, me = KINDS[kind], progress_of("Kim", "00", tmp_path)
    for name, answer in ANSWERS.items():
        verdict = me.check(exercise, answer)
        assert verdict.outcome == WRONG and len(verdict.words.encode()) < 1000, name
    assert all(one.outcome == WRONG for one in me.tries)


@pytest.mark.parametrize("value", [*BITING.values(), HUGE, "\ud800", None], ids=[*BITING, "huge", "surrogate", "none"])
def test_fields_that_bite_are_refused(value: Any) -> None:
    good = {"situation": who_goes.situation, "title": "Who?", "task": "Name him.", "kind": "who goes"}
    for field in ("situation", "title", "task", "kind", "asked"):
        with pytest.raises(PressingError) as caught:
            make_exercise(**{**good, "kind": "deny a pass", "asked": "8, 6"} | {field: value})
        assert said(caught.value)
    assert who_goes.hint(value).title == "Stuck"
