"""Run the notebooks and keep what they show: ``python tests/project/execute_notebooks.py [00 03 ...]``.

What is kept is what a reader without a kernel sees and what nbval compares: text and pictures. Widgets are kept as
their text alone, for their state is megabytes of random names, and useless without a kernel.
"""

from __future__ import annotations

import sys
from pathlib import Path

import nbformat
from nbclient import NotebookClient

NOTEBOOKS = Path(__file__).parents[2] / "notebooks"
WIDGET = "application/vnd.jupyter.widget-view+json"
# Without a kernel's name JupyterLab asks the reader for one; the version of Python would differ from run to run.
METADATA = {
    "kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"},
    "language_info": {"name": "python"},
}


def chosen(prefixes: list[str]) -> list[Path]:
    """The notebooks whose names begin with one of `prefixes`, or all of them."""
    return sorted(path for path in NOTEBOOKS.glob("*.ipynb") if path.name.startswith(tuple(prefixes) or ""))


def execute(path: Path) -> None:
    """Run one notebook from top to bottom in its own folder and write it back; an error in a cell stops here."""
    notebook = nbformat.read(path, as_version=4)
    settings = {"timeout": 120, "record_timing": False, "store_widget_state": False, "kernel_name": "python3"}
    NotebookClient(notebook, resources={"metadata": {"path": str(path.parent)}}, **settings).execute()
    notebook.metadata = nbformat.from_dict(METADATA)
    for cell in notebook.cells:
        tidy(cell)
    nbformat.write(notebook, path)


def tidy(cell: nbformat.NotebookNode) -> None:
    """Drop from one executed cell what belongs to this run alone."""
    cell.metadata.pop("execution", None)
    for output in cell.get("outputs", []):
        output.get("data", {}).pop(WIDGET, None)


if __name__ == "__main__":
    for notebook_path in chosen(sys.argv[1:]):
        execute(notebook_path)
        print(f"{notebook_path.name}: {notebook_path.stat().st_size / 1000:.0f} kB")
