"""Two rulebooks compared, as a table and as a picture: where they differ, and what each does."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING, Any

from pressinglib.field.situation import Situation
from pressinglib.roles.compare import Comparison
from pressinglib.roles.plan import Plan
from pressinglib.show.compare import draw_compared
from pressinglib.show.look import INK, PAPER
from pressinglib.teach.card import table_html
from pressinglib.teach.drawn import DPI, WIDTH_CM

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from pressinglib.show.print_view import Picture

HEAD = ("picture", "goes", "steers", "danger", "open lanes", "open gaps")
FIRST, SECOND = "#3b5b6d", "#c96f2e"
MOST_ROWS = 20  # more pictures than these are drawn as a spread
WIDTH_IN, ROW_IN, ROOM_IN = 8.0, 0.32, 1.3


@dataclass(frozen=True, repr=False)
class ComparedTable:
    """The pictures in which two rulebooks differ, one a row; the same as text and as HTML.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.roles.compare import compare_rulebooks
    >>> from pressinglib.roles.rulebook import Rulebook
    >>> scenes = {"worked scene": scene("worked scene")}
    >>> ComparedTable(compare_rulebooks(Rulebook(), Rulebook().with_settings(steering="inside"), scenes))
    worked scene: goes 9 / 9, steers left / right, danger 0.217 / 0.2..., open lanes 1 / ..., open gaps 0 / ...
    """

    comparison: Comparison
    most: int = MOST_ROWS

    def rows(self) -> list[tuple[str, ...]]:
        """Picture, and both answers with a stroke between them."""
        return [(str(row["picture"]), *_cells(row)) for row in self.comparison.differing[: self.most]]

    def __repr__(self) -> str:
        lines = (", ".join(f"{head} {cell}" for head, cell in zip(HEAD[1:], cells, strict=True))
                 for _, *cells in self.rows())
        rows = [f"{name}: {line}" for (name, *_), line in zip(self.rows(), lines, strict=True)]
        return "\n".join(rows) or "They differ in no picture."

    def _repr_html_(self) -> str:
        return table_html(HEAD, self.rows())


def _cells(row: dict[str, Any]) -> Iterator[str]:
    yield f"{row['presser1'] or 'nobody'} / {row['presser2'] or 'nobody'}"
    yield f"{row['steer1']} / {row['steer2']}"
    yield f"{row['danger1']:.3f} / {row['danger2']:.3f}"
    yield f"{row['open_lanes1']} / {row['open_lanes2']}"
    yield f"{row['open_gaps1']} / {row['open_gaps2']}"


@dataclass(frozen=True, repr=False)
class ComparedPlot:
    """Danger by both rulebooks, picture by picture, or their difference over many; shows itself in a notebook."""

    comparison: Comparison

    def __repr__(self) -> str:
        return f"Picture: {self.comparison!r}"

    def _repr_png_(self) -> bytes:
        from matplotlib.figure import Figure

        rows = len(self.comparison.rows)
        few = rows <= MOST_ROWS
        figure = Figure(figsize=(WIDTH_IN, rows * ROW_IN + ROOM_IN if few else 4.0), layout="constrained",
                        facecolor=PAPER)
        axes = figure.subplots()
        (_pairs if few else _spread)(axes, self.comparison)
        axes.set_facecolor(PAPER)
        axes.spines[["top", "right"]].set_visible(False)
        content = BytesIO()
        figure.savefig(content, format="png", dpi=100)
        return content.getvalue()


def _pairs(axes: Axes, comparison: Comparison) -> None:
    """A row a picture, the largest difference on top; the forms differ as well as the colours."""
    rows = sorted(comparison.rows, key=lambda row: row["danger2"] - row["danger1"])
    first, second = ([row[f"danger{k}"] for row in rows] for k in (1, 2))
    places = range(len(rows))
    axes.hlines(places, first, second, color=INK, linewidth=0.8, zorder=1)
    ring: Any = {"s": 60, "facecolor": PAPER, "edgecolor": FIRST, "linewidth": 1.6, "zorder": 2}
    axes.scatter(first, places, label=comparison.names[0], **ring)
    axes.scatter(second, places, s=34, marker="D", color=SECOND, label=comparison.names[1], zorder=3)
    axes.set_yticks(places, [_named(row) for row in rows], parse_math=False)
    axes.invert_yaxis()
    axes.set_xlabel("danger after the runs (less is better; the method's own measure)")
    axes.figure.legend(loc="outside lower center", ncols=2, frameon=False)


def _named(row: dict[str, Any]) -> str:
    same = row["presser1"] == row["presser2"]
    who = "" if same else f" ({row['presser1'] or 'nobody'} / {row['presser2'] or 'nobody'})"
    return f"{row['picture']}{who}"


def _spread(axes: Axes, comparison: Comparison) -> None:
    """How many pictures, by the difference of danger; those without any are only counted."""
    from matplotlib.ticker import MaxNLocator

    off = [row["danger2"] - row["danger1"] for row in comparison.rows]
    moved = [value for value in off if abs(value) > 1e-6]
    axes.hist(moved or [0.0], bins=31, color=SECOND, edgecolor=INK, linewidth=0.6)
    axes.axvline(0.0, color=INK, linewidth=1.0)
    first, second = comparison.names
    axes.set_xlabel(f"danger by {second} minus danger by {first}; left of the line {second} is lower", parse_math=False)
    axes.set_ylabel("moments")
    axes.yaxis.set_major_locator(MaxNLocator(integer=True))
    axes.set_title(f"{len(off) - len(moved)} of {len(off)} moments: the same danger", loc="left", color=INK,
                   family="DejaVu Serif")


def drawn_together(situation: Situation, plan: Plan, other: Plan, names: tuple[str, str]) -> Picture:
    """Two plans of one picture in one drawing: the first in full, dashed where the second sends somebody elsewhere.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> from pressinglib.roles.rulebook import Rulebook
    >>> s = scene("worked scene")
    >>> inside = plan_press(s, Rulebook().with_settings(steering="inside"))
    >>> "Inside: " in repr(drawn_together(s, plan_press(s), inside, ("stock", "inside")))
    True
    """
    from pressinglib.show.print_view import Picture

    return Picture(draw_compared(situation, plan, other, names), WIDTH_CM, DPI)
