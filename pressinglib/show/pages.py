"""Pages to print: words, pictures, rows and lines to write on, one below the other, on A4 or Letter.

Handouts, practices and sheets of exercises are written with it; what does not fit goes on to the next page.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pressinglib.errors import BadInput, UnknownName
from pressinglib.field.player import as_number
from pressinglib.show.drawing import Drawing
from pressinglib.show.export import CAPTION_M, composed
from pressinglib.show.legend import legend_lines, put_legend, type_scale
from pressinglib.show.matplotlib_view import (
    FACE,
    INCH_CM,
    POINTS_PER_INCH,
    figure_of,
    figures_bytes,
    print_primitives,
    wrapped,
    write_whole,
)
from pressinglib.show.primitives import Crop, Primitives, primitives_of
from pressinglib.show.style import INK, LABEL_M, MARKING, QUIET, in_grey, on_white

if TYPE_CHECKING:
    from matplotlib.figure import Figure



# -- Sheets of paper: their size, where the next thing goes, type and rules on them, and the finished file.


PAPERS = {"A4": (21.0, 29.7), "Letter": (21.59, 27.94)}  # cm; ISO 216, ANSI/ASME Y14.1
EDGE_CM = 1.6
FOOT_CM = 1.0  # kept free at the foot of a page
CM_PER_POINT = INCH_CM / POINTS_PER_INCH
LEADING = 1.35
GAP_CM = 0.35
SMALL_PT = 8.0


class Paper:
    """Sheets of one size, each with the same line at its foot; parameters as in `Pages`.

    Examples
    --------
    >>> sheets = Paper("A4", landscape=True)
    >>> sheets.size_cm, len(sheets)
    ((29.7, 21.0), 1)
    >>> Paper("A3")
    Traceback (most recent call last):
    pressinglib.errors.UnknownName: paper: expected one of A4, Letter; got 'A3'. ...
    """

    def __init__(self, paper: str = "A4", *, landscape: bool = False, foot: str = "", grey: bool = False) -> None:
        if paper not in PAPERS:
            raise UnknownName("paper", paper, tuple(PAPERS))
        short, long = PAPERS[paper]
        self.size_cm = (long, short) if landscape else (short, long)
        self.title, self.foot, self.tone = "", foot, in_grey if grey else on_white
        self._figures: list[Figure] = []
        self._said: list[str] = []
        self.new_page()

    def __len__(self) -> int:
        return len(self._figures)

    @property
    def width_cm(self) -> float:
        """Between the edges."""
        return self.size_cm[0] - 2 * EDGE_CM

    @property
    def room_cm(self) -> float:
        """What is left of the page."""
        return self.size_cm[1] - EDGE_CM - FOOT_CM - self._top

    def new_page(self) -> None:
        """Go on at the top of a new page."""
        self._figures.append(figure_of(*self.size_cm))
        self._top = EDGE_CM
        place = self.size_cm[1] - EDGE_CM
        for line in wrapped(self.foot, self.width_cm, SMALL_PT * CM_PER_POINT)[:2]:
            self._type(line, EDGE_CM, place, SMALL_PT, colour=QUIET)
            place += SMALL_PT * CM_PER_POINT * LEADING

    def bytes(self, format: str = "pdf", dpi: float = 200) -> bytes:
        """The content of a file: "pdf", or "png" and "svg" if all is on one page."""
        dpi = as_number(dpi, "dots per inch", low=30, high=600)
        return figures_bytes(self._figures, format, dpi, self.title, " ".join(self._said), self.tone)

    def save(self, path: str | Path, dpi: float = 200) -> Path:
        """Write the file; the name's ending says the format. An old file stays until the new one is complete."""
        path = Path(path)
        write_whole(path, self.bytes(path.suffix[1:].lower(), dpi))
        return path

    def _need(self, height_cm: float) -> None:
        """Go on to the next page if so much does not fit on this one."""
        if height_cm > self.size_cm[1] - 2 * EDGE_CM:
            raise BadInput("height on a page", expected=f"at most {self.size_cm[1] - 2 * EDGE_CM:.1f} cm",
                           got=f"{height_cm:.1f} cm", todo="use fewer words in a row, or more pictures side by side")
        if height_cm > self.room_cm and self._top > EDGE_CM:
            self.new_page()

    def _rule(self, top_cm: float) -> None:
        from matplotlib.lines import Line2D

        across, down = self.size_cm
        x, y = (EDGE_CM / across, 1 - EDGE_CM / across), (1 - top_cm / down,) * 2
        self._figures[-1].add_artist(Line2D(x, y, color=self.tone(MARKING), linewidth=0.6))

    def _type(self, line: str, left_cm: float, middle_cm: float, size_pt: float, *, bold: bool = False,
              serif: bool = False, colour: str = INK) -> None:
        across, down = self.size_cm
        how: dict[str, Any] = {"va": "center_baseline", "ha": "left", "parse_math": False}
        self._figures[-1].text(left_cm / across, 1 - middle_cm / down, line, fontsize=size_pt,
                               color=self.tone(colour), weight="bold" if bold else "normal",
                               family=FACE["serif" if serif else "sans"], **how)


