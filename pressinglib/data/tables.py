"""Tables on disk: CSV or Parquet, read with care and written whole or not at all."""

from __future__ import annotations

import csv
import gzip
import re
import secrets
import warnings
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from pressinglib.errors import BadInput

KINDS = (".parquet", ".csv", ".csv.gz")


def pandas_or_say() -> Any:
    """pandas, or BadInput that says how to get it."""
    try:
        import pandas
    except ImportError as error:
        raise BadInput("match data", expected="pandas", got="no such package here",
                       todo='install the extra: pip install "pressinglib[match]"') from error
    return pandas


def kind_of(path: Path) -> str:
    """The ending of a table's name, or BadInput."""
    for kind in KINDS:
        if path.name.lower().endswith(kind):
            return kind
    raise BadInput(f"table {path.name}", expected="a name that ends in " + ", ".join(KINDS), got=repr(path.suffix),
                   todo="choose one of these formats")


def read_table(path: Path, texts: Iterable[str] = ()) -> tuple[Any, dict[int, list[str]]]:
    """The table, its index the row numbers (1 is the first below the header), and the CSV rows with too many fields.

    `texts` names the columns that are read as text even where they hold numbers only.
    """
    pandas, kind = pandas_or_say(), kind_of(path)
    try:
        if kind == ".parquet":
            table, broken = pandas.read_parquet(path), dict[int, list[str]]()
        else:
            table, broken = _read_csv(pandas, path, list(texts))
    except (OSError, ValueError, ImportError) as error:
        raise BadInput(f"table {path.name}", expected="a readable table", got=f"{type(error).__name__}",
                       todo="check that the file is there, whole, and what its ending says") from error
    rows = [n for n in range(1, len(table) + len(broken) + 1) if n not in broken] if broken else None
    table.index = pandas.RangeIndex(1, len(table) + 1) if rows is None else pandas.Index(rows)
    return table, broken


def _read_csv(pandas: Any, path: Path, texts: list[str]) -> tuple[Any, dict[int, list[str]]]:
    """pandas names the lines it cannot split in a warning, and goes on."""
    with warnings.catch_warnings(record=True) as said:
        warnings.simplefilter("always")
        table = pandas.read_csv(path, dtype=dict.fromkeys(texts, str), on_bad_lines="warn", low_memory=False)
    lines = [int(n) for w in said for n in re.findall(r"Skipping line (\d+)", str(w.message))]
    return table, {line - 1: _fields(path, line) for line in lines}


def _fields(path: Path, line: int) -> list[str]:
    opened = gzip.open if path.name.endswith(".gz") else open
    with opened(path, "rt", encoding="utf-8", errors="replace", newline="") as file:
        for n, text in enumerate(file, start=1):
            if n == line:
                return next(csv.reader([text]), [])
    return []


def write_table(columns: Mapping[str, Any], path: Path) -> None:
    """Write columns as CSV or Parquet beside the target, then put it in its place in one step."""
    kind, table = kind_of(path), pandas_or_say().DataFrame(dict(columns))
    beside = path.with_name(f".{secrets.token_hex(8)}{kind}")
    try:
        if kind == ".parquet":
            table.to_parquet(beside, index=False)
        else:
            table.to_csv(beside, index=False)
        beside.replace(path)
    except ImportError as error:
        raise BadInput(f"table {path.name}", expected="pyarrow for Parquet", got="no such package here",
                       todo='install the extra: pip install "pressinglib[match]", or choose .csv') from error
    finally:
        beside.unlink(missing_ok=True)
