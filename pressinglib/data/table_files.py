"""Files that anybody may have written: tables and JSON, read within limits, written whole or not at all."""

from __future__ import annotations

import csv
import gzip
import json
import re
from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import numpy as np

from pressinglib.data.tracking import Bools, Floats
from pressinglib.errors import BadInput, PressingError
from pressinglib.files import beside
from pressinglib.tables import harmless, needed, pandas_or_say

KINDS = (".parquet", ".csv", ".csv.gz")
LONGEST_LINE = 10_000_000  # bytes; what is longer is no table, and is not read to its end
LARGEST = 4_000_000_000  # bytes of a table or of tracking, unpacked
MOST_ROWS = 50_000_000  # a match of two hours at 25 Hz has 4 million
DOCUMENT_BYTES = 5_000_000
SEPARATORS = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}
DECIMAL_COMMA = re.compile(rb"\d,\d")
MOST_NAMED = 12
LARGEST_NUMBER = 1e9  # no frame, second or metre is more
GUARD = r"^'(?='*[=+\-@\t])"
# What readers raise, as a person would say it; the first name that fits.
WHY = {"EOFError": "one that ends in the middle", "BadGzipFile": "one that is not packed as its name says",
       "Unicode": "signs that are not UTF-8", "EmptyData": "an empty file", "StopIteration": "an empty file",
       "Parser": "rows that are no table", "JSON": "text that is not JSON",
       "Recursion": "braces in braces without end", "": "damaged data"}


@contextmanager
def trouble(what: str, expected: str, todo: str) -> Iterator[None]:
    """Whatever a foreign reader or the disk raises becomes BadInput that says which file, and what to do."""
    try:
        yield
    except PressingError:
        raise
    except Exception as error:
        said = next(words for name, words in WHY.items() if type(error).__name__.startswith(name))
        why = error.strerror if isinstance(error, OSError) and error.strerror else said
        raise BadInput(what, expected=expected, got=why, todo=todo) from error


def kind_of(path: Path) -> str:
    """The ending of a table's name, or BadInput."""
    for kind in KINDS:
        if path.name.lower().endswith(kind):
            return kind
    raise BadInput(f"table {path.name}", expected="a name that ends in " + ", ".join(KINDS), got=repr(path.suffix),
                   todo="choose one of these formats")


def _opened(path: Path) -> Any:
    return gzip.open(path) if path.name.lower().endswith(".gz") else path.open("rb")


def lines_of(path: Path) -> Iterator[bytes]:
    """The lines of a file, unpacked; one without end is refused before it is in memory, and so is what is no text."""
    total = 0
    with _opened(path) as file:
        while line := file.readline(LONGEST_LINE + 1):
            if b"\0" in line:
                raise OSError(0, "null bytes: it is damaged there" if total else
                              "text in UTF-16, or no text: save it as UTF-8")
            total += len(line)
            if len(line) > LONGEST_LINE or total > LARGEST:
                raise OSError(0, f"a line of more than {LONGEST_LINE // 10**6} MB" if len(line) > LONGEST_LINE else
                              f"more than {LARGEST // 10**9} GB")
            yield line


def read_table(path: Path, texts: Collection[str] = ()) -> tuple[Any, dict[int, list[str]]]:
    """The table, its index the row numbers (1 is the first below the header), and the CSV rows that do not fit it.

    `texts` names the columns that are read as text even where they hold numbers only. Columns are numbers or texts.
    """
    what, packed, _ = f"table {path.name}", kind_of(path) == ".parquet", pandas_or_say()
    with trouble(what, "a readable table", "check that it is there, whole, and what its name says"):
        table, broken = (_read_parquet(path), {}) if packed else _read_csv(path, texts)
        need_columns(table, (), what, "check how the columns are called")
        for name in table:
            if packed and not _is_number(table[name]):
                table[name] = table[name].map(str, na_action="ignore")
            elif name in texts and any(str(word).startswith("'") for word in table[name].unique()) and not packed:
                table[name] = table[name].astype(object).str.replace(GUARD, "", regex=True)
        return table, broken


def read_whole(path: Path, columns: Sequence[str], texts: Collection[str] = (), what: str = "") -> Any:
    """A table of which no row may be broken and no column missing."""
    table, broken = read_table(path, texts)
    need_columns(table, columns, what or f"table {path.name}", "add them or rename the ones you have")
    for row, fields in broken.items():
        raise BadInput(f"{what or f'table {path.name}'}, row {row}", expected=f"{len(table.columns)} fields",
                       got=str(len(fields)), todo="mend or leave out that row")
    return table


def _read_parquet(path: Path) -> Any:
    parquet, pandas = needed("pyarrow.parquet", f"table {path.name}"), pandas_or_say()
    with path.open("rb") as file:
        if parquet.read_metadata(file).num_rows > MOST_ROWS:
            raise OSError(0, f"more than {MOST_ROWS} rows")
        table = pandas.read_parquet(file).rename(columns=str)
    table.index = pandas.RangeIndex(1, len(table) + 1)
    return table


def _is_number(column: Any) -> bool:
    return isinstance(column.dtype, np.dtype) and column.dtype.kind in "iufb"


