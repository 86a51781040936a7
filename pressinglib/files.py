"""The name of a file from what a person has written: letters, figures, underlines, nothing that leads elsewhere."""

from __future__ import annotations

import json
import os
import re
import secrets
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

from pressinglib.errors import PlainFileError

# -- Files of plain values: JSON read with care and written whole or not at all.


FAULTS_SHOWN = 40
Kind = type[PlainFileError]


def read(path: Path, limit_bytes: int, error: Kind) -> bytes:
    """The content of a file, at most one byte more than the limit; an error of this kind where there is none."""
    if not path.is_file():
        found = "a folder, not a file" if path.is_dir() else "no such file"
        raise error(str(path), [found], "check the name and the folder")
    try:
        with path.open("rb") as file:
            return file.read(limit_bytes + 1)
    except OSError as cause:
        raise error(str(path), [str(cause.strerror)], "check the rights of the file") from cause


def document_of(data: bytes, path: str, limit_bytes: int, error: Kind) -> Any:
    """The values of the file; refuses what JSON readers let pass: doubled keys, NaN, Infinity."""
    faults: list[str] = []

    def pairs(items: list[tuple[str, Any]]) -> dict[str, Any]:
        faults.extend(f"{key[:40]}: stands twice in one pair of braces" for key in _twice([key for key, _ in items]))
        return dict(items)

    if len(data) > limit_bytes:
        raise error(path, [f"more than {limit_bytes // 1000} kB"], "such a file is a few kB: check it")
    try:
        document = json.loads(data.decode("utf-8-sig"), object_pairs_hook=pairs,
                              parse_constant=lambda name: faults.append(f"{name}: not a number"))
    except UnicodeDecodeError as cause:
        raise error(path, ["text that is not UTF-8"], "save it as UTF-8") from cause
    except (ValueError, RecursionError) as cause:
        raise error(path, [f"not JSON: {_reason(cause)}"], "mend the text there, or save it anew") from cause
    complain(path, faults, error)
    return document


def complain(path: str, faults: list[str], error: Kind) -> None:
    """An error of this kind if there are faults; of very many the first ones."""
    if faults:
        more = [f"and {len(faults) - FAULTS_SHOWN} more"] if len(faults) > FAULTS_SHOWN else []
        raise error(path, faults[:FAULTS_SHOWN] + more)


def too_deep(value: Any, levels: int) -> bool:
    """Whether lists and braces go deeper; stops at the level that is one too many, so that no depth can hurt.

    Examples
    --------
    >>> too_deep([[1]], 2), too_deep([[1]], 1)
    (False, True)
    """
    inside = value.values() if isinstance(value, dict) else value if isinstance(value, list) else None
    return inside is not None and (levels == 0 or any(too_deep(v, levels - 1) for v in inside))


def _twice(keys: list[str]) -> list[str]:
    seen: set[str] = set()
    return [key for key in keys if key in seen or seen.add(key)]  # type: ignore[func-returns-value]


def _reason(error: Exception) -> str:
    if isinstance(error, json.JSONDecodeError):
        return f"line {error.lineno}, column {error.colno}: {error.msg}"
    return "braces in braces without end" if isinstance(error, RecursionError) else "a number with too many digits"


def lines_of(document: dict[str, Any]) -> str:
    """JSON with one player a line."""
    return "{" + ",\n ".join(f"{json.dumps(key)}: {_value(value)}" for key, value in document.items()) + "}"


def _value(value: Any) -> str:
    if isinstance(value, list) and value and isinstance(value[0], dict):
        return "[\n  " + ",\n  ".join(map(_value, value)) + "]"
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def text_of(write: Callable[[], str], path: str, error: Kind) -> bytes:
    """What `write` makes of plain values, as UTF-8."""
    try:
        return write().encode("utf-8")
    except (TypeError, ValueError) as cause:
        raise error(path, [f"a value that is not text: {cause}"], "give title and notes as text") from cause


def save(path: str | os.PathLike[str], text: bytes, error: Kind) -> Path:
    """Replace a file as a whole, or leave it as it was; a link is followed."""
    try:
        replace_whole(Path(os.path.realpath(path)), text)
    except OSError as cause:
        raise error(str(path), [str(cause.strerror)], "choose a folder that you can write to") from cause
    return Path(path)


def replace_whole(target: Path, text: bytes) -> None:
    """Write beside the target, then put it in its place in one step: a kill leaves the old file or the new."""
    beside = target.parent / f".{secrets.token_hex(8)}.tmp"
    try:
        with beside.open("xb") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        if target.exists():
            shutil.copymode(target, beside)
        os.replace(beside, target)
    finally:
        beside.unlink(missing_ok=True)


# -- The name of a file from what a person has written: letters, figures, underlines, nothing that leads elsewhere.


LONGEST = 60
TAKEN = re.compile(r"con|prn|aux|nul|com\d|lpt\d")  # names that Windows keeps for itself


def file_name(words: str, otherwise: str = "file") -> str:
    """A name without ending.

    Examples
    --------
    >>> file_name("Who goes, 9 or 10?"), file_name("../../x"), file_name("..."), file_name("con")
    ('who_goes_9_or_10', 'x', 'file', 'con_')
    """
    plain = re.sub(r"[^\w-]+", "_", words.casefold()).strip("_")[:LONGEST] or otherwise
    return f"{plain}_" if TAKEN.fullmatch(plain) else plain
