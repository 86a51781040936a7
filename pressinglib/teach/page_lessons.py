"""A lesson as one page that opens anywhere: its text, its pictures, its exercises and its boards, in their order.

What a cell shows is read off its code; nothing of it is run but the few calls in `KNOWN`. What cannot be read off is
shown as the notebook was kept.
"""

from __future__ import annotations

import ast
import importlib
import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from html import escape
from pathlib import Path
from typing import Any

import mistune

import pressinglib
from pressinglib.errors import BadInput, PressingError
from pressinglib.field.situation import Situation
from pressinglib.files import made_folder
from pressinglib.show.drawing import USUAL_LAYERS
from pressinglib.show.page import MARKUP, save_sections, scene_section
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.page_exercises import Baked, answers_desk, explanation_of, no_styles

KNOWN = ("scene", "with_ball", "moved", "line_up", "mirrored", "variant")  # and the functions of the lesson itself
PLAYED = ("SequenceBoard", "Desk", "Homework", "MarkClass")  # what a page cannot do
READY = "Ready"  # what the first cell says
HOW = "how"  # the cell that says how to answer in a notebook
CARRY_M = 3.0  # a lesson has several boards
_markdown = mistune.create_markdown(escape=True)


@dataclass
class Lesson:
    """A lesson as it is read, cell by cell."""

    number: str
    names: dict[str, Any]

    def sections(self, cells: list[dict[str, Any]]) -> Iterator[str]:
        """The parts of its page."""
        for cell in cells:
            source = "".join(cell["source"])
            if cell["cell_type"] == "markdown":
                words = MARKUP["how"] if cell.get("id") == HOW else _markdown(source)
                yield f'<div class="prose">{words}</div>'
            elif cell["cell_type"] == "code":
                yield from self._code(ast.parse(source), cell.get("outputs", []))
        yield answers_desk()

    def _code(self, tree: ast.Module, outputs: list[dict[str, Any]]) -> Iterator[str]:
        """What a cell of code shows: an exercise, a board, or what was kept of it."""
        calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call)]
        tried, boards = ([node for node in calls if _name(node) == name] for name in ("TryIt", "Board"))
        for node in tree.body:
            if isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name):
                self.names[node.targets[0].id] = self._value(node.value)
        if tried and isinstance(exercise := self._value(tried[0].args[0]), Exercise):
            own = any(exercise is one for one in vars(self.names["lesson"]).values())  # tries at another are practice
            yield Baked(exercise).section(self.number if own else "", explanation_of(exercise))
        elif boards and isinstance(situation := self._value(boards[0].args[0]), Situation):
            layers = next((self._value(word.value) for word in boards[0].keywords if word.arg == "layers"), None)
            yield scene_section(situation, layers=layers or USUAL_LAYERS, carry_m=CARRY_M)
        else:
            yield from filter(None, map(_kept, outputs))
            yield from (MARKUP["computer"] for node in calls if _name(node) in PLAYED)

    def _value(self, node: ast.expr) -> Any:
        """What an expression stands for, as far as names, attributes, constants and known calls go; else None."""
        if isinstance(node, ast.Constant):
            return node.value
        if isinstance(node, ast.Name):
            return self.names.get(node.id)
        if isinstance(node, ast.Tuple | ast.List):
            return tuple(map(self._value, node.elts))
        if isinstance(node, ast.Attribute):
            return getattr(self._value(node.value), node.attr, None)
        if isinstance(node, ast.Subscript) and isinstance(some := self._value(node.value), tuple | list | dict):
            return some[self._value(node.slice)]
        if isinstance(node, ast.Call) and self._is_known(node.func) and callable(act := self._value(node.func)):
            named = {word.arg: self._value(word.value) for word in node.keywords if word.arg}
            try:
                return act(*map(self._value, node.args), **named)
            except (PressingError, TypeError):
                return None
        return None

    def _is_known(self, act: ast.expr) -> bool:
        of_lesson = isinstance(act, ast.Attribute) and isinstance(act.value, ast.Name) and act.value.id == "lesson"
        return of_lesson or getattr(act, "attr", "") in KNOWN


def _name(call: ast.Call) -> str:
    return call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")


def _kept(output: dict[str, Any]) -> str:
    """What the notebook was kept with: a picture, a table, a text."""
    kept = {kind: "".join(text) for kind, text in output.get("data", {}).items()}
    words = kept.get("text/plain", "".join(output.get("text", ""))).strip()
    if "image/png" in kept:
        return f'<p><img alt="{escape(words, quote=True)}" src="data:image/png;base64,{kept["image/png"].strip()}"></p>'
    if "<table" in kept.get("text/html", ""):
        return f'<div class="prose">{no_styles(kept["text/html"])}</div>'
    return "" if words in ("", READY) else f"<pre>{escape(words)}</pre>"


def save_lesson(notebook: Path, path: Path) -> str:
    """Write a lesson's notebook as a page; its title."""
    cells = json.loads(notebook.read_text("utf-8"))["cells"]
    title, _, rest = "".join(cells[0]["source"]).lstrip("# ").partition("\n")
    cells[0]["source"] = rest
    number = notebook.name[:2]
    module = importlib.import_module(f"{__package__}.lessons.lesson_{number}")
    lesson = Lesson(number, {"pl": pressinglib, "lesson": module})
    save_sections(path, title, lesson.sections(cells))
    return title


def save_lessons(notebooks: Path, folder: str | Path, said: Callable[[str], object] = print) -> Path:
    """Write every lesson as a page, and an index of them; the index."""
    home, links = made_folder(Path(folder)), []
    for notebook in sorted(notebooks.glob("[0-9][0-9]_*.ipynb")):
        page = home / f"{notebook.stem}.html"
        title = save_lesson(notebook, page)
        links.append(f'<li><a href="{page.name}">{escape(title)}</a></li>')
        said(f"{page}: {page.stat().st_size / 1000:.0f} kB")
    if not links:
        raise BadInput(f"folder {notebooks}", expected="lessons", got="none there", todo="install pressinglib again")
    return save_sections(home / "index.html", "The lessons", [f'<ol class="prose" start="0">{"".join(links)}</ol>'])
