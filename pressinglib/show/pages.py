"""Pages to print: words, pictures, rows and lines to write on, one below the other, on A4 or Letter.

Handouts, practices and sheets of exercises are written with it; what does not fit goes on to the next page.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from pressinglib.field.player import as_number
from pressinglib.show.drawing import Drawing
from pressinglib.show.ink import Ink, ink_of
from pressinglib.show.key import key_lines, key_size, put_key
from pressinglib.show.look import INK, LABEL_M
from pressinglib.show.paper import CM_PER_POINT, EDGE_CM, FOOT_CM, GAP_CM, LEADING, Paper
from pressinglib.show.part import Part
from pressinglib.show.press import print_ink, wrapped
from pressinglib.show.print_view import CAPTION_M, composed

if TYPE_CHECKING:
    pass

RULE_CM = 0.85  # between two lines to write on by hand
KEY_PT = 7.5
CAPTION_PT = 6.5  # smaller words cannot be read on paper
LARGE_CM = 200.0


class Pages(Paper):
    """Sheets of paper that fill from the top.

    Parameters
    ----------
    title : str
        Printed at the top of the first page.
    paper : "A4" or "Letter"
    landscape : bool
        The paper lies across.
    foot : str
        A line at the foot of every page: a caution, a source.
    grey : bool
        Black and white, for a copier.

    Raises
    ------
    UnknownName
        For another paper.

    Examples
    --------
    >>> pages = Pages("Who goes?", paper="Letter", foot="Warm up first.")
    >>> pages.write("Draw an arrow for the player who presses.")
    >>> pages.lines(4)
    >>> len(pages), pages.bytes("pdf")[:5]
    (1, b'%PDF-')
    >>> Pages(paper="A3")
    Traceback (most recent call last):
    pressinglib.errors.UnknownName: paper: expected one of A4, Letter; got 'A3'. ...
    """

    def __init__(self, title: str = "", paper: str = "A4", *, landscape: bool = False, foot: str = "",
                 grey: bool = False) -> None:
        super().__init__(paper, landscape=landscape, foot=foot, grey=grey)
        self.title = title
        if title:
            self.write(title, 15.0, bold=True, serif=True)

    # -- what can be put on a page -------------------------------------------------------------------------------

    def write(self, words: str, size_pt: float = 10.0, *, bold: bool = False, serif: bool = False,
              colour: str = INK) -> None:
        """A paragraph, wrapped at the edge.

        Parameters
        ----------
        words : str
        size_pt : float
            5-40 typographic points.
        bold, serif : bool
        colour : str
            Such as "#1f262b".
        """
        size_pt = as_number(size_pt, "size of type in points", low=5, high=40)
        step = size_pt * CM_PER_POINT * LEADING
        for line in wrapped(words, self.width_cm, size_pt * CM_PER_POINT, bold, serif):
            self._need(step)
            self._type(line, EDGE_CM, self._top + step / 2, size_pt, bold=bold, serif=serif, colour=colour)
            self._top += step
        self._said.append(words)
        self._top += GAP_CM / 2

    def picture(self, drawing: Drawing, width_cm: float = LARGE_CM, height_cm: float = LARGE_CM, *,
                portrait: bool = False, part: Part = "whole", title: bool = False, key: bool = True, words: bool = True
                ) -> None:
        """A drawing in the middle, as large as the page and these two allow."""
        ink = composed(drawing, portrait, part, title=title, key=key, words=words)
        most = self.size_cm[1] - 2 * EDGE_CM - FOOT_CM
        wide = min(width_cm, self.width_cm, min(most, height_cm) * _ratio(ink))
        self._need(wide / _ratio(ink))
        self._top += print_ink(self._figures[-1], ink, (self.size_cm[0] - wide) / 2, self._top, wide, self.tone)
        self._top += GAP_CM
        self._said.append(drawing.words)

    def key(self, drawing: Drawing, *, portrait: bool = False) -> None:
        """The key of a drawing, as wide as the page: the same size of type whatever the size of the picture."""
        wide_m = self.width_cm / KEY_PT / CM_PER_POINT * LABEL_M
        ink = Ink((0.0, wide_m, 0.0, 0.0))
        high_m = put_key(ink, key_lines(drawing), portrait)
        if high_m:
            high_cm = high_m / wide_m * self.width_cm
            self._need(high_cm)
            print_ink(self._figures[-1], replace(ink, frame=(0.0, wide_m, -high_m, 0.0)), EDGE_CM, self._top,
                      self.width_cm, self.tone)
            self._top += high_cm

    def beside(self, drawings: Sequence[Drawing], columns: int = 2, height_cm: float = LARGE_CM, *,
               portrait: bool = False, part: Part = "whole", title: bool = True, key: bool = False, words: bool = False
               ) -> None:
        """Drawings side by side, in rows of so many; all rows together at most so high."""
        columns = int(as_number(columns, "pictures in a row", low=1, high=6))
        column_cm = (self.width_cm - (columns - 1) * GAP_CM) / columns
        inks = [composed(drawing, portrait, part, title=title, key=key, words=words,
                         larger=_larger(drawing, portrait, part, column_cm)) for drawing in drawings]
        rows = [inks[first : first + columns] for first in range(0, len(inks), columns)]
        lowest, each_cm = min([_ratio(ink) for ink in inks], default=1.0), height_cm / max(1, len(rows)) - GAP_CM
        wide = min(column_cm, each_cm * lowest)
        for row in rows:
            self._put_row(row, wide, columns)
        self._said += [drawing.words for drawing in drawings]

    def _put_row(self, row: Sequence[Ink], wide: float, columns: int) -> None:
        high = max(wide / _ratio(ink) for ink in row)
        self._need(high)
        left = (self.size_cm[0] - columns * wide - (columns - 1) * GAP_CM) / 2
        for place, ink in enumerate(row):
            print_ink(self._figures[-1], ink, left + place * (wide + GAP_CM), self._top, wide, self.tone)
        self._top += high + GAP_CM

    def rows(self, head: Sequence[str], rows: Iterable[Sequence[str]], shares: Sequence[float], size_pt: float = 8.5
             ) -> None:
        """A table: its head, its rows, and the share of the width that each column takes."""
        widths = [share / sum(shares) * self.width_cm for share in shares]
        self._row(head, widths, size_pt, bold=True)
        self._rule(self._top)
        for row in rows:
            self._row(row, widths, size_pt)
        self._top += GAP_CM

    def lines(self, count: int) -> None:
        """Empty lines to write on by hand."""
        for _ in range(int(as_number(count, "lines to write on", low=0, high=200))):
            self._need(RULE_CM)
            self._top += RULE_CM
            self._rule(self._top)
        self._top += GAP_CM

    # -- where things go -----------------------------------------------------------------------------------------

    def _row(self, cells: Sequence[str], widths: Sequence[float], size_pt: float, bold: bool = False) -> None:
        size, step = size_pt * CM_PER_POINT, size_pt * CM_PER_POINT * LEADING
        texts = [wrapped(str(cell), width - GAP_CM, size, bold) for cell, width in zip(cells, widths, strict=True)]
        high = max([1, *map(len, texts)]) * step
        self._need(high)
        left = EDGE_CM
        for lines, width in zip(texts, widths, strict=True):
            for place, line in enumerate(lines):
                self._type(line, left, self._top + (place + 0.5) * step, size_pt, bold=bold)
            left += width
        self._top += high + 0.1

def _larger(drawing: Drawing, portrait: bool, part: Part, width_cm: float) -> float:
    """How much larger than usual the words of a picture so wide must be for the eye."""
    left, right = ink_of(drawing, portrait, part).frame[:2]
    points = CAPTION_M * key_size((left, right, 0.0, 0.0)) * width_cm / (right - left) / CM_PER_POINT
    return max(1.0, CAPTION_PT / points)


def _ratio(ink: Ink) -> float:
    left, right, low, high = ink.frame
    return (right - left) / (high - low)
