"""Files for print and projector, written whole, with a sentence where that fails."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

from pressinglib.errors import BadInput, PressingError


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
