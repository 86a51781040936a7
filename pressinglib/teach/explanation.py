"""The words of an exercise: in `lesson_NN.md` beside its lesson, under the name that it has there.

    ## who_goes             `who_goes = ask("who_goes", ...)` in the lesson
    Title: Who goes?        what is asked: Title, Task, Look (the first hint); if its kind has them Rule (the second),
    Task: Click the one.    Far (the third), Too little, Too much; each on one line
    Look: At the ball.

    Nearest is not enough: *11* faces him. Told after the try: paragraphs, **bold**, lists.
    {who_is_there}          alone on a line: what the lesson has under this name, or what it returns when called;
                            of an exercise its plan; {price_03}: what is kept of games under this name
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from html import escape
from operator import attrgetter
from pathlib import Path
from types import ModuleType
from typing import Any

import mistune

from pressinglib.errors import BadInput
from pressinglib.field.situation import Situation
from pressinglib.roles.rulebook import Rulebook
from pressinglib.show import picture_html
from pressinglib.teach import lessons
from pressinglib.teach.exercise import Exercise, Judge
from pressinglib.teach.prices import KEPT, two_ways

SECTION, PLACE = re.compile(r"^## *(\w+) *$", re.MULTILINE), re.compile(r"^\{([\w.]+)\} *$", re.MULTILINE)
ASKED = re.compile(r"^(Title|Task|Look|Rule|Far|Too little|Too much): +(.+)\n?", re.MULTILINE)
PLACED = re.compile(r"<p>\{([\w.]+)\}</p>")
_markdown = mistune.create_markdown(escape=True)


def _texts(file: str | Path) -> dict[str, tuple[dict[str, str], str]]:
    """For each section of a text beside the lessons what is asked, by its labels, and what is told."""
    path = Path(lessons.__path__[0], file)
    parts = SECTION.split(path.read_text("utf-8"))[1:] if path.exists() else []
    return {name: (dict(ASKED.findall(words)), ASKED.sub("", words).strip())
            for name, words in zip(parts[::2], parts[1::2], strict=True)}


def asks_of(file: str) -> Callable[..., Exercise]:
    """What makes the exercises of a lesson, with their words out of its text: `ask = asks_of("lesson_05.md")`.

    It takes the name, the picture, and the kind with what it needs beside its words, or one that is made already;
    `others` and `rulebook` are the exercise's.
    """
    texts = _texts(file)

    def ask(name: str, situation: Situation, kind: Any, *values: Any,
            others: tuple[Situation, ...] = (), rulebook: Rulebook | None = None, **more: Any) -> Exercise:
        asked = {label.lower().replace(" ", "_"): words for label, words in texts.get(name, ({}, ""))[0].items()}
        try:
            title, task, look = (asked.pop(label) for label in ("title", "task", "look"))
            judge = kind if isinstance(kind, Judge) and not asked else kind(*values, **asked, **more)
        except (KeyError, TypeError) as error:
            raise BadInput(f"the words of {name!r} in {Path(file).name}", got=str(error),
                           expected="Title, Task, Look, and what its kind is told", todo="write them there") from error
        return Exercise(title, task, situation, judge, look, rulebook or Rulebook(), others)

    return ask


def sections(lesson: ModuleType) -> dict[str, str]:
    """What a lesson tells after the try, by the names of its exercises; none where there is nothing to tell."""
    texts = _texts(Path(str(lesson.__file__)).with_suffix(".md"))
    return {name: told for name, (_, told) in texts.items() if told}


def section_of(exercise: Exercise) -> tuple[ModuleType | None, str]:
    """The lesson in which this very exercise stands, and what it tells of it after the try."""
    for name, lesson in sorted(sys.modules.items()):
        for own, value in vars(lesson).items() if name.startswith(f"{lessons.__name__}.") else ():
            if value is exercise:
                return lesson, sections(lesson).get(own, "")
    return None, ""


def explained(lesson: ModuleType, words: str) -> str:
    """The words as HTML, with the lesson's tables and pictures in their places; AttributeError for an unknown one."""
    html = str(_markdown(PLACE.sub(r"\n\n{\1}\n\n", words)))
    return PLACED.sub(lambda place: _html_of(two_ways(place[1]) if place[1] in KEPT else
                                             attrgetter(place[1])(lesson)), html)


def _html_of(value: Any) -> str:
    """A text, a table or a picture; of an exercise that of its plan."""
    value = value() if callable(value) else getattr(value, "plan", value)
    if isinstance(value, str):
        return f"<p>{escape(value)}</p>"
    return str(value._repr_html_() if hasattr(value, "_repr_html_") else picture_html(value))
