"""Programs that write at once, and programs that are killed: no try is lost, no file is half, no litter stays."""

from __future__ import annotations

import errno
import os
import random
import re
import sqlite3
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from pressinglib.files import LITTER
from pressinglib.teach import answer_file
from pressinglib.teach.answer_file import LOCK, Progress, load_answers, progress_of
from pressinglib.teach.exercise import RIGHT, Exercise
from pressinglib.teach.lessons.lesson_00 import who_goes
from pressinglib.teach.own_exercise import load_exercise, make_exercise, save_exercise
from tests.data.killed import SPAWN, killed

ANSWERS = ("3", "11")


def answer(folder: Path, lesson: str, count: int, start: Any = None) -> None:
    """As one notebook does: try after try, each noted beside the folder once its verdict is shown."""
    me = progress_of("Kim", lesson, folder)
    if start is not None:
        start.wait()
    for n in range(count):
        assert "Not kept" not in me.check(who_goes, ANSWERS[n % 2]).words
        with folder.with_name("shown").open("ab", buffering=0) as shown:
            shown.write(b".")


def share(exercise: Exercise, path: Path) -> None:
    for n in range(100):
        save_exercise(replace(exercise, title=f"Who goes, {n}?"), path)


EACH, KILLS = (25, 250), (5, 100)  # by default, and with --full


@pytest.fixture
def me(tmp_path: Path) -> Progress:
    return progress_of("Kim", "00", tmp_path / "answers")


def names(folder: Path) -> list[str]:
    """Of what lies there, but for the lock; what is random of a name left out."""
    return sorted(re.sub("_[0-9a-f]{8}", "", path.name) for path in folder.iterdir() if path.name != LOCK)


def test_four_that_answer_at_once_lose_no_try(full: bool, me: Progress) -> None:
    each, start = EACH[full], SPAWN.Barrier(4)
    writers = [SPAWN.Process(target=answer, args=(me.folder, f"0{n}", each, start)) for n in range(4)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    assert [writer.exitcode for writer in writers] == [0] * 4
    assert len(me.tries) == 4 * each and names(me.folder) == ["kim.json"]
    for n in range(4):
        assert [one.answer for one in me.tries if one.lesson == f"0{n}"] == [ANSWERS[k % 2] for k in range(each)]


def test_killed_while_answering_all_tries_before_are_there(full: bool, me: Progress) -> None:
    dice, kills, shown = random.Random(1), 0, me.folder.with_name("shown")
    me.check(who_goes, "4")
    shown.touch()
    while kills < KILLS[full]:
        kills += killed(dice, 0.3, answer, me.folder, "01", 200)
        tries = load_answers(me.path).tries
        assert len(tries) > shown.stat().st_size and tries[0].answer == "4"
        assert [name for name in names(me.folder) if name.endswith(".json")] == ["kim.json"]
        assert all(LITTER.fullmatch(name) for name in names(me.folder) if name != "kim.json")
    me.check(who_goes, "11")
    me.check(who_goes, "3")
    assert names(me.folder) == ["kim.json"]


def test_killed_while_saving_an_exercise_is_the_old_or_the_new_one(full: bool, tmp_path: Path) -> None:
    dice, kills, path = random.Random(2), 0, tmp_path / "who.json"
    exercise = make_exercise(who_goes.situation, "Who goes?", "Write his number.", "who goes")
    save_exercise(exercise, path)
    while kills < KILLS[full]:
        kills += killed(dice, 0.3, share, exercise, path)
        assert load_exercise(path).check("11").outcome == RIGHT
        assert all(LITTER.fullmatch(name) for name in names(tmp_path) if name != "who.json")
    save_exercise(exercise, path)
    assert names(tmp_path) == ["who.json"]


def test_a_lock_that_is_not_to_be_had_is_said(me: Progress, monkeypatch: pytest.MonkeyPatch) -> None:
    me.check(who_goes, "3")
    monkeypatch.setattr(answer_file, "WAIT_S", 0.05)
    with answer_file._alone(me.folder):
        verdict = me.check(who_goes, "11")
    assert verdict.outcome == RIGHT
    assert "(Not kept: folder " in verdict.words and verdict.words.endswith("Try again in a moment.)")
    assert "Not kept" not in me.check(who_goes, "11").words and len(me.tries) == 2


def test_a_disk_without_locks_keeps_answers_too(me: Progress, monkeypatch: pytest.MonkeyPatch) -> None:
    def none(*_: object, **__: object) -> None:
        error = sqlite3.OperationalError("disk I/O error")
        error.sqlite_errorcode = sqlite3.SQLITE_IOERR
        raise error

    monkeypatch.setattr(sqlite3, "connect", none)
    assert "Not kept" not in me.check(who_goes, "11").words and names(me.folder) == ["kim.json"]


@pytest.mark.parametrize("content", [b"not a lock" * 100, b"\0"])
def test_whatever_lies_in_the_place_of_the_lock_the_answer_is_kept(me: Progress, content: bytes) -> None:
    me.check(who_goes, "3")
    (me.folder / LOCK).write_bytes(content)
    assert "Not kept" not in me.check(who_goes, "11").words and len(me.tries) == 2


@pytest.mark.parametrize(("number", "todo"), [
    (errno.ENOSPC, "Make room on the disk."), (errno.EROFS, "Choose a folder that you can write to"),
    (errno.EACCES, "Choose a folder that you can write to"), (errno.EIO, "Choose a folder that you can write to")])
@pytest.mark.parametrize("step", ["os.replace", "os.fsync"])
def test_a_disk_that_refuses_is_said_beside_the_verdict(me: Progress, monkeypatch: pytest.MonkeyPatch, step: str,
                                                        number: int, todo: str) -> None:
    me.check(who_goes, "3")
    old = me.path.read_bytes()

    def refuses(*_: object) -> None:
        raise OSError(number, os.strerror(number))

    with monkeypatch.context() as full:
        full.setattr(step, refuses)
        verdict = me.check(who_goes, "11")
    assert verdict.outcome == RIGHT and os.strerror(number) in verdict.words and todo in verdict.words
    assert me.path.read_bytes() == old and names(me.folder) == ["kim.json"]
