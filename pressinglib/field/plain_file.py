"""Files of plain values: JSON read with care and written whole or not at all."""

from __future__ import annotations

import json
import os
import secrets
import shutil
from pathlib import Path
from typing import Any

from pressinglib.errors import SceneFileError

FAULTS_SHOWN = 40


def read(path: Path, limit_bytes: int) -> bytes:
    """The content of a file, at most one byte more than the limit; SceneFileError where there is none."""
    if not path.is_file():
        found = "a folder, not a file" if path.is_dir() else "no such file"
        raise SceneFileError(str(path), [found], "check the name and the folder")
    try:
        with path.open("rb") as file:
            return file.read(limit_bytes + 1)
    except OSError as error:
        raise SceneFileError(str(path), [str(error.strerror)], "check the rights of the file") from error


def document_of(data: bytes, path: str, limit_bytes: int) -> Any:
    """The values of the file; refuses what JSON readers let pass: doubled keys, NaN, Infinity."""
    faults: list[str] = []

    def pairs(items: list[tuple[str, Any]]) -> dict[str, Any]:
        faults.extend(f"{key[:40]}: stands twice in one pair of braces" for key in _twice([key for key, _ in items]))
        return dict(items)

    if len(data) > limit_bytes:
        raise SceneFileError(path, [f"more than {limit_bytes // 1000} kB"], "a scene is a few kB: check the file")
    try:
        document = json.loads(data.decode("utf-8-sig"), object_pairs_hook=pairs,
                              parse_constant=lambda name: faults.append(f"{name}: not a number for a scene"))
    except UnicodeDecodeError as error:
        raise SceneFileError(path, ["text that is not UTF-8"], "save it as UTF-8") from error
    except (ValueError, RecursionError) as error:
        raise SceneFileError(path, [f"not JSON: {_reason(error)}"], "mend the text there, or save it anew") from error
    if faults:
        raise SceneFileError(path, faults[:FAULTS_SHOWN])
    return document


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
