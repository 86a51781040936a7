"""What was counted over a match as a page that a coach reads, with pictures, and as tables for a spreadsheet."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Callable, Iterable
from dataclasses import replace
from html import escape
from pathlib import Path
from typing import Any

import numpy as np

from pressinglib.data.match_plan import MatchPlan
from pressinglib.data.without_ball import LASTS_S, OFF_M, PAST_M, Taught, TeamReport
from pressinglib.errors import BadInput
from pressinglib.field.situation import Situation
from pressinglib.files import file_name, made_folder, write_file
from pressinglib.roles.compare import Comparison, Rate
from pressinglib.roles.faults import find_faults
from pressinglib.roles.plan import plan_press
from pressinglib.roles.rulebook import Rulebook
from pressinglib.show.drawing import Drawing, draw_plan, draw_situation
from pressinglib.show.export import few_colours, picture_bytes
from pressinglib.show.style import INK, PAPER
from pressinglib.tables import Table, listed
from pressinglib.teach.charts import danger_chart

WIDTH_CM, DPI = 16.0, 110
LATER_S = 2.0
INTERVALS = ("Behind each number stands its 95 % interval, from drawing whole minutes of the match again and again: in "
             "another match of the same kind the number may well lie anywhere in it. 'Too few': fewer than 5 minutes.")
UNKNOWN = (
    "What was agreed: a man left free as a trap, a line that waits on purpose, a player sent by the bench.",
    "What a player saw, heard or was told, how tired or hurt he was, and which way his body faced.",
    "Whether the ball was under control, and who touched it: whose ball it is, is worked out from places.",
    "How good the opponent was. A number is no mark for a player, and no reason to be hard on anybody.",
    "Where a spot is right: spots come from a teaching method with its settings; your way of playing may differ.")
MEANT = {
    "pressing": "A man who gets the ball is pressed when an outfield player comes within 2 m of him in the next 3 s.",
    "outcomes": f"What happens first after that arrival. Played past: the ball is {PAST_M:g} m behind the presser.",
    "block": "Outfield players, from first to last and from side to side, while the other side has the ball.",
    "faults": "What the method calls a fault, seen from one picture; what was left open on purpose counts as well.",
    "faults by player": "Named in a fault, for every ten minutes on the pitch without the ball.",
    "faults by quarter": "Of the time without the ball.",
    "places": f"Each player against himself: out of place is {OFF_M:g} m further from his spot than he usually is in "
              f"that role, for {LASTS_S:g} s at least, with no team-mate at his spot and nobody's spot near him. "
              "To be some metres off is usual for everybody: that alone is no fault."}


STYLE = f"""body {{ font: 16px/1.5 Georgia, serif; color: {INK}; background: {PAPER}; max-width: 64rem;
margin: 2rem auto; padding: 0 1rem }} table {{ border-collapse: collapse; font: 14px/1.4 sans-serif; margin: .5rem 0 }}
th, td {{ border-bottom: 1px solid #bbb; padding: .25rem .9rem .25rem 0 }} caption {{ font-weight: bold }}
.side {{ display: flex; flex-wrap: wrap; gap: 1rem }} figure {{ flex: 1 1 26rem; margin: .5rem 0; break-inside: avoid }}
img {{ max-width: 100% }} figcaption {{ font: 14px/1.4 sans-serif }} .wide {{ overflow-x: auto }}"""


class Page:
    """Fills from the top; whatever words it is given, none becomes a tag.

    Examples
    --------
    >>> page = Page("<b>Report</b>")
    >>> page.words("What a team did.")
    >>> "<b>" in page.html(), page.html().count("What a team did.")
    (False, 1)
    """

    def __init__(self, title: str) -> None:
        self.title, self._parts = title, [f"<h1>{escape(title)}</h1>"]

    def heading(self, words: str) -> None:
        """Begins a part."""
        self._parts.append(f"<h2>{escape(words)}</h2>")

    def smaller(self, words: str) -> None:
        """Begins a part of a part."""
        self._parts.append(f"<h3>{escape(words)}</h3>")

    def words(self, *paragraphs: str) -> None:
        """Each a paragraph."""
        self._parts += [f"<p>{escape(words)}</p>" for words in paragraphs]

    def points(self, words: Iterable[str]) -> None:
        """A list."""
        self._parts.append("<ul>" + "".join(f"<li>{escape(one)}</li>" for one in words) + "</ul>")

    def table(self, table: Table) -> None:
        """A table with its title and notes."""
        self._parts.append(f'<div class="wide">{table._repr_html_()}</div>')

    def pictures(self, pictures: Iterable[tuple[bytes, str, str]]) -> None:
        """PNGs beside each other, each with its text alternative and its caption."""
        figures = "".join(f'<figure><img src="data:image/png;base64,{b64encode(png).decode()}" alt="{escape(alt)}">'
                          f"<figcaption>{escape(caption)}</figcaption></figure>" for png, alt, caption in pictures)
        self._parts.append(f'<div class="side">{figures}</div>')

    def html(self) -> str:
        """The whole page."""
        return (f'<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"><title>{escape(self.title)}</title>'
                '<meta name="viewport" content="width=device-width, initial-scale=1">'
                f"<style>{STYLE}</style></head><body><main>\n" + "\n".join(self._parts) + "\n</main></body></html>\n")

    def save(self, path: str | Path) -> Path:
        """Write it, whole or not at all."""
        return write_file(path, self.html().encode("utf-8", "replace"))


def report_page(report: TeamReport, plan: MatchPlan) -> Page:
    """Tables, the moments to teach with the plan beside what was done, and what tracking cannot know."""
    page = Page(f"Without the ball: the {report.side} side")
    page.words(f"{report.minutes:.0f} minutes in which the other side had the ball. {INTERVALS}")
    for name, table in report.tables.items():
        page.heading(table.title)
        page.words(MEANT[name])
        page.table(Table(table.head, table.rows, table.formats, notes=table.notes, empty=table.empty))
    page.heading("Moments to teach")
    page.words("Of different kinds, those in which the plan would have taken away most danger for longest." if
               report.moments else "No fault was found, or none was looked for.")
    for taught in report.moments:
        _teach(page, taught, plan)
    page.heading("What tracking cannot know")
    page.points(UNKNOWN)
    return page


def _teach(page: Page, taught: Taught, plan: MatchPlan) -> None:
    """What was done, and the plan beside it."""
    frame = taught.moment.frame_id
    situation, title = plan.situation(frame), plan.title(frame)
    page.smaller(f"{taught.kind[0].upper()}{taught.kind[1:]}" + (
        f" ({', '.join(taught.moment.players.split())})" if taught.moment.players else ""))
    page.words(f"{title}; {taught.moment.lasts_s:.1f} s long. Danger {taught.danger[0]:.2f} as they stood, "
               f"{taught.danger[1]:.2f} by the plan. In the end {taught.came}.")
    page.points(f"{fault.why} {fault.change}" for fault in find_faults(situation, plan.rulebook)
                if fault.kind == taught.kind)
    row = int(np.flatnonzero(plan.match.frame_id == frame)[0])
    later = int(np.searchsorted(plan.match.time_s, plan.match.time_s[row] + LATER_S))
    try:
        after = plan.situation(int(plan.match.frame_id[min(later, len(plan.match) - 1)]))
        done = draw_situation(after, "", start=situation)
        caption = f"What was done: {LATER_S:g} s later; dotted, from where they came."
    except BadInput:  # nobody has the ball then
        done, caption = draw_situation(situation, ""), "What was done: as they stood."
    planned = draw_plan(situation, plan_press(situation, plan.rulebook), title="")
    page.pictures([(png(done), done.words, caption), (png(planned), planned.words, f"The plan: {planned.words}")])


def png(drawing: Drawing) -> bytes:
    """Small enough for a page that holds many."""
    bare = replace(drawing, words="", title="")
    return few_colours(picture_bytes(bare, "png", WIDTH_CM, DPI))


def save_report(report: TeamReport, plan: MatchPlan, folder: Path) -> Path:
    """`report.html`, and each table as CSV, with the two ends of an interval in columns of their own."""
    made_folder(folder)
    for name, table in report.tables.items():
        spread(table).to_csv(folder / f"{file_name(name)}.csv")
    return report_page(report, plan).save(folder / "report.html")


def comparison_page(comparison: Comparison, rules: tuple[Rulebook, Rulebook],
                    look: Callable[[Any], tuple[Situation, str]]) -> Page:
    """Differences with their intervals, the chart, and the pictures in which the second helps and hurts most.

    `look` gives the picture of a row, and its title.
    """
    first, second = comparison.names
    page = Page(f"{first} against {second}")
    less, more, same = comparison.better()
    page.words(f"{len(comparison.rows)} pictures, {len(comparison.differing)} of them differ. Danger is lower by "
               f"{first} in {less}, by {second} in {more}, the same in {same}.", INTERVALS,
               "An interval of a difference that holds 0 leaves open which is better.")
    for table in (comparison.experiment(), comparison.baselines(), comparison.by_role()):
        page.heading(table.title)
        page.table(Table(table.head, table.rows, table.formats, notes=table.notes))
    chart = danger_chart(comparison)
    page.pictures([(chart._repr_png_(), chart.words, "Danger after the runs, by both.")])
    for words, rows in zip(("helps", "hurts"), comparison.most(), strict=True):
        page.heading(f"Where {second} {words} most" if rows else f"{second} {words} nowhere")
        for row in rows:
            situation, title = look(row["picture"])
            plans = [plan_press(situation, one) for one in rules]
            goes = listed([f"{row[f'presser{k}'] or 'nobody'} goes by {name}" for k, name in enumerate(
                comparison.names, 1)])
            page.smaller(f"{title}; ball in {row['zone']}")
            page.words(f"{goes}. Danger {row['danger1']:.2f} and {row['danger2']:.2f}.")
            page.pictures([(png(drawing), drawing.words, f"{name}: {drawing.words}") for name, drawing in zip(
                comparison.names, (draw_plan(situation, plan, title="") for plan in plans), strict=True)])
    return page


def spread(table: Table) -> Table:
    """The same with three columns for a number that has an interval."""
    rows = [tuple(row) for row in table.rows]
    wide = [any(isinstance(row[k], Rate) for row in rows) for k in range(len(table.head))]
    head = [part for name, three in zip(table.head, wide, strict=True)
            for part in ((name, f"{name}, from", f"{name}, to") if three else (name,))]
    return Table(head, [[part for cell, three in zip(row, wide, strict=True) for part in (
        (cell.value, cell.low, cell.high) if isinstance(cell, Rate) else (cell, None, None) if three else (cell,))]
        for row in rows])
