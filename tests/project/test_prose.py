"""The prose of the lessons: short, British, in the words of the trade; and the form of a lesson."""

from __future__ import annotations

import re
import statistics
from pathlib import Path

import nbformat
import pytest

from pressinglib.teach.explanation import sections
from tests.teach.lessons import exercises_of, lesson_modules

ROOT = Path(__file__).parents[2]
PATHS = {path.stem[:2]: path for path in sorted((ROOT / "notebooks").glob("*.ipynb"))}
TOP_WORDS, MEDIAN_LINES, TOP_EXERCISES = 1500, 4, 12
FEWEST = {"00": 3}  # exercises; five in all others
# American spellings, and words for which the trade has another one here.
NOT_BRITISH = ("behavior", "center", "color", "defense", "favor", "favorite", "gray", "labeled",
               "labor", "maneuver", "meter", "meters", "modeling", "offense", "organize", "organized",
               "realize", "recognize", "soccer", "traveled", "traveling", "analyze")
NOT_OURS = ("backline", "counterpress", "counterpressing", "cover-shadow", "gegenpressing", "jockey", "outside back",
            "passing lane", "passing lanes", "strong side", "weak side", "weakside")
# What a coach need not know to take a lesson; the analyst's lessons may say them.
JARGON = ("array", "boolean", "dataframe", "exception", "instance", "kernel", "traceback", "tuple")
TITLE_OF_THE_DATA = "An integrated dataset of spatiotemporal and event data in elite soccer"  # a credit is not changed
FOR_ANALYSTS, FOR_TUTORS = ("11", "12"), ("10",)  # a tutor writes a practice of his own
CAUTIONS = ("Warm-up", "heat", "concussion", "heading", "tackling", "safeguarding", "local rules",
            "national federation", "medical staff", "licensed practice")


@pytest.fixture(params=PATHS)
def number(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture
def notebook(number: str) -> nbformat.NotebookNode:
    return nbformat.read(PATHS[number], as_version=4)


def prose(notebook: nbformat.NotebookNode) -> list[str]:
    return [cell.source for cell in notebook.cells if cell.cell_type == "markdown"]


def said_in(number: str) -> list[str]:
    """What the exercises of a lesson say before anybody answers."""
    module = lesson_modules().get(f"lesson_{number}")
    exercises = exercises_of(module).values() if module else ()
    told = sections(module).values() if module else ()
    return [*told, *(words for e in exercises for words in (e.title, e.asks, *(e.hint(s).words for s in (1, 2))))]


def found(words: tuple[str, ...], texts: list[str]) -> list[str]:
    pattern = re.compile(rf"\b({'|'.join(words)})\b", re.IGNORECASE)
    return [hit for text in texts for hit in pattern.findall(text)]


def test_a_lesson_is_short(notebook: nbformat.NotebookNode) -> None:
    assert sum(len(re.findall(r"\w[\w'.-]*", text)) for text in prose(notebook)) <= TOP_WORDS
    lines = [len(cell.source.splitlines()) for cell in notebook.cells if cell.cell_type == "code"]
    assert statistics.median(lines) <= MEDIAN_LINES


def test_one_sentence_a_line(notebook: nbformat.NotebookNode) -> None:
    lines = [line for text in prose(notebook) for line in text.splitlines() if not line.startswith("#")]
    said = [re.sub(r"^\d\. ", "", line) for line in lines]
    assert [line for line in said if re.search(r"[.?!]\*{0,2} +\*{0,2}[A-Z]", line)] == []


def test_british_and_in_the_words_of_the_trade(number: str, notebook: nbformat.NotebookNode) -> None:
    texts = [text.replace(TITLE_OF_THE_DATA, "") for text in prose(notebook)]
    assert found((*NOT_BRITISH, *NOT_OURS), texts + said_in(number)) == []


def test_a_coach_meets_no_jargon(number: str, notebook: nbformat.NotebookNode) -> None:
    assert number in FOR_ANALYSTS or found(JARGON, prose(notebook) + said_in(number)) == []


def test_words_that_are_looked_for_would_be_found() -> None:
    assert found(NOT_BRITISH, ["At the Center of it, 5 meters."]) == ["Center", "meters"]
    assert found(NOT_OURS, ["the weak side"]) == ["weak side"]
    assert found(JARGON, ["central, parameters"]) == []


def test_the_question_is_the_title_and_three_goals_follow(notebook: nbformat.NotebookNode) -> None:
    first = notebook.cells[0].source
    assert re.match(r"# .*\?\n", first)
    assert re.findall(r"^\d\.", first, re.MULTILINE) == ["1.", "2.", "3."]


def test_a_prediction_comes_before_every_board(notebook: nbformat.NotebookNode) -> None:
    shown = [n for n, cell in enumerate(notebook.cells) for output in cell.get("outputs", [])
             if re.match(r"Board of|On the board", output.get("data", {}).get("text/plain", ""))]
    assert shown != []
    assert [notebook.cells[n].id for n in shown if not re.search(r"\*\*[^*]+\*\*", notebook.cells[n - 1].source)] == []


def test_it_asks_enough_exercises_and_not_too_many(number: str, notebook: nbformat.NotebookNode) -> None:
    module = lesson_modules().get(f"lesson_{number}")
    if module is not None:
        asked = {name for cell in notebook.cells
                 for name in re.findall(r"(?:TryIt\(lesson\.)?(\w+)(?:\)|\.check\()", cell.source)}
        assert FEWEST.get(number, 5) <= len(asked & set(vars(module))) <= TOP_EXERCISES
        assert len(exercises_of(module)) <= TOP_EXERCISES


def test_a_practice_defers_to_those_who_decide(number: str, notebook: nbformat.NotebookNode) -> None:
    grass = [text for text in prose(notebook) if "For the grass" in text]
    assert len(grass) == 1
    assert [word for word in ("easier", "harder") if word not in grass[0].lower()] == []
    assert [word for word in CAUTIONS if word not in " ".join(prose(notebook))] == []
    assert number in FOR_TUTORS or re.search(r"\d+ by \d+ m\b", grass[0])
