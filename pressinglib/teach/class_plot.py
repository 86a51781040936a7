"""The class as a picture: how many solved each exercise at once, later, or not yet; and what failed most."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING, Any

from pressinglib.show.look import INK, PAPER

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from pressinglib.teach.class_results import ClassResults

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
