"""Shares with their intervals as a picture."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from io import BytesIO

from pressinglib.data.shares import Share
from pressinglib.show.look import INK, PAPER

DOT = "#3b5b6d"
WIDTH_IN, ROW_IN, ROOM_IN = 8.0, 0.4, 1.0


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
        figure = Figure(figsize=(WIDTH_IN, ROW_IN * len(rows) + ROOM_IN), layout="constrained", facecolor=PAPER)
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
