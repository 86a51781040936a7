"""Every notebook with its questions answered: wrong, right, every hint, the solution; in one kernel, top to bottom."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import nbformat
import pytest
from jupyter_core.utils import run_sync
from nbclient import NotebookClient

from pressinglib.teach.exercise import HINTS, Exercise
from tests.teach.lessons import exercises_of, keys_of, lesson_modules

pytestmark = pytest.mark.full

NOTEBOOKS = {f"lesson_{path.name[:2]}": path
             for path in sorted((Path(__file__).parents[2] / "notebooks").glob("*.ipynb"))}
TASK = re.compile(r"\blesson\.(\w+)\.(check|hint)\(")
BLOCK = re.compile(r"^pl\.TryIt\(lesson\.(\w+)\)", re.MULTILINE)
STEPS = [str(step) for step in range(1, HINTS + 1)]
OUTCOMES = ["Not attempted", "Not yet", "Not yet", "Right", "Right", "Right"]


@pytest.fixture(scope="module", params=[lesson for lesson in NOTEBOOKS if lesson in lesson_modules()])
def lesson(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(scope="session")
def kernel() -> Iterator[Any]:
    """One for all lessons, emptied before each; nbval runs each in one of its own."""
    manager = NotebookClient(nbformat.v4.new_notebook(), kernel_name="python3").create_kernel_manager()
    yield manager
    run_sync(manager.shutdown_kernel)(now=True)


@pytest.fixture(scope="module")
def solved(lesson: str, kernel: Any) -> nbformat.NotebookNode:
    """Each cell as it comes, then every cell with a task again and again with the dots filled in."""
    kept = nbformat.read(NOTEBOOKS[lesson], as_version=4)
    notebook = nbformat.from_dict(kept)
    notebook.cells = [copy for cell in kept.cells for copy in (cell, *tried(lesson, cell))]
    notebook.cells.insert(0, nbformat.v4.new_code_cell("get_ipython().reset()"))
    folder = {"metadata": {"path": str(NOTEBOOKS[lesson].parent)}}
    client = NotebookClient(notebook, kernel, timeout=600, resources=folder)
    client.execute()
    client.kc.stop_channels()
    return notebook


def tried(lesson: str, cell: nbformat.NotebookNode) -> list[nbformat.NotebookNode]:
    """Cells with every answer and hint that is known for the exercise of a block, or for what is typed in a cell."""
    if cell.cell_type != "code":
        return []
    if block := BLOCK.search(cell.source):
        name = block[1]
        return [*filled(name, "check", f"lesson.{name}.check(...)", ["...", *written(lesson, name)]),
                *filled(name, "hint", f"lesson.{name}.hint(...)", ["...", *STEPS])]
    task = TASK.search(cell.source) if "..." in cell.source else None
    if task is None:
        return []
    assert cell.source.count("...") == 1
    name, asked = task.groups()
    return filled(name, asked, cell.source, STEPS if asked == "hint" else written(lesson, name))


def filled(name: str, asked: str, source: str, values: list[str]) -> list[nbformat.NotebookNode]:
    """A cell for each value in the place of the dots."""
    return [nbformat.v4.new_code_cell(source.replace("...", value), metadata={"of": name, "asked": asked})
            for value in values]


def written(lesson: str, name: str) -> list[str]:
    """Two wrong answers, two right ones and the solution, as they would be typed."""
    key, answer = keys_of(lesson)[name], exercises(lesson)[name].solution().answer
    return [as_typed(value, name) for value in (*key.wrong, *key.right, answer)]


def as_typed(value: Any, name: str) -> str:
    """A value as Python. A rule cannot be typed in one line: the cell is `return ...`, and the rule known is asked."""
    return f"lesson.{name}.judge.model(lesson.{name}.plan)(situation)" if callable(value) else repr(value)


def exercises(lesson: str) -> dict[str, Exercise]:
    return exercises_of(lesson_modules()[lesson])


def said(notebook: nbformat.NotebookNode, name: str, asked: str) -> list[str]:
    """What the cell of a task and its copies say."""
    cells = [c for c in notebook.cells if c.cell_type == "code" and (
        (c.metadata.get("of"), c.metadata.get("asked")) == (name, asked) or TASK.findall(c.source) == [(name, asked)])]
    return [output.data["text/plain"] for c in cells for output in c.outputs[-1:]]


def test_filled_in_it_runs_without_a_complaint(solved: nbformat.NotebookNode) -> None:
    outputs = [output for cell in solved.cells for output in cell.get("outputs", [])]
    assert [output for output in outputs if output.output_type == "error" or output.get("name") == "stderr"] == []


def test_every_exercise_is_asked_and_answered(lesson: str, solved: nbformat.NotebookNode) -> None:
    rules = [name for name, e in exercises(lesson).items() if callable(e.solution().answer)]
    for name in exercises(lesson):
        heads = [re.split(r"[:,]", text)[0] for text in said(solved, name, "check")]
        assert heads == (["Not attempted"] + ["Right"] * 5 if name in rules else OUTCOMES), name


def test_every_exercise_helps_in_four_steps(lesson: str, solved: nbformat.NotebookNode) -> None:
    for name in exercises(lesson):
        heads = [text.partition(":")[0] for text in said(solved, name, "hint")]
        assert heads == ["Stuck", *(f"Hint {step} of {HINTS}" for step in range(1, HINTS + 1))], name


def test_as_kept_nothing_is_answered(lesson: str) -> None:
    notebook = nbformat.read(NOTEBOOKS[lesson], as_version=4)
    texts = [text for name in exercises(lesson) for text in said(notebook, name, "check")]
    assert [text.partition(":")[0] for text in texts] == ["Not attempted"] * len(texts)


def test_what_is_asked_in_a_block_is_an_exercise_of_the_lesson(lesson: str, solved: nbformat.NotebookNode) -> None:
    blocks = [found[1] for cell in solved.cells if cell.cell_type == "code" for found in BLOCK.finditer(cell.source)]
    assert set(blocks) <= set(exercises(lesson))
    assert blocks != []
