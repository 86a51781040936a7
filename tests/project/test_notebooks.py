"""The form of the notebooks as they are kept: small, executed, quiet and readable.

nbval runs them and compares what they print; test_tree looks for paths of one machine in them, as in all texts.
"""

from __future__ import annotations

import ast
import re
from pathlib import Path

import nbformat
import pytest

ROOT = Path(__file__).parents[2]
PATHS = sorted((ROOT / "notebooks").glob("*.ipynb"))
TOP_KB, TOP_LINES, TOP_WORDS = 300, 12, 80


@pytest.fixture(params=PATHS, ids=[path.stem[:2] for path in PATHS])
def path(request: pytest.FixtureRequest) -> Path:
    return request.param


@pytest.fixture
def notebook(path: Path) -> nbformat.NotebookNode:
    notebook = nbformat.read(path, as_version=4)
    nbformat.validate(notebook)
    return notebook


def code(notebook: nbformat.NotebookNode) -> list[nbformat.NotebookNode]:
    return [cell for cell in notebook.cells if cell.cell_type == "code"]


def outputs(notebook: nbformat.NotebookNode) -> list[nbformat.NotebookNode]:
    return [output for cell in code(notebook) for output in cell.outputs]


def imports(source: str) -> list[ast.stmt]:
    """The import statements anywhere in a cell."""
    return [node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.Import | ast.ImportFrom)]


def test_the_first_lesson_is_there() -> None:
    assert [path.name for path in PATHS][:1] == ["00_a_full_press_in_five_minutes.ipynb"]


def test_is_small(path: Path) -> None:
    assert path.stat().st_size < TOP_KB * 1000


def test_was_executed_in_order(notebook: nbformat.NotebookNode) -> None:
    counts = [cell.execution_count for cell in code(notebook)]
    assert counts == list(range(1, len(counts) + 1))
    assert outputs(notebook) != []


def test_shows_no_error_and_no_complaint(notebook: nbformat.NotebookNode) -> None:
    assert [output for output in outputs(notebook) if output.output_type == "error"] == []
    assert [output.text for output in outputs(notebook) if output.get("name") == "stderr"] == []


def test_shows_a_picture_to_a_reader_without_a_kernel(notebook: nbformat.NotebookNode) -> None:
    assert [output for output in outputs(notebook) if "image/png" in output.get("data", {})] != []


def test_keeps_no_widget_state(notebook: nbformat.NotebookNode) -> None:
    assert set(notebook.metadata) == {"kernelspec", "language_info"}
    assert [kind for output in outputs(notebook) for kind in output.get("data", {}) if "widget" in kind] == []


def test_names_the_kernel_so_that_nobody_is_asked(notebook: nbformat.NotebookNode) -> None:
    assert notebook.metadata.kernelspec.name == "python3"


def test_cells_have_names_of_their_own(notebook: nbformat.NotebookNode) -> None:
    names = [cell.get("id") for cell in notebook.cells]
    assert None not in names
    assert len(set(names)) == len(names)


def test_code_is_short(notebook: nbformat.NotebookNode) -> None:
    assert [cell.source for cell in code(notebook) if len(cell.source.splitlines()) > TOP_LINES] == []


def test_prose_is_short(notebook: nbformat.NotebookNode) -> None:
    prose = [cell.source for cell in notebook.cells if cell.cell_type == "markdown"]
    assert [text for text in prose if len(re.findall(r"\w[\w'.-]*", text)) > TOP_WORDS] == []


def test_begins_with_its_title(notebook: nbformat.NotebookNode) -> None:
    assert re.match(r"# \S", notebook.cells[0].source)


def test_first_code_imports_the_library_and_the_lesson_and_says_ready(path: Path,
                                                                      notebook: nbformat.NotebookNode) -> None:
    first = code(notebook)[0]
    assert first.source == f"""import pressinglib as pl
from pressinglib.teach.lessons import lesson_{path.name[:2]} as lesson

print("Ready")"""
    assert [output.get("text") for output in first.outputs] == ["Ready\n"]


def test_no_other_cell_imports(notebook: nbformat.NotebookNode) -> None:
    assert [cell.source for cell in code(notebook)[1:] if imports(cell.source)] == []
