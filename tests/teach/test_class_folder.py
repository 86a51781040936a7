"""A class folder: judged again, whatever the files say; damaged and hostile ones named and skipped."""

from __future__ import annotations

import csv
import json
import os
import re
from dataclasses import replace
from pathlib import Path
from time import process_time
from typing import Any
from xml.etree import ElementTree
from zipfile import ZipFile

import pytest

import pressinglib as pl
from pressinglib import __version__
from pressinglib.errors import BadInput, PressingError, UnknownName
from pressinglib.teach import class_results as class_folder
from pressinglib.teach import course as course_file
from pressinglib.teach.answer_file import progress_of
from pressinglib.teach.class_results import ClassResults, read_class
from pressinglib.teach.course import Course, read_exercises
from pressinglib.teach.lessons import lesson_00
from pressinglib.teach.own_exercise import load_exercise, make_exercise, save_exercise

LESSONS = Course("00", (lesson_00.who_goes, lesson_00.which_side, lesson_00.place_the_cover))
TITLES = ("Who goes?", "To which side?", "Where does the cover stand?")


def answer_text(learner: str = "Kim", **more: Any) -> dict[str, Any]:
    one = {"lesson": "00", "exercise": "Who goes?", "answer": "3", "outcome": "right"}
    return {"version": 1, "made_with": __version__, "learner": learner, "tries": [one], **more}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Three who have answered."""
    for learner, answers in {"Ada": ["11"], "Ben": ["3", "11"], "Cy": ["3"]}.items():
        me = progress_of(learner, "00", tmp_path)
        for answer in answers:
            me.check(lesson_00.who_goes, answer)
    progress_of("Ada", "00", tmp_path).check(lesson_00.place_the_cover, (0, 0))
    return tmp_path


def marks(results: ClassResults) -> list[tuple[str, ...]]:
    return list(results.table().rows)


def test_who_solved_what(folder: Path) -> None:
    results = read_class(folder, LESSONS)
    assert results.exercises == TITLES
    assert marks(results) == [("Ada", "right, try 1", "-", "not yet, 1 try"), ("Ben", "right, try 2", "-", "-"),
                              ("Cy", "not yet, 1 try", "-", "-")]
    assert results.notes == ()


def test_what_a_file_claims_counts_for_nothing(tmp_path: Path) -> None:
    (tmp_path / "kim.json").write_text(json.dumps(answer_text()))
    assert marks(read_class(tmp_path, LESSONS))[0][1] == "not yet, 1 try"


def test_the_commonest_wrong_answer_counts_once_a_learner(folder: Path) -> None:
    for answer in ("3", "8", "3"):
        progress_of("Di", "00", folder).check(lesson_00.who_goes, answer)
    first, *_, last = read_class(folder, LESSONS).overview().rows
    assert first == ("Who goes?", 1, 1, 2, 0, "3", 3)  # Ben, Cy and Di
    assert last == ("Where does the cover stand?", 0, 0, 1, 3, "the pass is still on", 1)


def test_every_learner_is_in_one_place_of_a_row(folder: Path) -> None:
    results = read_class(folder, LESSONS)
    assert {sum(row[1:5]) for row in results.overview().rows} == {len(results.learners)}


def test_it_is_told_as_text_tables_and_picture(folder: Path) -> None:
    results = read_class(folder, LESSONS)
    overview, learners, answers = repr(results).split("\n\n")
    assert [re.split(r"  +", line) for line in learners.splitlines()[:2]] == [
        ["Learner", *TITLES], ["Ada", "right, try 1", "-", "not yet, 1 try"]]
    assert "Commonest wrong answer" in overview and "3, then 11" in answers
    assert 'aria-label="Who goes? right at once 1, right later 1, not yet 1, not tried 0' in results._repr_html_()
    assert results._repr_html_().count("<table>") == 3


def test_the_places_of_all_stand_on_one_pitch(folder: Path) -> None:
    progress_of("Ben", "00", folder).check(lesson_00.place_the_cover, (20, -9))
    results = read_class(folder, LESSONS)
    drawing = results.places(TITLES[2]).drawing
    found = {(mark.style, mark.xy) for mark in drawing.marks if mark.layer == "class"}
    assert found == {("place wrong", (0.0, 0.0)), ("place right", (20.0, -9.0))}
    assert drawing.words.endswith("the last try of each of 2.")
    with pytest.raises(UnknownName, match="Where does the cover stand"):
        results.places("Who goes?")


def test_what_is_accepted_can_be_read_beside_the_marks(folder: Path) -> None:
    accepted = read_class(folder, Course("00", LESSONS.exercises[:2])).accepted
    assert list(accepted.rows) == [("Who goes?", "11 and nothing else."), ("To which side?", "right and nothing else.")]
    assert accepted._repr_html_().count("<tr>") == 3


def test_an_empty_folder_is_an_empty_table(tmp_path: Path) -> None:
    results = read_class(tmp_path, LESSONS)
    assert (repr(results), marks(results)) == ("No answers.", [])
    assert {row[4] for row in results.overview().rows} == {0}


@pytest.mark.parametrize("wrong", ["no such folder", "", "kim.json"])
def test_a_wrong_path_is_said(folder: Path, wrong: str) -> None:
    (folder / "kim.json").write_text("{}")
    with pytest.raises(BadInput, match="expected a folder of answer files"):
        read_class(folder / wrong if wrong == "kim.json" else wrong or "kim.json", LESSONS)


DAMAGED: dict[str, bytes] = {
    "empty": b"", "half": json.dumps(answer_text()).encode()[:60], "not UTF-8": b'{"learner": "\xff"}',
    "huge": b'{"version": 1, "learner": "' + b"a" * 1_000_001 + b'"}', "deep list": b"[" * 100_000,
    "deep braces": b'{"a":' * 30_000, "deep but closed": b'{"version": 1, "tries": ' + b"[" * 900 + b"]" * 900 + b"}",
    "NaN": json.dumps(answer_text(tries=[{"answer": float("nan")}])).encode(),
    "infinite": json.dumps(answer_text(version=1)).replace('"3"', "1e999").encode(),
    "many digits": b"9" * 5000, "doubled key": b'{"version": 1, "version": 1}', "a list": b"[]", "null": b"null",
    "a zero byte": json.dumps(answer_text()).encode() + b"\x00",
}
WRONG: dict[str, dict[str, Any]] = {
    "newer": {"version": 2}, "version true": {"version": True}, "version text": {"version": "1"},
    "no learner": {"learner": ""}, "learner a number": {"learner": 3}, "learner too long": {"learner": "x" * 81},
    "learner unprintable": {"learner": "a\x1b[31m"}, "unknown key": {"__class__": "os.system"},
    "tries text": {"tries": "x"},
    "tries braces": {"tries": {}}, "a try that is none": {"tries": [3]}, "too many tries": {"tries": [{}] * 2001},
    "try without answer": {"tries": [{"lesson": "00"}]}, "made_with a list": {"made_with": []},
}
TRY = {"lesson": "00", "exercise": "Who goes?", "answer": "3", "outcome": "right"}
WRONG_TRY: dict[str, dict[str, Any]] = {
    "null answer": {"answer": None}, "long answer": {"answer": "9" * 201}, "large number": {"answer": 1e300},
    "deep answer": {"answer": [[[[[[1]]]]]]}, "wide answer": {"answer": [1] * 41}, "outcome": {"outcome": "best"},
    "outcome a list": {"outcome": []}, "lesson a number": {"lesson": 0}, "title too long": {"exercise": "x" * 121},
    "unprintable answer": {"answer": "a\x00"}, "more": {"points": 10},
}
HOSTILE = DAMAGED | {name: json.dumps(answer_text(**change)).encode() for name, change in WRONG.items()} \
    | {name: json.dumps(answer_text(tries=[{**TRY, **change}])).encode() for name, change in WRONG_TRY.items()}


@pytest.mark.parametrize("content", HOSTILE.values(), ids=list(HOSTILE))
def test_a_damaged_or_hostile_file_is_named_and_skipped(folder: Path, content: bytes) -> None:
    (folder / "zoe.json").write_bytes(content)
    results = read_class(folder, LESSONS)
    assert results.learners == ("Ada", "Ben", "Cy")
    [(name, why)] = results.skipped
    assert name == "zoe.json" and 0 < len(why) < 500
    assert f"Skipped zoe.json: {why}" in repr(results)


ANSWERS = ["", "nobody", "<b>", 3.7, -1, True, [], {}, [1, 2, 3], [[1, 2]], {"8": [1, 2]}, {"9": {"x": 1}}, {"": ""},
           [1e8, -1e8], ["left", "right"], [True, False]]


@pytest.mark.parametrize("answer", ANSWERS, ids=repr)
def test_an_answer_that_makes_no_sense_is_wrong_and_no_accident(tmp_path: Path, answer: Any) -> None:
    tries = [{**TRY, "exercise": title, "answer": answer} for title in TITLES]
    (tmp_path / "zoe.json").write_text(json.dumps(answer_text("Zoe", tries=tries)))
    results = read_class(tmp_path, LESSONS)
    assert results.skipped == ()
    assert [row["right at once"] + row["right later"] for row in results.overview()] == [0] * 3


def test_an_accident_in_judging_costs_one_row(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    usual = class_folder.load_answers
    monkeypatch.setattr(class_folder, "load_answers", lambda path: 1 / 0 if path.stem[:3] == "ben" else usual(path))
    results = read_class(folder, LESSONS)
    [(name, why)] = results.skipped
    assert name[:4] == "ben_" and why == "it cannot be judged (ZeroDivisionError)"
    assert len(results.learners) == 2


@pytest.mark.parametrize("name", ["<img src=x onerror=alert(1)>", "a/b", "..", "\"'&", "$\\alpha$", "{x}", "=1+1"])
def test_a_hostile_name_is_a_name_and_nothing_else(tmp_path: Path, name: str) -> None:
    (tmp_path / "zoe.json").write_text(json.dumps(answer_text(name)))
    results = read_class(tmp_path, LESSONS)
    assert marks(results)[0][0] == name
    assert "<img" not in results._repr_html_()


def test_a_hostile_file_name_is_escaped_and_printable(tmp_path: Path) -> None:
    (tmp_path / "<b>\n\x1b[31m\u202e.json").write_text("{")
    results = read_class(tmp_path, LESSONS)
    assert results.skipped[0][0] == "<b>??[31m?.json"
    assert "<b>?" not in results._repr_html_() and "&lt;b&gt;?" in results._repr_html_()


def test_titles_of_exercises_are_text_too(tmp_path: Path) -> None:
    results = ClassResults((replace(lesson_00.who_goes, title="<b>$\\frac$"),))
    assert "<b>" not in results._repr_html_()


def test_folders_links_pipes_and_other_files_do_no_harm(folder: Path) -> None:
    (folder / "a.json").mkdir()
    (folder / "b.json").symlink_to("nowhere")
    os.mkfifo(folder / "c.json")
    (folder / "notes.txt").write_text("not mine")
    (folder / ".d.json.tmp").write_text("{")
    results = read_class(folder, LESSONS)
    assert results.skipped == (("a.json", "a folder, not a file"), ("b.json", "no such file"),
                               ("c.json", "no such file"))
    assert len(results.learners) == 3


def test_too_many_files_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(course_file, "MOST_FILES", 2)
    for name in "abc":
        (tmp_path / f"{name}.json").write_text("{}")
    with pytest.raises(BadInput, match="at most 2 files; got 3"):
        read_class(tmp_path, LESSONS)


def test_two_files_of_one_name_another_version_and_other_exercises_are_said(tmp_path: Path) -> None:
    other, honest = {**TRY, "exercise": "What now?"}, {**TRY, "outcome": "wrong"}
    (tmp_path / "a.json").write_text(json.dumps(answer_text(made_with="0.0.1", tries=[honest])))
    (tmp_path / "b.json").write_text(json.dumps(answer_text(tries=[other, honest])))
    assert list(read_class(tmp_path, LESSONS).notes) == [
        f"Kim: answered with pressinglib 0.0.1, judged here with {__version__}.",
        "Kim: tries at other exercises, not in the table: 1.", "Kim: more than one file; each has a row."]


def test_shared_exercises_are_marked_by_their_files_and_another_version_is_said(tmp_path: Path) -> None:
    exercise = make_exercise(lesson_00.who_goes.situation, "Who?", "Name him.", "who goes")
    file = save_exercise(exercise, tmp_path / "who.json")
    file.write_text(file.read_text().replace(f'"made_with": "{__version__}"', '"made_with": "0.0.1"'))
    progress_of("Kim", "my team", tmp_path / "answers").check(load_exercise(file), "11")
    results = read_class(tmp_path / "answers", tmp_path)
    assert marks(results) == [("Kim", "right, try 1")]
    assert results.notes[0].startswith("Who?: Made with pressinglib 0.0.1, judged here with")


@pytest.mark.parametrize("lessons", [5, [lesson_00.who_goes], {"00": "who goes"}, None])
def test_exercises_given_in_another_form_are_refused_in_words(folder: Path, lessons: Any) -> None:
    with pytest.raises(BadInput, match="exercise"):
        pl.teach.read_class(folder, lessons)


def test_whose_file_claims_too_much_is_said(tmp_path: Path) -> None:
    (tmp_path / "kim.json").write_text(json.dumps(answer_text()))
    assert list(read_class(tmp_path, LESSONS).notes) == ["Kim: the file says right where the answer is not: Who goes?"]


def test_2000_tries_are_read_and_judged_in_a_second(tmp_path: Path) -> None:
    """Ten seconds here, of the processor's: the machine may be slow."""
    answers = [*("3", "8", "11") * 300, *([x / 20, -9.5] for x in range(1000))]
    tries = [{**TRY, "answer": answer, "exercise": TITLES[2 * isinstance(answer, list)]} for answer in answers]
    (tmp_path / "kim.json").write_text(json.dumps(answer_text(tries=tries)))
    started = process_time()
    results = read_class(tmp_path, LESSONS)
    assert process_time() - started < 10
    assert sum(map(len, results.tries.values())) == len(answers)


