"""To read beside a picture: tables of plans; numbers as pictures, each with its words: a class, rulebooks, shares."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from html import escape
from io import BytesIO
from textwrap import wrap
from typing import TYPE_CHECKING, Any

import numpy as np

from pressinglib.data.match_statistics import Share
from pressinglib.roles.compare import Comparison
from pressinglib.roles.plan import Plan
from pressinglib.roles.settings import ROLES
from pressinglib.show.style import INK, PAPER
from pressinglib.tables import Table, listed

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

WIDTH_IN, DPI = 8.0, 100
FIRST, SECOND, OPEN = "#3b5b6d", "#c96f2e", "#e0b080"
PARTS = (f"background:{FIRST};color:{PAPER}", f"background:#c9d5db;color:{INK}", f"background:{OPEN};color:{INK}",
         f"background:{PAPER};color:{INK}")  # of a class, from solved at once to not tried
LINE_LETTERS = 90
MOST_ROWS = 20  # more pictures than these are drawn as a spread


def jobs(plan: Plan) -> Table:
    """Everybody's job in a plan, presser first: number, role, and why.

    Examples
    --------
    >>> from pressinglib.field.scene_file import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> jobs(plan_press(scene("worked scene")))
    No.  Role       Why
    9    pressure   First to their 5 on the ball: ...
    """
    in_order = sorted(plan.assignments.values(), key=lambda job: ROLES.index(job.role))
    return Table(("No.", "Role", "Why"), [(job.number, job.role, job.reason) for job in in_order])


def side_by_side(plans: Mapping[str, Plan]) -> Table:
    """Plans, one a row under a few words: who goes and what stays open, for a case in which coaches differ.

    Examples
    --------
    >>> from pressinglib.field.scene_file import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> side_by_side({"here": plan_press(scene("worked scene"))})
    plan  goes  there in  steers  open
    here  9     3.3 s     left    1
    """
    return Table(("plan", "goes", "there in", "steers", "open"), [
        (name, plan.presser or "nobody", f"{plan.assignments[plan.presser].arrival_s:.1f} s" if plan.presser else "-",
         plan.steer if plan.steer != "none" else "neither way",
         listed(man for man, word in plan.account.items() if word == "free")) for name, plan in plans.items()])


@dataclass(frozen=True, repr=False)
class Chart:
    """Shows itself as a picture at the end of a notebook cell; the same as words."""

    words: str
    height_in: float
    draw: Callable[[Figure], None]

    def __repr__(self) -> str:
        return self.words

    def _repr_png_(self) -> bytes:
        from matplotlib.figure import Figure

        figure, content = Figure((WIDTH_IN, self.height_in), layout="constrained", facecolor=PAPER), BytesIO()
        self.draw(figure)
        for axes in figure.axes:
            axes.set_facecolor(PAPER)
            axes.spines[["top", "right"]].set_visible(False)
        figure.savefig(content, format="png", dpi=DPI)
        return content.getvalue()


def _named_rows(axes: Axes, names: Sequence[str]) -> None:
    """Names beside the rows, from top to bottom; a name is text and no formula."""
    axes.set_yticks(range(len(names)), names, parse_math=False)
    axes.invert_yaxis()


@dataclass(frozen=True, repr=False)
class Bars:
    """How many learners solved each exercise, part by part: bars in a notebook, the same as words.

    Examples
    --------
    >>> Bars(("Who goes?",), {"right at once": [3], "not yet": [1]})
    Who goes? right at once 3, not yet 1
    """

    titles: Sequence[str]
    counts: Mapping[str, Sequence[int]]

    def __repr__(self) -> str:
        return "\n".join(f"{title} " + ", ".join(f"{part} {many[n]}" for part, many in self.counts.items())
                         for n, title in enumerate(self.titles)) or "No answers."

    def _repr_html_(self) -> str:
        rows = "".join(f'<div style="margin-top:8px">{escape(title)}</div><div style="display:flex;max-width:44em">'
                       f"{self._bar(n)}</div>" for n, title in enumerate(self.titles))
        return f'<div role="img" aria-label="{escape(repr(self), quote=True)}">{rows}</div>'

    def _bar(self, n: int) -> str:
        """Each part as wide as its number, with number and name in it: nothing rests on its shade."""
        return "".join(f'<div style="flex:{many[n]} 1 0;min-width:5.5em;padding:2px 5px;border:1px solid {INK};'
                       f'{style}">{many[n]} {escape(part)}</div>'
                       for (part, many), style in zip(self.counts.items(), PARTS, strict=False) if many[n])


def danger_chart(comparison: Comparison) -> Chart:
    """Danger by two rulebooks, picture by picture, or their difference over many."""
    few = len(comparison.rows) <= MOST_ROWS
    draw = partial(_pairs if few else _spread, comparison)
    return Chart(f"Picture: {comparison!r}", 0.32 * len(comparison.rows) + 1.3 if few else 4.0, draw)


def _pairs(comparison: Comparison, figure: Figure) -> None:
    """A row a picture, the largest difference on top; the forms differ as well as the colours."""
    axes = figure.subplots()
    rows = sorted(comparison.rows, key=lambda row: row["danger2"] - row["danger1"])
    first, second = ([row[f"danger{k}"] for row in rows] for k in (1, 2))
    places = range(len(rows))
    axes.hlines(places, first, second, color=INK, linewidth=0.8, zorder=1)
    ring: Any = {"s": 60, "facecolor": PAPER, "edgecolor": FIRST, "linewidth": 1.6, "zorder": 2}
    axes.scatter(first, places, label=_wrapped(comparison.names[0]), **ring)
    axes.scatter(second, places, s=34, marker="D", color=SECOND, label=_wrapped(comparison.names[1]), zorder=3)
    go = [" / ".join(dict.fromkeys(row[f"presser{k}"] or "nobody" for k in (1, 2))) for row in rows]
    _named_rows(axes, [f"{row['picture']} ({who})" if "/" in who else row["picture"]
                       for row, who in zip(rows, go, strict=True)])
    axes.set_xlabel("danger after the runs (less is better; the method's own measure)")
    figure.legend(loc="outside lower center", frameon=False)


def _wrapped(words: str) -> str:
    return "\n".join(wrap(words, LINE_LETTERS))


def _spread(comparison: Comparison, figure: Figure) -> None:
    """How many pictures, by the difference of danger; those without any are only counted."""
    axes = figure.subplots()
    off = [row["danger2"] - row["danger1"] for row in comparison.rows]
    moved = [value for value in off if abs(value) > 1e-6]
    axes.hist(moved or [0.0], bins=31, color=SECOND, edgecolor=INK, linewidth=0.6)
    axes.axvline(0.0, color=INK, linewidth=1.0)
    axes.set_xlabel(_wrapped(f"danger by {' minus danger by '.join(comparison.names[::-1])}")
                    + "\nleft of the line the first of these is lower", parse_math=False)
    axes.set_ylabel("moments")
    axes.locator_params("y", integer=True)
    axes.set_title(f"{len(off) - len(moved)} of {len(off)} moments: the same danger", loc="left", color=INK,
                   family="DejaVu Serif")


def share_chart(shares: Mapping[str, Share]) -> Chart:
    """A dot a share, a line for its 95 % interval.

    Examples
    --------
    >>> share_chart({"the nearest": Share(8, 10)})
    Picture: the nearest: 8 of 10: 80 % (49-94)
    """
    rows = [(words, share) for words, share in shares.items() if share.of]

    def draw(figure: Figure) -> None:
        axes, places = figure.subplots(), range(len(rows))
        low, high = np.transpose([share.interval for _, share in rows])
        axes.hlines(places, 100 * low, 100 * high, color=INK, linewidth=1.4)
        axes.scatter([100 * share.hits / share.of for _, share in rows], places, s=46, color=FIRST, zorder=3)
        axes.set(xlim=(-2, 102), ylim=(-0.5, len(rows) - 0.5), xticks=range(0, 101, 20), xlabel="%, with 95 % interval")
        _named_rows(axes, [f"{words}: {share.hits} of {share.of}" for words, share in rows])

    words = "; ".join(f"{words}: {share}" for words, share in shares.items())
    return Chart(f"Picture: {words}", 0.4 * len(rows) + 1.0, draw)