# -- Pages to print: words, pictures, rows and lines to write on, one below the other, on A4 or Letter.
# Handouts, practices and sheets of exercises are written with it; what does not fit goes on to the next page.


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
                portrait: bool = False, part: Crop = "whole", title: bool = False, key: bool = True, words: bool = True
                ) -> None:
        """A drawing in the middle, as large as the page and these two allow."""
        shapes = composed(drawing, portrait, part, title=title, key=key, words=words)
        most = self.size_cm[1] - 2 * EDGE_CM - FOOT_CM
        wide = min(width_cm, self.width_cm, min(most, height_cm) * _ratio(shapes))
        self._need(wide / _ratio(shapes))
        left_cm = (self.size_cm[0] - wide) / 2
        self._top += print_primitives(self._figures[-1], shapes, left_cm, self._top, wide, self.tone)
        self._top += GAP_CM
        self._said.append(drawing.words)

    def key(self, drawing: Drawing, *, portrait: bool = False) -> None:
        """The key of a drawing, as wide as the page: the same size of type whatever the size of the picture."""
        wide_m = self.width_cm / KEY_PT / CM_PER_POINT * LABEL_M
        shapes = Primitives((0.0, wide_m, 0.0, 0.0))
        high_m = put_legend(shapes, legend_lines(drawing), portrait)
        if high_m:
            high_cm = high_m / wide_m * self.width_cm
            self._need(high_cm)
            print_primitives(self._figures[-1], replace(shapes, frame=(0.0, wide_m, -high_m, 0.0)), EDGE_CM, self._top,
                      self.width_cm, self.tone)
            self._top += high_cm

    def beside(self, drawings: Sequence[Drawing], columns: int = 2, height_cm: float = LARGE_CM, *,
               portrait: bool = False, part: Crop = "whole", title: bool = True, key: bool = False, words: bool = False
               ) -> None:
        """Drawings side by side, in rows of so many; all rows together at most so high."""
        columns = int(as_number(columns, "pictures in a row", low=1, high=6))
        column_cm = (self.width_cm - (columns - 1) * GAP_CM) / columns
        composed_ones = [composed(drawing, portrait, part, title=title, key=key, words=words,
                         larger=_larger(drawing, portrait, part, column_cm)) for drawing in drawings]
        rows = [composed_ones[first : first + columns] for first in range(0, len(composed_ones), columns)]
        lowest = min([_ratio(shapes) for shapes in composed_ones], default=1.0)
        each_cm = height_cm / max(1, len(rows)) - GAP_CM
        wide = min(column_cm, each_cm * lowest)
        for row in rows:
            self._put_row(row, wide, columns)
        self._said += [drawing.words for drawing in drawings]

    def _put_row(self, row: Sequence[Primitives], wide: float, columns: int) -> None:
        high = max(wide / _ratio(shapes) for shapes in row)
        self._need(high)
        left = (self.size_cm[0] - columns * wide - (columns - 1) * GAP_CM) / 2
        for place, shapes in enumerate(row):
            print_primitives(self._figures[-1], shapes, left + place * (wide + GAP_CM), self._top, wide, self.tone)
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

def _larger(drawing: Drawing, portrait: bool, part: Crop, width_cm: float) -> float:
    """How much larger than usual the words of a picture so wide must be for the eye."""
    left, right = primitives_of(drawing, portrait, part).frame[:2]
    points = CAPTION_M * type_scale((left, right, 0.0, 0.0)) * width_cm / (right - left) / CM_PER_POINT
    return max(1.0, CAPTION_PT / points)


def _ratio(shapes: Primitives) -> float:
    left, right, low, high = shapes.frame
    return (right - left) / (high - low)
