"""Sheets of paper: their size, where the next thing goes, type and rules on them, and the finished file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from pressinglib.errors import BadInput, UnknownName
from pressinglib.field.player import as_number
from pressinglib.show.look import INK, MARKING, QUIET
from pressinglib.show.press import FACE, INCH_CM, POINTS_PER_INCH, figure_of, figures_bytes, wrapped, write_whole
from pressinglib.show.tones import in_grey, on_white

if TYPE_CHECKING:
    from matplotlib.figure import Figure

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
