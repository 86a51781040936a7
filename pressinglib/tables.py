"""Tables and lists to be read: one form for text, for notebooks and for data frames."""

import csv
import os
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from html import escape
from importlib import import_module
from io import StringIO
from numbers import Integral, Real
from pathlib import Path
from typing import Any

from pressinglib.errors import BadInput
from pressinglib.files import write_file

NUMBER, FORMULA = re.compile(r"[-+]?(\d+\.?\d*|\.\d+)([eE][-+]?\d+)?"), re.compile(r"'*[=+\-@\t]")
LEFT = 'style="text-align:left;vertical-align:top"'


@dataclass(frozen=True, repr=False)
class Table:
    """Rows under a head: aligned text when printed, a table in a notebook, a data frame on request.

    Parameters
    ----------
    head : sequence of str
        Names of the columns.
    rows : iterable of sequences
        One value a column, else BadInput: text, a number, None, or texts. The first cell is the row's heading.
    formats : mapping, optional
        How the numbers of a column are written: ``{"danger": ".3f"}``; ``".4g"`` if left out.
    title, notes, empty : str, sequence of str, str
        A line above, lines below, and what is said where there is no row.
    colours : mapping, optional
        From the words of a cell to a CSS colour, in which a notebook shows them, bold.

    Every word reaches HTML escaped, whatever a name holds. Iterated over, it gives a dict a row.

    >>> table = Table(("who", "role", "s"), [("9", "pressure", 2.34), ("10", "cover", None)], {"s": ".1f"})
    >>> table
    who  role        s
    9    pressure  2.3
    10   cover       -
    >>> [row["role"] for row in table], "<b>" in Table(["who"], [["<b>9</b>"]])._repr_html_()
    (['pressure', 'cover'], False)
    """

    head: Sequence[str]
    rows: Iterable[Sequence[Any]]
    formats: Mapping[str, str] = field(default_factory=dict)
    title: str = ""
    notes: Sequence[str] = ()
    empty: str = "Nothing to show."
    colours: Mapping[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        head, rows = tuple(self.head), tuple(map(tuple, self.rows))
        object.__setattr__(self, "head", head)
        object.__setattr__(self, "rows", rows)
        wrong = next((row for row in rows if len(row) != len(head)), None)
        if wrong is not None:
            raise BadInput("row of a table", expected=f"{len(head)} cells", got=str(len(wrong)),
                           todo="give one cell a column")

    def __len__(self) -> int:
        return len(tuple(self.rows))

    def __iter__(self) -> Iterator[dict[str, Any]]:
        return (dict(zip(self.head, row, strict=True)) for row in self.rows)

    def __repr__(self) -> str:
        lines = _aligned([self.head, *self.words()], self._numeric()) if len(self) else [self.empty]
        return "\n".join([*filter(None, [self.title]), *lines, *self.notes])

    def _repr_html_(self) -> str:
        caption = f"<caption {LEFT}>{escape(self.title)}</caption>" if self.title else ""
        top = "".join(f'<th scope="col" {LEFT}>{escape(word)}</th>' for word in self.head)
        rows = "".join(f"<tr>{''.join(self._cells_html(cells))}</tr>" for cells in self.words())
        table = f"<table>{caption}<tr>{top}</tr>{rows}</table>" if len(self) else _line_html(self.empty)
        return table + "".join(map(_line_html, self.notes))

    def _cells_html(self, cells: Sequence[str]) -> Iterator[str]:
        for k, words in enumerate(cells):
            plain, colour = escape(words).replace("\n", "<br>"), escape(self.colours.get(words, ""))
            plain = f'<span style="color:{colour};font-weight:bold">{plain}</span>' if colour else plain
            yield f"<td {LEFT}>{plain}</td>" if k else f'<th scope="row" {LEFT}>{plain}</th>'

    def words(self) -> list[list[str]]:
        """The cells as they are read."""
        return [[_words(cell, self.formats.get(name, ".4g")) for name, cell in zip(self.head, row, strict=True)]
                for row in self.rows]

    def to_frame(self) -> Any:
        """The values as a pandas DataFrame; BadInput if pandas is not installed."""
        return pandas_or_say("data frames").DataFrame(list(self.rows), columns=list(self.head))

    def to_csv(self, path: str | os.PathLike[str]) -> Path:
        """Write the cells as they are read, for a spreadsheet; `harmless`, replaced as a whole."""
        return write_file(path, self.csv())

    def csv(self) -> bytes:
        """The same as the content of a file."""
        text = StringIO(newline="")
        csv.writer(text).writerows([harmless(cell) for cell in row] for row in (self.head, *self.words()))
        return text.getvalue().encode("utf-8-sig", "replace")

    def _numeric(self) -> list[bool]:
        columns = zip(*self.rows, strict=True)
        return [all(cell is None or _is_number(cell) for cell in column) for column in columns]


def harmless(text: str) -> str:
    """A text that no spreadsheet runs: what begins with = + - @ and is no number gets a ' before it.

    >>> harmless("=1+1"), harmless("-5.2"), harmless("-"), harmless("'@x")
    ("'=1+1", '-5.2', '-', "''@x")
    """
    text = text.replace("\r", " ")  # it would end a row
    return f"'{text}" if FORMULA.match(text) and text != "-" and not NUMBER.fullmatch(text) else text


def _line_html(words: str) -> str:
    return f"<p>{escape(words)}</p>"


def _words(cell: Any, spec: str) -> str:
    if cell is None or cell != cell:
        return "-"
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, (tuple, list)):
        return listed(map(str, cell), nobody="-")
    return format(cell, spec) if isinstance(cell, Real) and not isinstance(cell, Integral) else str(cell)


def _is_number(cell: Any) -> bool:
    return isinstance(cell, Real) and not isinstance(cell, bool)


def _aligned(rows: Sequence[Sequence[str]], numeric: Sequence[bool]) -> list[str]:
    """Lines whose columns begin, or if they are numbers end, below each other."""
    plain = [[" ".join(cell.split()) for cell in row] for row in rows]
    widths = [max(map(len, column)) for column in zip(*plain, strict=True)]
    columns = list(zip(widths, numeric, strict=True))
    return ["  ".join(cell.rjust(width) if right else cell.ljust(width)
                      for cell, (width, right) in zip(row, columns, strict=True)).rstrip() for row in plain]


def table_of(rows: Iterable[dict[str, Any]]) -> Table:
    """Plain dicts with the same keys, under a head."""
    rows = list(rows)
    return Table(tuple(rows[0]) if rows else (), [tuple(row.values()) for row in rows])


def needed(package: str, what: str, extra: str = "match") -> Any:
    """A package of an extra, or BadInput that says how to get it."""
    try:
        return import_module(package)
    except ImportError as error:
        raise BadInput(what, expected=package, got="no such package here",
                       todo=f'install the extra: pip install "pressinglib[{extra}]"') from error


def pandas_or_say(what: str = "match data") -> Any:
    """pandas, or BadInput."""
    return needed("pandas", what)


def listed(words: Iterable[str], last: str = "and", nobody: str = "nobody") -> str:
    """Words as a coach would say them, in the order given.

    >>> listed(["4", "6", "8"]), listed(["4", "6"], "or"), listed(["4"]), listed([])
    ('4, 6 and 8', '4 or 6', '4', 'nobody')
    """
    *most, end = [*words] or [nobody]
    return f"{', '.join(most)} {last} {end}" if most else end


def by_number(number: str) -> tuple[int, str]:
    """Sorts shirt numbers as people do: 4, 9, 10."""
    return len(number), number
