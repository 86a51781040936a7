"""A card: what an exercise says to the learner, the same words as text and as HTML."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from html import escape

FRAME = ('<div role="status" style="border:1px solid currentColor;border-left-width:6px;border-radius:3px;'
         'padding:6px 12px;max-width:46em;line-height:1.45"><b>{head}.</b> {words}</div>')
LEFT = 'style="text-align:left;vertical-align:top"'


@dataclass(frozen=True, repr=False)
class Card:
    """Words under a heading; subclasses say which heading.

    Parameters
    ----------
    words : str
        Plain text: whatever a name holds, it reaches HTML escaped.

    Examples
    --------
    >>> Card("9 goes.")
    Note: 9 goes.
    >>> "<b>9" in Card("<b>9</b> goes.")._repr_html_()
    False
    """

    words: str

    @property
    def head(self) -> str:
        """One or two words that come first."""
        return "Note"

    def __repr__(self) -> str:
        return f"{self.head}: {self.words}"

    def _repr_html_(self) -> str:
        return FRAME.format(head=escape(self.head), words=escape(self.words))


def listed(words: Sequence[str], last: str = "and") -> str:
    """Words as a coach would say them.

    Examples
    --------
    >>> listed(["4", "6", "8"]), listed(["4", "6"], "or"), listed(["4"])
    ('4, 6 and 8', '4 or 6', '4')
    """
    *most, end = words
    return f"{', '.join(most)} {last} {end}" if most else end


def table_html(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A table in which every word is escaped; the first cell of a row is its heading.

    Examples
    --------
    >>> "<b>" in table_html(["No."], [["<b>9</b>"]])
    False
    """
    top = "".join(f'<th scope="col" {LEFT}>{escape(word)}</th>' for word in head)
    return f"<table><tr>{top}</tr>{''.join(map(_row, rows))}</table>"


def _row(cells: Sequence[str]) -> str:
    first, *rest = map(escape, cells)
    return f'<tr><th scope="row" {LEFT}>{first}</th>' + "".join(f"<td {LEFT}>{cell}</td>" for cell in rest) + "</tr>"
