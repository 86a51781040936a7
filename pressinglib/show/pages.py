"""Pages to print: words, pictures, rows and lines to write on, one below the other, on A4 or Letter.

What does not fit goes on to the next page.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from pressinglib.doors import door_class
from pressinglib.errors import BadInput, as_known, as_number, as_text, as_whole
from pressinglib.files import write_file
from pressinglib.play import sequence as played
from pressinglib.roles.plan import Plan
from pressinglib.show.drawing import USUAL_LAYERS, Drawing, draw_plan, timed_drawings
from pressinglib.show.export import KEPT_DPI, composed, few_colours
from pressinglib.show.labels import Labels, role_rows
from pressinglib.show.matplotlib_view import CM_PER_POINT, FACE, draw_on, figure_of, figures_bytes, wrapped
from pressinglib.show.primitives import Crop, Primitives, primitives_of, put_legend
from pressinglib.show.style import INK, LABEL_M, MARKING, QUIET, in_grey, on_white
from pressinglib.tables import by_number

PAPERS = {"A4": (21.0, 29.7), "Letter": (21.59, 27.94), "Slide": (33.87, 19.05)}  # cm; ISO 216, ANSI/ASME Y14.1; 16:9
EDGE_CM = 1.6
FOOT_CM = 1.0  # kept free at the foot of a page
LEADING = 1.35
GAP_CM = 0.35
SMALL_PT = 8.0
RULE_CM = 0.85  # between two lines to write on by hand
LEGEND_PT = 7.5
CAPTION_PT = 6.5  # smaller words cannot be read on paper
LARGE_CM = 200.0
LEAST_CM = 6.0  # a lower picture cannot be read
MOST_TITLE = 600  # letters
MOST_SHARE = 0.62  # of the width, for a picture beside words
LEGEND_CM, ONE_PAGE = 3.0, 3  # room for the legend of a strip; so many rows are fitted on one page


@door_class
class Pages:
    """Sheets of paper that fill from the top.

    Parameters
    ----------
    title : str
        Printed at the top of the first page.
    paper : "A4", "Letter" or "Slide"
    foot : str
        A line at the foot of every page: a caution, a source.
    grey : bool
        Black and white, for a copier.

    Raises
    ------
    BadInput
        For another paper, or a title that is too long.

    Examples
    --------
    >>> pages = Pages("Who goes?", paper="Letter", foot="Warm up first.")
    >>> pages.write("Draw an arrow for the player who presses.")
    >>> pages.lines(4)
    >>> len(pages), pages.bytes("pdf")[:5]
    (1, b'%PDF-')
    >>> Pages(paper="A3")
    Traceback (most recent call last):
    pressinglib.errors.UnknownName: paper: expected one of A4, Letter, Slide; got 'A3'. ...
    """

    def __init__(self, title: str = "", paper: str = "A4", *, foot: str = "", grey: bool = False) -> None:
        self.size_cm, self.foot = PAPERS[as_known(paper, PAPERS, "paper")], foot
        self.title = as_text(title, "title", least=0, most=MOST_TITLE, lines=True)
        self.tone = in_grey if grey else on_white
        self._figures: list[Any] = []
        self._words: list[str] = []
        self.new_page()
        if title:
            self.write(title, 15.0, bold=True, serif=True)

    def __len__(self) -> int:
        return len(self._figures)

    def __repr__(self) -> str:
        return f"Page: {self.title}; {' '.join(self._words)}"

    def _repr_png_(self) -> bytes:
        return few_colours(self.bytes("png", 0.9 * KEPT_DPI))

    @property
    def width_cm(self) -> float:
        """Between the edges."""
        return self.size_cm[0] - 2 * EDGE_CM

    @property
    def room_cm(self) -> float:
        """What is left of the page."""
        return self.size_cm[1] - EDGE_CM - FOOT_CM - self._top

    def bytes(self, format: str = "pdf", dpi: float = 200) -> bytes:
        """The content of a file: "pdf", or "png" and "svg" if all is on one page."""
        dpi = as_number(dpi, "dots per inch", low=30, high=600)
        return figures_bytes(self._figures, format, dpi, self.title, " ".join(self._words), self.tone)

    def save(self, path: str | Path, dpi: float = 200) -> Path:
        """Write the file; the name's ending says the format. An old file stays until the new one is complete."""
        return write_file(path, self.bytes(Path(path).suffix[1:].lower(), dpi))

    # -- What can be put on a page.

    def new_page(self) -> None:
        """Go on at the top of a new page."""
        self._figures.append(figure_of(*self.size_cm))
        self._top = EDGE_CM
        place = self.size_cm[1] - EDGE_CM
        for line in wrapped(self.foot, self.width_cm, SMALL_PT * CM_PER_POINT)[:2]:
            self._type(line, EDGE_CM, place, SMALL_PT, color=self.tone(QUIET))
            place += SMALL_PT * CM_PER_POINT * LEADING

    def write(self, words: str, size_pt: float = 10.0, *, bold: bool = False, serif: bool = False) -> None:
        """A paragraph, wrapped at the edge; its type 5-40 points high."""
        size_pt = as_number(size_pt, "size of type in points", low=5, high=40)
        for line in wrapped(words, self.width_cm, size_pt * CM_PER_POINT, bold, serif):
            self._need(size_pt * CM_PER_POINT * LEADING)
            self._put(line, EDGE_CM, size_pt, bold, serif)
        self._words.append(words)
        self._top += GAP_CM / 2

    def picture(self, drawing: Drawing, height_cm: float = LARGE_CM, *, part: Crop = "whole") -> None:
        """A drawing in the middle, as large as the page and this height allow."""
        shapes, most = primitives_of(drawing, part=part), self.size_cm[1] - 2 * EDGE_CM - FOOT_CM
        self._put_row([shapes], min(self.width_cm, min(most, height_cm) * shapes.ratio), 1)
        self._words.append(drawing.words)

    def panel(self, drawing: Drawing, words: Sequence[tuple[str, float, str]], share: float, *, part: Crop = "whole",
              least_cm_per_m: float = 0.0) -> None:
        """A drawing, to its right words: text, size, "bold", "serif" or ""; cut with dots at the end of the page."""
        shapes, room_cm = primitives_of(drawing, part=part), self.size_cm[1] - 2 * EDGE_CM
        least_cm = min(least_cm_per_m * (shapes.frame[1] - shapes.frame[0]), MOST_SHARE * self.width_cm)
        wide = min(max(share * self.width_cm, least_cm), room_cm * shapes.ratio)
        left_cm, point, end_cm = EDGE_CM + wide + 2 * GAP_CM, CM_PER_POINT, EDGE_CM + room_cm
        lines = [(line, size, how == "bold", how == "serif") for text, size, how in words for line in (*wrapped(
            text, self.size_cm[0] - EDGE_CM - left_cm, size * point, how == "bold", how == "serif"), "")][:-1]
        self._need(min(max(wide / shapes.ratio, sum(line[1] for line in lines) * point * LEADING), room_cm))
        draw_on(self._figures[-1], shapes, EDGE_CM, self._top, wide, self.tone)
        foot_cm = self._top + wide / shapes.ratio
        for line, size, *how in lines:
            left_over = (end_cm - self._top) / (size * point * LEADING)
            if left_over >= 1:
                self._put(line if left_over >= 2 else "...", left_cm, size, *how)
        self._top = max(self._top, foot_cm) + GAP_CM
        self._words += [drawing.words, *(text for text, _, _ in words)]

    def legend(self, drawing: Drawing) -> None:
        """The legend of a drawing, as wide as the page: the same size of type whatever the size of the picture."""
        wide_m = self.width_cm / LEGEND_PT / CM_PER_POINT * LABEL_M
        shapes = Primitives((0.0, wide_m, 0.0, 0.0))
        if high_m := put_legend(shapes, drawing.legend()):
            self._put_row([replace(shapes, frame=(0.0, wide_m, -high_m, 0.0))], self.width_cm, 1, gap_cm=0.0)

    def beside(self, drawings: Sequence[Drawing], columns: int = 2, height_cm: float = LARGE_CM, *,
               words: bool = False) -> None:
        """Drawings side by side with their titles, in rows of so many; all rows together at most so high."""
        columns = as_whole(columns, "pictures in a row", 1, 6)
        column_cm = (self.width_cm - (columns - 1) * GAP_CM) / columns
        least = CAPTION_PT * CM_PER_POINT / column_cm
        several = [composed(drawing, legend=False, words=words, least=least) for drawing in drawings]
        rows = [several[first : first + columns] for first in range(0, len(several), columns)]
        lowest = min([shapes.ratio for shapes in several], default=1.0)
        for row in rows:
            self._put_row(row, min(column_cm, (height_cm / len(rows) - GAP_CM) * lowest), columns)
        self._words += [drawing.words for drawing in drawings]

    def _put_row(self, row: Sequence[Primitives], wide: float, columns: int, gap_cm: float = GAP_CM) -> None:
        high = max(wide / shapes.ratio for shapes in row)
        self._need(high)
        left = (self.size_cm[0] - columns * wide - (columns - 1) * GAP_CM) / 2
        for place, shapes in enumerate(row):
            draw_on(self._figures[-1], shapes, left + place * (wide + GAP_CM), self._top, wide, self.tone)
        self._top += high + gap_cm

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
        for _ in range(as_whole(count, "lines to write on", high=200)):
            self._need(RULE_CM)
            self._top += RULE_CM
            self._rule(self._top)
        self._top += GAP_CM

    def number(self) -> None:
        """A number at the foot of every page."""
        for n, figure in enumerate(self._figures, 1):
            self._type(f"{n} / {len(self)}", self.size_cm[0] - EDGE_CM, self.size_cm[1] - EDGE_CM / 2, SMALL_PT,
                       figure, ha="right", color=self.tone(QUIET))

    # -- Where things go.

    def _row(self, cells: Sequence[str], widths: Sequence[float], size_pt: float, bold: bool = False) -> None:
        size = size_pt * CM_PER_POINT
        texts = [wrapped(str(cell), width - GAP_CM, size, bold) for cell, width in zip(cells, widths, strict=True)]
        self._need(high := max([1, *map(len, texts)]) * size * LEADING)
        left, top = EDGE_CM, self._top
        for lines, width in zip(texts, widths, strict=True):
            self._top = top
            for line in lines:
                self._put(line, left, size_pt, bold)
            left += width
        self._top = top + high + 0.1

    def _need(self, height_cm: float) -> None:
        """Go on to the next page if so much does not fit on this one."""
        most = self.size_cm[1] - 2 * EDGE_CM
        if height_cm > most:
            raise BadInput("height on a page", expected=f"at most {most:.1f} cm", got=f"{height_cm:.1f} cm",
                           todo="use fewer words in a row, or more pictures side by side")
        if height_cm > self.room_cm and self._top > EDGE_CM:
            self.new_page()

    def _rule(self, top_cm: float) -> None:
        from matplotlib.lines import Line2D

        across, down = self.size_cm
        x, y = (EDGE_CM / across, 1 - EDGE_CM / across), (1 - top_cm / down,) * 2
        self._figures[-1].add_artist(Line2D(x, y, color=self.tone(MARKING), linewidth=0.6))

    def _put(self, line: str, left_cm: float, size_pt: float, bold: bool = False, serif: bool = False) -> None:
        """A line of type at the top of what is left."""
        step = size_pt * CM_PER_POINT * LEADING
        self._type(line, left_cm, self._top + step / 2, size_pt, weight="bold" if bold else "normal",
                   family=FACE["serif" if serif else "sans"])
        self._top += step

    def _type(self, line: str, left_cm: float, middle_cm: float, size_pt: float, figure: Any = None,
              **how: Any) -> None:
        across, down = self.size_cm
        usual = {"va": "center_baseline", "ha": "left", "color": self.tone(INK), "family": FACE["sans"]}
        (figure or self._figures[-1]).text(left_cm / across, 1 - middle_cm / down, line, fontsize=size_pt,
                                           parse_math=False, **{**usual, **how})


