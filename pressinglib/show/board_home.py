"""Where a board lives among the widgets of a kernel: shown by cells, and closed when no cell shows it any more.

Widgets live in the kernel until they are closed. A cell that runs again replaces what it showed: whatever only its
earlier runs have shown can be seen by nobody and is closed. A page that is loaded again finds all others alive.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import ipywidgets as w
from IPython import get_ipython
from ipywidgets.widgets.widget import _instances


class Home(w.VBox):
    """The outermost widget of a board or a task; knows by which run of which cell it is shown."""

    def __init__(self, children: list[w.Widget]) -> None:
        super().__init__(children)
        self.runs: dict[str, str] = {}

    def _repr_mimebundle_(self, **how: Any) -> dict[str, Any]:
        cell, run = cell_and_run()
        if cell:
            self.runs[cell] = run
            for other in [widget for widget in _instances.values() if isinstance(widget, Home)]:
                other.leave(cell, run)
        return super()._repr_mimebundle_(**how)

    def leave(self, cell: str, run: str) -> None:
        """A newer run of a cell shows something else."""
        if self.runs.get(cell, run) != run:
            del self.runs[cell]
            if not self.runs:
                self.close()

    def close(self) -> None:
        """Close all that is in it, but for a home that another cell shows."""
        for widget in list(inside(self)):
            for part in (getattr(widget, "layout", None), getattr(widget, "style", None)):
                if isinstance(part, w.Widget):
                    part.close()
            if widget is not self:
                widget.close()
        super().close()


def inside(widget: w.Widget) -> Iterator[w.Widget]:
    """A widget and all below it."""
    yield widget
    for child in getattr(widget, "children", ()):
        if not (isinstance(child, Home) and child.runs):
            yield from inside(child)


def cell_and_run() -> tuple[str, str]:
    """The cell that runs now, and which run of it this is; empty where there are no cells.

    Examples
    --------
    >>> cell_and_run()
    ('', '')
    """
    shell = get_ipython()
    parent = shell.get_parent() if hasattr(shell, "get_parent") else {}
    return parent.get("metadata", {}).get("cellId", ""), parent.get("header", {}).get("msg_id", "")


class Displayed:
    """Something that the last line of a cell shows; built anew if it is shown after it was closed."""

    widget: Home

    def build(self) -> Home:
        """Make the widgets."""
        raise NotImplementedError

    def _repr_mimebundle_(self, **how: Any) -> dict[str, Any]:
        # The widget to see, and one steady line of text instead of the widget's long one.
        if self.widget.comm is None:
            self.widget = self.build()
        return {**self.widget._repr_mimebundle_(**how), "text/plain": repr(self)}

    def close(self) -> None:
        """Take it from the page and free what it holds; shown again, it comes back."""
        self.widget.close()
