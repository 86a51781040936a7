"""The try comes before the answer: what a lesson keeps in view above a question tells no answer."""

from __future__ import annotations

import re
from collections.abc import Iterator

import nbformat
import pytest

from pressinglib.teach.exercise import RIGHT, Exercise
from pressinglib.teach.explanation import sections
from tests.project.test_prose import FOR_ANALYSTS, FOR_TUTORS, PATHS
from tests.teach.lessons import exercises_of, lesson_modules

TRY = re.compile(r"^pl\.TryIt\(lesson\.(\w+)\)$")
QUIET = re.compile(r"On the board: |Board of |Ready$|Exercises from your tutor: |Picture: |A card: |Lesson +So far\n")
LONG = 4  # words; shorter sentences may stand anywhere


def asked() -> Iterator[tuple[str, str, Exercise, str, str]]:
    """Each exercise in its block: lesson, name, itself; what is kept above it, and of that what leads up to it."""
    for number, path in PATHS.items():
        module, above = lesson_modules()[f"lesson_{number}"], ""
        for cell in nbformat.read(path, as_version=4).cells:
            found = TRY.match(cell.source) if cell.cell_type == "code" else None
            if found:
                own = re.split(r"^## .*", above, flags=re.M)[-1]
                yield number, found[1], exercises_of(module)[found[1]], above, own
                above += "\n## "
            above += "\n".join(["\n", cell.source] if cell.cell_type == "markdown" else printed(cell))


def printed(cell: nbformat.NotebookNode) -> list[str]:
    return [str(output.get("text") or output.get("data", {}).get("text/plain", "")) for output in cell.outputs]


every = pytest.mark.parametrize(("number", "name", "exercise", "above", "own"), [
    pytest.param(*case, id=f"{case[0]}, {case[1]}") for case in asked()])


def sentences(text: str) -> set[str]:
    """Its longer sentences, without marks, capitals and line ends."""
    said = re.split(r"(?<=[.?!:])\s+|\n", re.sub(r"[*_]", "", text))
    return {one.strip(" .?!:-").casefold() for one in said if len(re.findall(r"\w+", one)) >= LONG}


@every
def test_what_explains_it_and_what_show_tells_stand_nowhere_above(
    number: str, name: str, exercise: Exercise, above: str, own: str
) -> None:
    told = sections(lesson_modules()[f"lesson_{number}"]).get(name, "")
    assert told or number in FOR_ANALYSTS + FOR_TUTORS
    behind = sentences(told) | sentences(exercise.solution().words) | sentences(exercise.hint(2).words)
    assert behind & sentences(above) == set()


@every
def test_no_number_above_it_is_the_answer(
    number: str, name: str, exercise: Exercise, above: str, own: str
) -> None:
    """Neither of a slider, in its unit, nor the one option of several that is spoken of."""
    form = exercise.form
    if form.slider is not None:
        unit = getattr(exercise.judge, "unit", "m")
        numbers = re.findall(rf"(\d+(?:\.\d+)?) {re.escape(unit)}\b", own)
        assert [n for n in numbers if exercise.check(f"{n} {unit}").outcome == RIGHT] == []
    theirs = re.findall(r"[Tt]heir (?:\w+ )?(\d+)\b", own)
    ours = re.sub(r"[Tt]heir (?:\w+ )?\d+|\d+(?:\.\d+)? (?:m|s|degrees)\b|^\d+\.", " ", own, flags=re.M)
    spoken = theirs if form.team == "possession" else re.findall(r"\d+-\d+|\d+", ours)
    named = [option for option in form.options if option in spoken]  # a word has other meanings too
    right = [option for option in named if exercise.check(option).outcome == RIGHT]
    assert named == [] or right != named


@pytest.mark.parametrize("number", [number for number in PATHS if number not in FOR_ANALYSTS + FOR_TUTORS])
def test_saved_outputs_show_questions_only(number: str) -> None:
    cells = nbformat.read(PATHS[number], as_version=4).cells
    said = [text for cell in cells if cell.cell_type == "code" and "def " not in cell.source for text in printed(cell)]
    assert [text for text in said if not QUIET.match(text)] == []


def test_what_gives_an_answer_away_would_be_found() -> None:
    assert sentences("It was **7**.\nA switch to their 2 is in the air.") == {"a switch to their 2 is in the air"}
