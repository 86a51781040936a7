"""What explains an exercise and is told after the try: a section of the text beside its lesson, `lesson_NN.md`.

    ## who_goes             the exercise's name in the lesson
    Nearest is not enough: *11* faces him. Paragraphs, **bold**, lists.
    {who_is_there}          alone on a line: what the lesson has under this name, or what it returns when called;
                            of an exercise its plan
"""

from __future__ import annotations

import re
import sys
from html import escape
from operator import attrgetter
from pathlib import Path
from types import ModuleType
from typing import Any

import mistune

from pressinglib.show import picture_html
from pressinglib.teach import lessons
from pressinglib.teach.exercise import Exercise

SECTION, PLACE = re.compile(r"^## *(\w+) *$", re.MULTILINE), re.compile(r"^\{([\w.]+)\} *$", re.MULTILINE)
PLACED = re.compile(r"<p>\{([\w.]+)\}</p>")
_markdown = mistune.create_markdown(escape=True)


def sections(lesson: ModuleType) -> dict[str, str]:
    """The sections of a lesson's text, by the names of their exercises; none where there is no text."""
    text = Path(str(lesson.__file__)).with_suffix(".md")
    parts = SECTION.split(text.read_text("utf-8"))[1:] if text.exists() else []
    return {name: words.strip() for name, words in zip(parts[::2], parts[1::2], strict=True)}


def section_of(exercise: Exercise) -> tuple[ModuleType, str] | None:
    """The lesson that explains this very exercise, and its words; None where nobody does."""
    for lesson in [module for name, module in sorted(sys.modules.items()) if name.startswith(f"{lessons.__name__}.")]:
        for name in [name for name, value in vars(lesson).items() if value is exercise]:
            if name in sections(lesson):
                return lesson, sections(lesson)[name]
    return None


def explained(lesson: ModuleType, words: str) -> str:
    """The words as HTML, with the lesson's tables and pictures in their places; AttributeError for an unknown one."""
    html = str(_markdown(PLACE.sub(r"\n\n{\1}\n\n", words)))
    return PLACED.sub(lambda place: _html_of(attrgetter(place[1])(lesson)), html)


def _html_of(value: Any) -> str:
    """A text, a table or a picture; of an exercise that of its plan."""
    value = value() if callable(value) else getattr(value, "plan", value)
    if isinstance(value, str):
        return f"<p>{escape(value)}</p>"
    return str(value._repr_html_() if hasattr(value, "_repr_html_") else picture_html(value))
