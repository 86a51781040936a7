"""What was counted over a match as a page that a coach reads, with pictures, and as tables for a spreadsheet."""

import json
import re
from base64 import b64encode
from collections.abc import Callable, Iterable
from dataclasses import replace
from html import escape
from pathlib import Path
from typing import Any

import numpy as np

from pressinglib.data.match_plan import SIDES, MatchPlan
from pressinglib.data.match_planning import Progress
from pressinglib.data.without_ball import LASTS_S, OFF_M, PAST_M, Taught, TeamReport
from pressinglib.errors import BadInput, RuleError
from pressinglib.field.situation import Situation
from pressinglib.files import file_name, made_folder, write_file
from pressinglib.play.price import HEAD, choices
from pressinglib.roles.compare import Comparison, Rate, rate
from pressinglib.roles.faults import find_faults
from pressinglib.roles.plan import plan_press
from pressinglib.roles.rulebook import Rulebook
from pressinglib.show.drawing import Drawing, draw_plan, draw_situation
from pressinglib.show.export import Picture
from pressinglib.tables import Table, listed
from pressinglib.teach.charts import danger_chart

WORDS = json.loads(Path(__file__).with_name("report_words.json").read_text("utf-8"))
LATER_S, OUT = 2.0, "out of place, s in ten minutes"
PRICED, GAMES, UNITS = 10, 16, (100.0, 100.0, 100.0, 1.0, 1.0)  # pictures that are played on; shares in %


# -- A page of HTML: a template beside this file, its parts put in; whatever words it is given, none becomes a tag.

def filled(template: str, **parts: str) -> str:
    """The template with its parts, each under its name in capitals.

    >>> "<b>" in filled("report.html", TITLE="", PARTS=tagged("p", "<b>What a team did</b>"))
    False
    """
    text = Path(__file__).with_name(template).read_text("utf-8")
    return re.sub("|".join(parts), lambda found: parts[found[0]], text)


def tagged(tag: str, *words: str) -> str:
    """Words, each in a tag."""
    return "".join(f"<{tag}>{escape(one)}</{tag}>" for one in words)


def image(png: bytes, alt: str) -> str:
    """A picture that travels in the page, with its words."""
    return f'<img alt="{escape(alt)}" src="data:image/png;base64,{b64encode(png).decode()}">'


def figures(pictures: Iterable[tuple[Any, str]]) -> str:
    """Drawings or charts beside each other, each with its caption."""
    shown = [(Picture(replace(one, words="", title="")) if isinstance(one, Drawing) else one, one.words, caption)
             for one, caption in pictures]
    return f"""<div class="side">{"".join(
        f"<figure>{image(one._repr_png_(), alt)}{tagged('figcaption', caption)}</figure>" for one, alt, caption in shown
    )}</div>"""


def save_report(report: TeamReport, plan: MatchPlan, folder: Path,
                progress: Progress = lambda done, total: None) -> Path:
    """`report.html`: tables, the moments to teach with the plan beside what was done, and what tracking cannot know;
    and each table as CSV, with the two ends of an interval in columns of their own.
    """
    made_folder(folder)
    title, meant = f"Without the ball: the {report.side} side", {"past_m": PAST_M, "off_m": OFF_M, "lasts_s": LASTS_S}
    parts = [tagged("h1", title), f"<ul>{tagged('li', *_in_short(report))}</ul>",
             tagged("p", f"{report.minutes:.0f} minutes in which the other side had the ball. {WORDS['intervals']}")]
    for name, table in report.tables.items():
        spread(table).to_csv(folder / f"{file_name(name)}.csv")
        parts += [tagged("h2", table.title), tagged("p", WORDS["meant"][name].format_map(meant)),
                  replace(table, title="")._repr_html_()]
    if plan.rulebook != Rulebook():
        ids = plan.match.frame_id[plan.rows[plan.whose.team[plan.rows] == dict(SIDES)[report.side]]].tolist()
        parts += _priced(plan.situation, ids, ("stock rules", "rules of this report"),
                         (Rulebook(), plan.rulebook), progress)
    parts += [tagged("h2", "Moments to teach"),
              tagged("p", WORDS["moments"] if report.moments else "No fault was found, or none was looked for."),
              *(_taught(one, plan) for one in report.moments), tagged("h2", "What tracking cannot know"),
              f"<ul>{tagged('li', *WORDS['unknown'])}</ul>"]
    return _saved(folder / "report.html", title, parts)


def _in_short(report: TeamReport) -> list[str]:
    """Where they press, what comes of it, what is seen most, who is out of place, and what to train."""
    pressing, outcomes, faults, places = (list(report.tables[name]) for name in ("pressing", "outcomes", "faults",
                                                                                 "places"))
    often = max(pressing[:-1], key=lambda row: float(np.nan_to_num(row["% pressed within 3 s"].value)))
    told = {"men": pressing[-1], "where": often, "presses": outcomes[0], "fault": next(iter(faults), None),
            "place": max(places, key=lambda row: row[OUT].value),
            "train": {"kinds": "; ".join(one.kind for one in report.moments)} if report.moments else None}
    return [WORDS["short"][name].format(*row.values()) for name, row in told.items() if row]


def _saved(path: str | Path, title: str, parts: Iterable[str]) -> Path:
    page = filled("report.html", TITLE=escape(title), PARTS="\n".join(parts))
    return write_file(path, page.encode("utf-8", "replace"))