# -- A plan on one sheet, and a run or a press in a strip of pictures.

def sheet(plan: Plan, layers: Iterable[str] = USUAL_LAYERS, *, labels: Labels | None = None, lines: int = 0,
          **paper: Any) -> Pages:
    """A plan to print: who does what and why, the picture in the room that the words leave; lines to write on.

    Parameters
    ----------
    layers, labels
        As in `draw_plan`.
    lines : int
        Empty lines at the end.
    paper
        paper, foot, grey: as in `Pages`; `.save("sheet.pdf")` writes it, .png and .svg do as well.

    Examples
    --------
    >>> from pressinglib.field.scene_file import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> len(sheet(plan_press(scene("worked scene")), lines=2))
    1
    """
    drawing = draw_plan(plan.situation, plan, layers, labels=labels)
    groups: dict[tuple[str, ...], list[str]] = {}
    for number, *job in role_rows(drawing.labels.worded(plan)):
        groups.setdefault(tuple(job), []).append(number)  # whoever does the same for the same reason shares a row
    rows = [(", ".join(sorted(numbers, key=by_number)), *job) for job, numbers in groups.items()]

    def filled(picture_cm: float) -> Pages:
        pages = Pages(drawing.title, **paper)
        pages.write(drawing.words, 11.0)
        if picture_cm:
            pages.picture(drawing, picture_cm)
        pages.legend(drawing)
        pages.rows(("No.", "Role", "Duty", "Why"), rows, (1.5, 2.1, 3.3, 8.6))
        pages.lines(lines)
        return pages

    return filled(max(filled(0.0).room_cm - 2 * GAP_CM, LEAST_CM))


