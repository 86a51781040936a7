"""The notebooks as they are kept, by number, and what their cells say."""

from __future__ import annotations

import re
from pathlib import Path
from types import ModuleType

import nbformat

from pressinglib.teach.explanation import sections

FOLDER = Path(__file__).parents[2] / "notebooks"


def kept(number: str) -> nbformat.NotebookNode:
    """The notebook of a lesson, "01"."""
    return nbformat.read(next(FOLDER.glob(f"{number}_*.ipynb")), as_version=4)


def told(lesson: ModuleType, exercise: str) -> str:
    """What is told after the try of one exercise, and nowhere else."""
    return sections(lesson)[exercise]


def prose(notebook: nbformat.NotebookNode, cell_id: str) -> str:
    """The words of one cell."""
    return str(next(cell.source for cell in notebook.cells if cell.id == cell_id))


def printed(notebook: nbformat.NotebookNode, cell_id: str) -> str:
    """What one cell shows, as text."""
    cell = next(cell for cell in notebook.cells if cell.id == cell_id)
    return "\n".join(output.get("text") or output.data["text/plain"] for output in cell.outputs)


def rows(notebook: nbformat.NotebookNode, cell_id: str) -> list[dict[str, str]]:
    """The rows of the table that one cell shows, by the names of its columns; what stands before and below is left."""
    lines = [re.split(r"  +", line) for line in printed(notebook, cell_id).splitlines()]
    head = next(line for line in lines if len(line) > 1)
    return [dict(zip(head, line, strict=True)) for line in lines if len(line) == len(head) and line != head]