def test_a_course_gives_order_and_title_and_is_one_file(tmp_path: Path) -> None:
    exercises = [make_exercise(lesson_00.who_goes.situation, title, "Name him.", "who goes") for title in ("B?", "A?")]
    path = Course("Tuesday", tuple(exercises)).save(tmp_path / "t.course.json")
    progress_of("Kim", "Tuesday", tmp_path / "answers").check(exercises[0], "11")
    progress_of("Lee", "my team", tmp_path / "answers").check(exercises[1], "11")  # opened from a file of its own
    for course in (path, tmp_path, read_exercises(path)):
        results = read_class(tmp_path / "answers", course)
        assert results.exercises == ("B?", "A?")
        assert marks(results) == [("Kim", "right, try 1", "-"), ("Lee", "-", "right, try 1")]


@pytest.mark.parametrize("change", [{"title": ""}, {"title": "x" * 81}, {"exercises": []}, {"exercises": [{}]},
                                    {"version": 9}, {"more": 1}, {"made_with": 3}])
def test_a_damaged_course_is_a_sentence(tmp_path: Path, change: dict[str, Any]) -> None:
    path = Course("Tuesday", (make_exercise(lesson_00.who_goes.situation, "Who?", "He.", "who goes"),)).save(
        tmp_path / "t.course.json")
    path.write_text(json.dumps(json.loads(path.read_text("utf-8")) | change))
    with pytest.raises(PressingError, match="exercise file"):
        read_exercises(path)