def strip(what: Plan | played.Sequence, pictures: int = 6, columns: int = 2, *, title: str = "",
          layers: Iterable[str] = USUAL_LAYERS, labels: Labels | None = None, **paper: Any) -> Pages:
    """Pictures of one moment after the other, evenly apart, each with its time; its words where they are new.

    Parameters
    ----------
    what : Plan or Sequence
        A plan is shown as the run to its spots.
    pictures : int
        At most so many, 2-60.
    columns : int
        Pictures in a row, 1-6.
    layers, labels
        As in `draw_plan`.
    title, paper
        As in `Pages`: its title, paper, foot, grey.

    Raises
    ------
    BadInput

    Examples
    --------
    >>> from pressinglib.field.scene_file import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> len(strip(plan_press(scene("worked scene")), 4, title="To the spots"))
    1
    """
    most = as_whole(pictures, "pictures of a strip", 2, 60)
    shown = [drawing for _, drawing in timed_drawings(what, layers=layers, labels=labels)]
    if len(shown) > most:
        shown = [shown[round(place * (len(shown) - 1) / (most - 1))] for place in range(most)]
    new = [replace(shown[k], words="") if k and shown[k].words == shown[k - 1].words else shown[k]
           for k in range(len(shown))]
    pages = Pages(title, **paper)
    room_cm = pages.room_cm - LEGEND_CM if len(new) <= ONE_PAGE * columns else LARGE_CM
    pages.beside(new, columns, room_cm, words=True)
    pages.legend(replace(shown[0], marks=tuple(mark for drawing in shown for mark in drawing.marks)))
    return pages
