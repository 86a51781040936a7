"""A learner's progress: kept, resumed, exported, and never at the cost of a file that is there."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from pressinglib.files import Checker
from pressinglib.teach.answer_file import (
    ANSWERS,
    LOCK,
    MOST_TRIES,
    AnswerFile,
    Progress,
    Try,
    load_answers,
    plain_answer,
    progress_of,
    save_answers,
)
from pressinglib.teach.exercise import RIGHT, WRONG
from pressinglib.teach.lessons.lesson_00 import place_the_cover, which_side, who_goes
from pressinglib.teach.widget import TryIt, lessons_so_far
from tests.teach.keys.kinds import KEYS, KINDS


@pytest.fixture
def me(tmp_path: Path) -> Progress:
    return progress_of("Kim", "00", tmp_path / "answers")


def test_nothing_is_written_before_the_first_answer(me: Progress) -> None:
    assert me.check(who_goes, ...) == who_goes.check(...)
    assert not me.folder.exists() and me.tries == ()


def test_the_verdict_is_the_exercises_own_and_the_try_is_kept(me: Progress) -> None:
    assert [me.check(who_goes, answer) for answer in ("3", 11)] == [who_goes.check("3"), who_goes.check("11")]
    assert me.tries == (Try("00", "Who goes?", "3", WRONG), Try("00", "Who goes?", "11", RIGHT))


def test_it_goes_on_where_it_was_left(me: Progress, tmp_path: Path) -> None:
    me.check(who_goes, "3")
    again = progress_of("Kim", "00", tmp_path / "answers")
    again.check(who_goes, "11")
    again.check(which_side, "right")
    replace(again, lesson="03").check(place_the_cover, (20, -9))
    assert [(one.lesson, one.exercise, one.outcome) for one in again.tries] == [
        ("00", "Who goes?", WRONG), ("00", "Who goes?", RIGHT), ("00", "To which side?", RIGHT),
        ("03", "Where does the cover stand?", RIGHT)]
    assert [one.answer for one in again.tries_at(who_goes)] == ["3", "11"]


def test_two_open_lessons_lose_nothing_of_each_other(me: Progress) -> None:
    other = replace(me, lesson="01")
    me.check(who_goes, "3")
    other.check(who_goes, "3")
    me.check(who_goes, "11")
    assert [one.lesson for one in me.tries] == ["00", "01", "00"]


def test_the_same_answer_again_is_no_new_try_and_nonsense_none(me: Progress) -> None:
    for answer in ((12, -9), (12, -9), [12, -9], "there", (999, 0), None, (20, -9), (12, -9)):
        me.check(place_the_cover, answer)
    assert [one.answer for one in me.tries] == [{"8": [12, -9]}, {"8": [20, -9]}, {"8": [12, -9]}]


def test_on_the_board_too(me: Progress) -> None:
    task = TryIt(place_the_cover, progress=me)
    task.check()
    task.board.move("pressing", "8", (20, -9))
    assert task.check().outcome == RIGHT
    assert me.tries == (Try("00", place_the_cover.title, {"8": [20, -9]}, RIGHT),)


@pytest.mark.parametrize(("learner", "name"), [
    ("Kim Lee", "kim_lee"), ("../../etc/kim", "etc_kim"), ("a\\b:c*", "a_b_c"), ("", "me"),
    ("<script>", "script"), ("...", "learner"), ("k\n\x00m", "k_m"),
    ("\u00c9lo\u00efse", "\u00e9lo\u00efse"),    ("x" * 500, "x" * 60), ("\u202egnp", "gnp")])
def test_no_name_leaves_the_folder(tmp_path: Path, learner: str, name: str) -> None:
    me = progress_of(learner, "00", tmp_path / "answers")
    assert (me.path.parent, me.path.name) == (tmp_path / "answers", f"{name}_{me.sign}.json")
    me.check(who_goes, "11")
    assert [one.outcome for one in me.tries] == [RIGHT]


def test_two_whose_names_make_the_same_file_name_have_a_file_each(tmp_path: Path) -> None:
    for learner in ("Kim Lee", "kim/lee", "Kim"):
        progress_of(learner, "00", tmp_path).check(who_goes, "11")
    files = {load_answers(path).learner: path for path in tmp_path.glob("*.json")}
    assert set(files) == {"Kim Lee", "kim/lee", "Kim"}
    assert progress_of("kim/lee", "00", tmp_path).path == files["kim/lee"]


def test_two_of_one_name_on_two_machines_hand_in_files_of_two_names(tmp_path: Path) -> None:
    names = set()
    for machine in range(20):
        me = progress_of("Kim", "00", tmp_path / f"{machine}")
        me.check(who_goes, "11")
        names.add(progress_of("Kim", "00", tmp_path / f"{machine}").path.name)
    assert len(names) == 20


@pytest.mark.parametrize("text", ['{"version": 1, "tri', json.dumps({"version": 1, "made_with": "0", "learner": "kim",
                                                                    "tries": []})])
def test_a_file_that_is_damaged_or_somebody_elses_is_left_alone_and_another_begun(me: Progress, text: str) -> None:
    me.check(who_goes, "3")
    old = me.path
    old.write_text(text)
    for _ in range(2):
        assert "Not kept" not in me.check(who_goes, "11").words
    assert me.path.name == f"kim_{me.sign}_2.json" and len(me.tries) == 1
    assert old.read_text() == text


def test_what_cannot_be_kept_is_said_beside_the_verdict(me: Progress) -> None:
    me.folder.write_text("a file where the folder should be")
    verdict = me.check(who_goes, "11")
    assert verdict.outcome == RIGHT
    assert "(Not kept: " in verdict.words
    assert me.tries == ()


def test_a_kill_while_saving_leaves_the_old_file(me: Progress, monkeypatch: pytest.MonkeyPatch) -> None:
    me.check(who_goes, "3")
    old = me.path.read_bytes()

    def killed(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as broken, pytest.raises(KeyboardInterrupt):
        broken.setattr("os.replace", killed)
        me.check(who_goes, "11")
    assert me.path.read_bytes() == old
    assert {path.name for path in me.folder.iterdir()} == {me.path.name, LOCK}


def test_the_oldest_tries_go_when_there_are_too_many(me: Progress) -> None:
    many = tuple(Try("00", "Who goes?", str(n), WRONG) for n in range(MOST_TRIES))
    me.folder.mkdir()
    save_answers(AnswerFile("Kim", many), me.path)
    me.check(who_goes, "11")
    assert (len(me.tries), me.tries[0].answer, me.tries[-1].answer) == (MOST_TRIES, "1", "11")


def test_the_file_is_plain_text_with_a_try_a_line(me: Progress) -> None:
    me.check(who_goes, "3")
    me.check(who_goes, "11")
    text = me.path.read_text("utf-8")
    assert ANSWERS.newest(Checker(), json.loads(text)) is not None
    assert sum('"exercise"' in line for line in text.splitlines()) == 2


@pytest.mark.parametrize("name", KINDS)
def test_answers_of_every_kind_are_kept_so_that_they_are_judged_the_same_again(me: Progress, name: str) -> None:
    exercise = KINDS[name]
    answers = [*KEYS[name].wrong, *KEYS[name].right, exercise.solution().answer]
    for answer in answers:
        kept, verdict = plain_answer(exercise, answer), exercise.check(answer)
        if kept is None:
            assert callable(answer) or verdict.outcome == WRONG  # a rule, or what makes no sense
        else:
            assert exercise.check(json.loads(json.dumps(kept))).outcome == verdict.outcome
            me.check(exercise, answer)
    assert (me.tries == ()) == (name == "write_rule")


def test_no_gap_is_an_answer_too(me: Progress) -> None:
    me.check(KINDS["mark_gaps"], "none")
    assert me.tries[0].answer == ["none"]


def test_another_day_a_block_shows_what_was_answered_and_how_far_one_is(tmp_path: Path) -> None:
    kim = progress_of("Kim", "00", tmp_path)
    task = TryIt(who_goes, progress=kim)
    for number in ("3", "11"):
        task.give(number)
        task.check()
    cover = TryIt(place_the_cover, progress=kim)
    cover.board.move("pressing", "8", (20.0, -9.0))
    cover.check()
    written = kim.path.read_bytes()

    again, placed = (TryIt(exercise, progress=progress_of("Kim", "00", tmp_path)) for exercise in (
        who_goes, place_the_cover))
    assert (again.answer_text, again.wrong, again.words.tone) == ("11", 1, "right")
    assert again.words.text == repr(who_goes.check("11"))
    assert placed.board.situation.player("pressing", "8").xy == (20.0, -9.0)
    assert placed.words.text.startswith("Right: ")
    assert "2 of 5 right; last time: Where does the cover stand?" in again.task.value
    assert "2 of 5 right<" in placed.task.value
    assert kim.path.read_bytes() == written
    far = {lesson[:9]: words for lesson, words in lessons_so_far("Kim", str(tmp_path)).rows}
    assert far["Lesson 00"].startswith("2 of 5 right") and far["Lesson 05"] == "0 of 7 right" and len(far) == 13


def test_what_is_kept_but_fits_no_longer_is_let_be(tmp_path: Path) -> None:
    kim = progress_of("Kim", "00", tmp_path)
    save_answers(AnswerFile("Kim", (Try("00", who_goes.title, "a fish", "wrong"),)), kim.path)
    task = TryIt(who_goes, progress=kim)
    assert (task.answer_text, task.wrong, task.words.text) == ("", 0, "")
