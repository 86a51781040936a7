"""Shares with their intervals as a picture."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING, Any

from pressinglib.data.match_statistics import Share
from pressinglib.field.situation import Situation
from pressinglib.roles.compare import Comparison
from pressinglib.roles.plan import Plan
from pressinglib.show.drawing import draw_compared
from pressinglib.show.export import Picture, picture
from pressinglib.show.style import INK, PAPER
from pressinglib.teach.verdict import table_html

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from pressinglib.teach.class_results import ClassResults



# -- The class as a picture: how many solved each exercise at once, later, or not yet; and what failed most.


# Told apart by hatching as well as by shade.
PARTS: dict[str, dict[str, str]] = {
    "right at once": {"color": "#3b5b6d"}, "right later": {"color": "#9fb4bf", "hatch": "//"},
    "not yet": {"color": "#e0b080", "hatch": ".."}, "not tried": {"color": PAPER}}
MOST_FAILED, WRAP = 6, 34
WIDTH_IN, ROW_IN, ROOM_IN = 8.0, 0.45, 1.2


@dataclass(frozen=True, repr=False)
class ClassPlot:
    """Shows itself as a picture at the end of a notebook cell; the same as words."""

    results: ClassResults

    def counts(self) -> dict[str, list[int]]:
        """For each part the number of learners, exercise by exercise."""
        counted = {part: [0] * len(self.results.exercises) for part in PARTS}
        for learner in self.results.learners:
            for n, mark in enumerate(learner.marks):
                counted[_part(mark.words)][n] += 1
        return counted

    def __repr__(self) -> str:
        counts = self.counts()
        return "\n".join(f"{title} " + ", ".join(f"{part} {counts[part][n]}" for part in PARTS)
                         for n, title in enumerate(self.results.exercises))

    def _repr_png_(self) -> bytes:
        from matplotlib.figure import Figure

        failed = self.results.failed[:MOST_FAILED]
        rows = [max(len(self.results.exercises), 1), *([len(failed)] if failed else [])]
        figure = Figure(figsize=(WIDTH_IN, sum(rows) * ROW_IN + ROOM_IN * len(rows)), layout="constrained",
                        facecolor=PAPER)
        plots = figure.subplots(len(rows), 1, squeeze=False, height_ratios=rows)[:, 0]
        self._solved(plots[0])
        if failed:
            _failed(plots[1], failed)
        parts = plots[0].get_legend_handles_labels()
        figure.legend(*parts, loc="outside lower center", ncols=len(PARTS), frameon=False)
        content = BytesIO()
        figure.savefig(content, format="png", dpi=100)
        return content.getvalue()

    def _solved(self, axes: Axes) -> None:
        titles, left = self.results.exercises, [0] * len(self.results.exercises)
        for part, counts in self.counts().items():
            axes.barh(range(len(titles)), counts, left=left, label=part, edgecolor=INK, linewidth=0.6, **_look(part))
            left = [a + b for a, b in zip(left, counts, strict=True)]
        _tidy(axes, "Who solved what", [*titles])


def _failed(axes: Axes, failed: list[tuple[str, str, int]]) -> None:
    axes.barh(range(len(failed)), [n for *_, n in failed], color="#e0b080", edgecolor=INK, linewidth=0.6)
    _tidy(axes, "Not met by most learners", [f"{title} {criterion}" for title, criterion, _ in failed])


def _look(part: str) -> dict[str, Any]:
    return {"facecolor" if key == "color" else key: value for key, value in PARTS[part].items()}


def _part(words: str) -> str:
    if words == "-":
        return "not tried"
    if words.startswith("not yet"):
        return "not yet"
    return "right at once" if words.endswith("try 1") else "right later"


def _tidy(axes: Axes, title: str, names: list[str]) -> None:
    """Names of bars from top to bottom, whole numbers below; a name is text and no formula."""
    from matplotlib.ticker import MaxNLocator

    axes.set_title(title, loc="left", color=INK, family="DejaVu Serif", parse_math=False)
    axes.set_yticks(range(len(names)), ["\n".join(textwrap.wrap(name, WRAP)) for name in names], parse_math=False)
    axes.invert_yaxis()
    axes.xaxis.set_major_locator(MaxNLocator(integer=True))
    axes.set_facecolor(PAPER)
    axes.set_xlim(0, 1.02 * max(axes.get_xlim()[1], 1))
    axes.spines[["top", "right"]].set_visible(False)
    axes.set_xlabel("learners")


# -- Two rulebooks compared, as a table and as a picture: where they differ, and what each does.


HEAD = ("picture", "goes", "steers", "danger", "open lanes", "open gaps")
FIRST, SECOND = "#3b5b6d", "#c96f2e"
MOST_ROWS = 20  # more pictures than these are drawn as a spread
COMPARED_WIDTH_IN, COMPARED_ROW_IN, COMPARED_ROOM_IN = 8.0, 0.32, 1.3


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
        figure = Figure(figsize=(COMPARED_WIDTH_IN, rows * COMPARED_ROW_IN + COMPARED_ROOM_IN if few else 4.0),
                        layout="constrained",
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
    return picture(draw_compared(situation, plan, other, names))


# -- Shares with their intervals as a picture.


DOT = "#3b5b6d"
SHARES_WIDTH_IN, SHARES_ROW_IN, SHARES_ROOM_IN = 8.0, 0.4, 1.0


@dataclass(frozen=True, repr=False)
class SharePlot:
    """A dot a share, a line for its 95 % interval; the same as words.

    Examples
    --------
    >>> SharePlot({"the nearest": Share(8, 10)})
    Picture: the nearest: 8 of 10: 80 % (49-94)
    """

    shares: Mapping[str, Share]

    def __repr__(self) -> str:
        return "Picture: " + "; ".join(f"{words}: {share}" for words, share in self.shares.items())

    def _repr_png_(self) -> bytes:
        from matplotlib.figure import Figure

        rows = [(words, share) for words, share in self.shares.items() if share.of]
        figure = Figure(figsize=(SHARES_WIDTH_IN, SHARES_ROW_IN * len(rows) + SHARES_ROOM_IN),
                        layout="constrained", facecolor=PAPER)
        axes = figure.subplots()
        for k, (_, share) in enumerate(rows):
            low, high = share.interval
            axes.hlines(k, 100 * low, 100 * high, color=INK, linewidth=1.4)
            axes.scatter([100 * share.hits / share.of], [k], s=46, color=DOT, zorder=3)
            axes.annotate(f"{share.hits} of {share.of}", (100 * high, k), (6, 0), textcoords="offset points",
                          va="center", color=INK)
        axes.set_yticks(range(len(rows)), [words for words, _ in rows], parse_math=False)
        axes.set_ylim(len(rows) - 0.5, -0.5)
        axes.set_xlim(0, 112)
        axes.set_xticks(range(0, 101, 20))
        axes.set_xlabel("%, with 95 % interval")
        axes.set_facecolor(PAPER)
        axes.spines[["top", "right"]].set_visible(False)
        content = BytesIO()
        figure.savefig(content, format="png", dpi=100)
        return content.getvalue()