def _taught(taught: Taught, plan: MatchPlan) -> str:
    """What was done, and the plan beside it."""
    frame, moment = taught.moment.frame_id, taught.moment
    situation, title = plan.situation(frame), plan.title(frame)
    who = f" ({', '.join(moment.players.split())})" if moment.players else ""
    faults = [f"{fault.why} {fault.change}" for fault in find_faults(situation, plan.rulebook)
              if fault.kind == taught.kind]
    row = int(np.flatnonzero(plan.match.frame_id == frame)[0])
    later = int(np.searchsorted(plan.match.time_s, plan.match.time_s[row] + LATER_S))
    try:
        after = plan.situation(int(plan.match.frame_id[min(later, len(plan.match) - 1)]))
        done = draw_situation(after, "", start=situation)
        caption = f"What was done: {LATER_S:g} s later; dotted, from where they came."
    except BadInput:  # nobody has the ball then
        done, caption = draw_situation(situation, ""), "What was done: as they stood."
    planned = draw_plan(situation, plan_press(situation, plan.rulebook), title="")
    return (tagged("h3", f"{taught.kind[0].upper()}{taught.kind[1:]}{who}")
            + tagged("p", f"{title}; {moment.lasts_s:.1f} s long. Danger {taught.danger[0]:.2f} as they stood, "
                          f"{taught.danger[1]:.2f} by the plan. In the end {taught.came}.")
            + f"<ul>{tagged('li', *faults)}</ul>" + figures([(done, caption), (planned, f"The plan: {planned.words}")]))


def save_comparison(comparison: Comparison, rules: tuple[Rulebook, Rulebook],
                    look: Callable[[Any], tuple[Situation, str]], path: str | Path,
                    progress: Progress = lambda done, total: None) -> Path:
    """Differences with their intervals, the chart, and the pictures in which the second helps and hurts most.

    `look` gives the picture of a row, and its title; `progress` is told the pictures played on, and how many there are.
    """
    first, second = comparison.names
    title, (less, more, same) = f"{first} against {second}", comparison.better()
    off = next(iter(comparison.experiment()))["difference"]
    best = {1: f"{first} is better", -1: f"{second} is better", 0: "it is open which is better"}[off.sign]
    parts = [tagged("h1", f"{title[0].upper()}{title[1:]}"), tagged(
        "p", f"{len(comparison.rows)} pictures, {len(comparison.differing)} of them differ. Danger is lower by "
             f"{first} in {less}, by {second} in {more}, the same in {same}.", WORDS["intervals"],
        f"By danger after the runs {best}: {second} minus {first} is {off}.",
        "An interval of a difference that holds 0 leaves open which is better.")]
    for table in (comparison.experiment(), comparison.baselines(), comparison.by_role()):
        parts += [tagged("h2", table.title), replace(table, title="")._repr_html_()]
    ids = [row["picture"] for row in comparison.rows]
    parts += _priced(lambda name: look(name)[0], ids, comparison.names, rules, progress)
    parts.append(figures([(danger_chart(comparison), f"What {second} changes, picture by picture.")]))
    for words, rows in zip(("helps", "hurts"), comparison.most(), strict=True):
        parts.append(tagged("h2", f"Where {second} {words} most"))
        parts += [] if rows else [tagged("p", "Nowhere.")]
        for row in rows:
            situation, name = look(row["picture"])
            drawings = [draw_plan(situation, plan_press(situation, one), title="") for one in rules]
            goes = [f"{row[f'presser{k}'] or 'nobody'} goes by {by}" for k, by in enumerate(comparison.names, 1)]
            parts += [tagged("h3", f"{name}; ball in {row['zone']}"), tagged(
                "p", f"{listed(goes)}. Danger {row['danger1']:.2f} and {row['danger2']:.2f}."),
                figures([(one, f"{by}: {one.words}") for by, one in zip((first, second), drawings, strict=True)])]
    return _saved(path, title, parts)


def _priced(look: Callable[[Any], Situation], ids: list[Any], names: tuple[str, str],
            rules: tuple[Rulebook, Rulebook], progress: Progress) -> list[str]:
    """Some of the pictures, evenly spaced, played on by two rulebooks: means, and what sets the second apart."""
    some = [one for one in map(look, ids[:: -(-len(ids) // PRICED)]) if one.on_ball or one.receiver]
    games = []
    try:
        for one in some:
            games.append(choices(one, rules[0], {"other": rules[1]}, copies=GAMES).values * UNITS)
            progress(len(games), len(some))
    except RuleError as error:
        return [tagged("h2", "Played on"), tagged("p", str(error))]
    values = np.concatenate([np.zeros((2, 0, len(UNITS))), *games], axis=1)
    rows = [(what, *(rate(part, np.repeat(np.arange(len(some)), GAMES)) for part in (*both.T, both.T[1] - both.T[0])))
            for what, both in zip(HEAD[1:-1], values.transpose(2, 1, 0), strict=True)]
    return [tagged("h2", "Played on"), tagged("p", WORDS["games"].format(pictures=len(some), games=GAMES)),
            Table(("what comes of it", *names, "difference"), rows)._repr_html_()]


def spread(table: Table) -> Table:
    """The same with three columns for a number that has an interval."""
    rows = [tuple(row) for row in table.rows]
    wide = [any(isinstance(row[k], Rate) for row in rows) for k in range(len(table.head))]
    head = [part for name, three in zip(table.head, wide, strict=True)
            for part in ((name, f"{name}, from", f"{name}, to") if three else (name,))]
    return Table(head, [[part for cell, three in zip(row, wide, strict=True) for part in (
        (cell.value, cell.low, cell.high) if isinstance(cell, Rate) else (cell, None, None) if three else (cell,))]
        for row in rows])
