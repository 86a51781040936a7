"""Files for print and projector, written whole, with a sentence where that fails."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from types import EllipsisType
from typing import Protocol

from pressinglib.errors import BadInput, PressingError
from pressinglib.teach.card import Card


class PrintError(PressingError, OSError):
    """A file cannot be written."""


def printed(path: str | os.PathLike[str], endings: tuple[str, ...], write: Callable[[Path], object]) -> Path:
    """Let `write` make the file, if its name has one of the endings.

    Raises
    ------
    BadInput
        For another ending.
    PrintError
        If the folder cannot be written to.

    Examples
    --------
    >>> printed("handout.doc", (".pdf",), print)
    Traceback (most recent call last):
    pressinglib.errors.BadInput: name handout.doc: expected one that ends in .pdf; got '.doc'. Change its ending.
    """
    path = Path(path)
    if path.suffix.lower() not in endings:
        raise BadInput(f"name {str(path)[:100]}", expected=f"one that ends in {' or '.join(endings)}",
                       got=repr(path.suffix), todo="change its ending")
    try:
        write(path)
    except OSError as error:
        raise PrintError(f"file {path}", got=str(error.strerror or error),
                         todo="choose a folder that you can write to, and close the file if it is open") from error
    return path


class Printable(Protocol):
    """A handout, a practice, a slide: whatever can be saved under a name."""

    def save(self, path: str | os.PathLike[str]) -> Path:
        """Write the file."""


def saved(what: Printable, name: str | EllipsisType) -> Card:
    """Save it under a name, and say so; also what went wrong. `...` saves nothing.

    Examples
    --------
    >>> from pressinglib.teach.lessons.lesson_00 import who_goes
    >>> from pressinglib.teach.slide import slides_of
    >>> saved(slides_of(who_goes)[0], ...)
    Note: Nothing is saved yet: write a name over the dots.
    >>> saved(slides_of(who_goes)[0], "slide.doc")
    Note: name slide.doc: expected one that ends in .png or .gif; got '.doc'. Change its ending.
    """
    if isinstance(name, EllipsisType):
        return Card("Nothing is saved yet: write a name over the dots.")
    if not isinstance(name, str | os.PathLike):
        return Card('This is no name: write one in quotes, such as "mine.pdf".')
    try:
        return Card(f"Saved as {what.save(name)}.")
    except PressingError as error:
        return Card(str(error))