def test_two_exercises_of_one_title_are_refused_in_a_course_and_named_in_a_folder(tmp_path: Path) -> None:
    exercise = make_exercise(lesson_00.who_goes.situation, "Who?", "Name him.", "who goes")
    with pytest.raises(BadInput, match="each title once"):
        Course("Tuesday", (exercise, exercise))
    for name in "ab":
        save_exercise(exercise, tmp_path / f"{name}.json")
    assert [name for name, _ in read_exercises(tmp_path).skipped] == ["b.json"]


def test_a_class_as_a_workbook_has_three_sheets_and_runs_nothing(tmp_path: Path) -> None:
    (tmp_path / "kim.json").write_text(json.dumps(answer_text("=1+1")))
    path = read_class(tmp_path, LESSONS).save(tmp_path / "class.xlsx")
    with ZipFile(path) as book:
        names = ElementTree.fromstring(book.read("xl/workbook.xml"))[0]
        sheets = [ElementTree.fromstring(book.read(f"xl/worksheets/sheet{n}.xml")) for n in (1, 2, 3)]
    cells = [cell for sheet in sheets for cell in sheet.iter()]
    assert [sheet.get("name") for sheet in names] == ["Exercises", "Learners", "Answers"]
    assert "'=1+1" in [cell.text for cell in cells]
    assert not [cell for cell in cells if cell.tag.endswith("}f")]  # no formula
    with pytest.raises(BadInput, match=r"\.csv or \.xlsx"):
        read_class(tmp_path, LESSONS).save(tmp_path / "class.ods")


def test_a_class_goes_into_a_spreadsheet_that_runs_no_name(tmp_path: Path) -> None:
    folder = tmp_path / "answers"
    folder.mkdir()
    for n, name in enumerate(("=1+1", "+1", "-1+1", "@sum(A1)", "Kim, 9", '"', "\u00e9")):
        (folder / f"{n}.json").write_text(json.dumps(answer_text(name, tries=[{**TRY, "answer": "11"}])))
    path = read_class(folder, Course("00", LESSONS.exercises[:2])).table().to_csv(tmp_path / "class.csv")
    head, *rows = csv.reader(path.read_text("utf-8-sig").splitlines())
    assert head == ["Learner", *TITLES[:2]]
    assert {row[0] for row in rows} == {"'=1+1", "+1", "'-1+1", "'@sum(A1)", "Kim, 9", '"', "\u00e9"}
    assert {tuple(row[1:]) for row in rows} == {("right, try 1", "-")}
    with pytest.raises(PressingError, match="Choose a folder that you can write to"):
        read_class(folder, LESSONS).table().to_csv(tmp_path / "none" / "class.csv")
