"""To read beside a picture: tables of plans; numbers as pictures, each with its words: a class, rulebooks, shares."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from html import escape
from io import BytesIO
from textwrap import wrap
from typing import Any

import numpy as np

from pressinglib.data.match_statistics import Share
from pressinglib.roles.compare import Comparison
from pressinglib.roles.plan import Plan
from pressinglib.roles.settings import ROLES
from pressinglib.show.style import INK, PAPER
from pressinglib.tables import Table, listed

WIDTH_IN, DPI = 8.0, 100
FIRST, SECOND, OPEN = "#3b5b6d", "#c96f2e", "#e0b080"
PARTS = (f"background:{FIRST};color:{PAPER}", f"background:#c9d5db;color:{INK}", f"background:{OPEN};color:{INK}",
         f"background:{PAPER};color:{INK}")  # of a class, from solved at once to not tried
LINE_LETTERS = 90
MOST_ROWS = 20  # more pictures than these are drawn as a spread


def jobs(plan: Plan) -> Table:
    """Everybody's job in a plan, presser first: number, role, and why.

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
    """Shows itself as a picture at the end of a notebook cell; the same as words. `draw` is given the figure."""

    words: str
    height_in: float
    draw: Callable[[Any], None]

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


def _named_rows(axes: Any, names: Sequence[str]) -> None:
    """Names beside the rows, from top to bottom; a name is text and no formula."""
    axes.set_yticks(range(len(names)), names, parse_math=False)
    axes.invert_yaxis()


def bars(rows: Mapping[str, Mapping[str, int]]) -> str:
    """How many learners, part by part, as bars with their words: nothing rests on a shade, every name is text.

    >>> bars({"Who <b>?": {"right at once": 3, "right later": 0, "not yet": 1, "not tried": 0}})[:84]
    '<div role="img" aria-label="Who &lt;b&gt;? right at once 3, right later 0, not yet 1'
    """
    words, drawn = [], ""
    for title, parts in rows.items():
        words.append(f"{title} {', '.join(f'{part} {n}' for part, n in parts.items())}")
        boxes = "".join(f'<div style="flex:{n} 1 0;min-width:5.5em;padding:2px 5px;border:1px solid {INK};{style}">{n} '
                        f"{part}</div>" for (part, n), style in zip(parts.items(), PARTS, strict=True) if n)
        drawn += f'<p>{escape(title)}</p><div style="display:flex;max-width:44em">{boxes}</div>'
    alt = escape("\n".join(words))
    return f'<div role="img" aria-label="{alt}">{drawn}</div>'


def danger_chart(comparison: Comparison) -> Chart:
    """How much lower or higher danger is by the second of two rulebooks, picture by picture, the lowest on top."""
    rows = sorted(comparison.rows, key=lambda row: row["danger2"] - row["danger1"])
    off, few = [row["danger2"] - row["danger1"] for row in rows], len(rows) <= MOST_ROWS

    def draw(figure: Any) -> None:
        axes = figure.subplots()
        axes.barh(range(len(rows)), off, color=SECOND, edgecolor=INK, linewidth=0.6 * few, height=0.6 if few else 1.0)
        axes.axvline(0.0, color=INK, linewidth=1.0)
        if few:
            _named_rows(axes, [f"{row['picture']}" for row in rows])
        else:
            axes.set_ylabel("moments, in the order of the difference")
            axes.invert_yaxis()
        words = f"danger after the runs by {' minus that by '.join(comparison.names[::-1])}"
        axes.set_xlabel("\n".join([*wrap(words, LINE_LETTERS), "left of the line the first of these is lower"]),
                        parse_math=False)

    return Chart(f"Picture: {comparison!r}", 0.32 * len(rows) + 1.3 if few else 4.0, draw)


def share_chart(shares: Mapping[str, Share]) -> Chart:
    """A dot a share, a line for its 95 % interval.

    >>> share_chart({"the nearest": Share(8, 10)})
    Picture: the nearest: 8 of 10: 80 % (49-94)
    """
    rows = [(words, share) for words, share in shares.items() if share.of]

    def draw(figure: Any) -> None:
        axes, places = figure.subplots(), range(len(rows))
        low, high = np.transpose([share.interval for _, share in rows])
        axes.hlines(places, 100 * low, 100 * high, color=INK, linewidth=1.4)
        axes.scatter([100 * share.hits / share.of for _, share in rows], places, s=46, color=FIRST, zorder=3)
        axes.set(xlim=(-2, 102), ylim=(-0.5, len(rows) - 0.5), xticks=range(0, 101, 20), xlabel="%, with 95 % interval")
        _named_rows(axes, [f"{words}: {share.hits} of {share.of}" for words, share in rows])

    words = "; ".join(f"{words}: {share}" for words, share in shares.items())
    return Chart(f"Picture: {words}", 0.4 * len(rows) + 1.0, draw)