def _read_csv(path: Path, texts: Collection[str]) -> tuple[Any, dict[int, list[str]]]:
    """Lines that have not as many fields as the head are found first, so that every row keeps its number."""
    lines = lines_of(path)
    head = next(lines)
    mark = max(SEPARATORS, key=head.decode("utf-8", "replace").count)
    names = [name.strip() for name in _fields(head, mark)]
    point, blank, broken, n, line, sign = ".", list[int](), dict[int, list[str]](), 0, head, mark.encode()
    for n, line in enumerate(lines, start=1):
        if n == 1 and mark != "," and DECIMAL_COMMA.search(line):
            point = ","
        if line.count(sign) == len(names) - 1 and b'"' not in line:
            continue
        if line.count(b'"') % 2:
            raise OSError(0, f"a quotation mark without the other one in row {n}")
        fields = _fields(line, mark)
        if not fields:
            blank.append(n)
        elif len(fields) != len(names):
            broken[n] = fields
    with _opened(path) as file:
        table = pandas_or_say().read_csv(
            file, sep=mark, decimal=point, header=None, names=range(len(names)), skiprows=[0, *broken], index_col=False,
            dtype={k: str for k, name in enumerate(names) if name in texts}, low_memory=False)
    for k in [k for k, name in enumerate(names) if point == "," and name not in texts and not _is_number(table[k])]:
        table[k] = table[k].str.replace(",", ".")  # one word among numbers makes texts of them all
    table.columns, rows = names, pandas_or_say().RangeIndex(1, n + 1)
    table.index = rows.delete(np.array([*blank, *broken], int) - 1)
    words = "decimal commas" if point == "," else "decimal points"
    found = {f"read with {SEPARATORS[mark]} between the columns and {words}": mark != ",",
             "the last row ends without a line break: it may be cut": not line.endswith(b"\n")}
    table.attrs["notes"] = [note for note, holds in found.items() if holds]
    return table, broken


def _fields(line: bytes, mark: str) -> list[str]:
    return next(csv.reader([line.decode("utf-8-sig", "replace")], delimiter=mark), [])


def need_columns(table: Any, names: Sequence[str], what: str, todo: str) -> None:
    """BadInput that names the columns which are missing, or stand twice."""
    count = Counter(getattr(table, "columns", ()))
    doubled = [name for name, times in count.items() if name and times > 1]
    if doubled:
        raise BadInput(what, expected="a column of its own for each name", got=f"two called {', '.join(doubled)}",
                       todo=todo)
    missing = [name for name in names if name not in count]
    if missing:
        got = f"none called {', '.join(missing)}, but {', '.join(map(str, [*count][:MOST_NAMED]))}"
        raise BadInput(what, expected="columns " + ", ".join(names), got=got, todo=todo)


def numbers(column: Any, whole: bool = False) -> tuple[Floats, Bools]:
    """A column as floats, NaN where blank; and where there stands something that is no number to work with."""
    to_numeric = pandas_or_say().to_numeric
    try:
        found = to_numeric(column, errors="coerce")
    except OverflowError:  # of so many digits that no float can hold them
        found = to_numeric(column.map(lambda one: one if type(one) is not int or abs(one) < LARGEST_NUMBER else None),
                           errors="coerce")
    values = found.to_numpy(float, na_value=np.nan)
    wrong = (np.isnan(values) & column.notna().to_numpy()) | (np.abs(values) >= LARGEST_NUMBER)
    wrong |= np.isfinite(values) & (values != np.round(values)) & whole
    return np.where(wrong, np.nan, values), wrong


def write_table(columns: Mapping[str, Any], path: Path) -> None:
    """Write columns as CSV or Parquet, whole or not at all; the same columns give the same bytes.

    In CSV a text that a spreadsheet would run (it begins with = + - @, and is no number) gets a ' before it, which
    `read_table` takes off again.
    """
    kind, pandas = kind_of(path), pandas_or_say()
    if kind == ".parquet":
        needed("pyarrow", f"table {path.name}")
    with trouble(f"table {path.name}", "a place that can be written to", "choose another"), beside(path) as file:
        if kind == ".parquet":
            pandas.DataFrame(dict(columns)).to_parquet(file, index=False)
        else:
            safe = {name: [harmless(value) if isinstance(value, str) else value for value in values]
                    for name, values in columns.items()}
            data = pandas.DataFrame(safe).to_csv(index=False).encode()
            file.write_bytes(data if kind == ".csv" else gzip.compress(data, mtime=0))


def read_document(path: Path, what: str, expected: str, todo: str) -> dict[str, Any]:
    """A JSON object of at most 5 MB."""
    with trouble(what, expected, todo):
        with path.open("rb") as file:
            data = file.read(DOCUMENT_BYTES + 1)
        document = json.loads(data.decode("utf-8-sig")) if len(data) <= DOCUMENT_BYTES else None
        json.dumps(document, ensure_ascii=False).encode()  # no half of a letter in a text
    if not isinstance(document, dict):
        got = f"more than {DOCUMENT_BYTES} bytes" if len(data) > DOCUMENT_BYTES else f"a {type(document).__name__}"
        raise BadInput(what, expected=f"{expected}, an object {{...}}", got=got, todo=todo)
    return document
