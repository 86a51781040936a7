"""What the lessons say of prices, made anew: python -m tests.teach.prices_of_lessons [price_03 ...]."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterable, Mapping
from dataclasses import astuple, replace
from pathlib import Path
from typing import Any

import numpy as np

from pressinglib import Rulebook, Situation, choices, scene, teach
from pressinglib.play.price import (
    MOST_TRAPS,
    PLANNED,
    Choices,
    _played,
    _schemes,
    _traps,
    dial,
    held,
    planned,
)
from pressinglib.roles.balance import behind_presser
from pressinglib.roles.compare import Rate, rate
from pressinglib.roles.decisions import Jobs, frame_rule, is_player
from pressinglib.roles.presser import STRAIGHT, way_times
from pressinglib.roles.settings import GUARD_STRAIGHT, NOBODY
from pressinglib.teach.lessons import (
    lesson_00,
    lesson_01,
    lesson_02,
    lesson_03,
    lesson_04,
    lesson_05,
    lesson_06,
    lesson_07,
    lesson_08,
)
from pressinglib.teach.prices import GAMES

FILE = Path(teach.__path__[0]) / "lessons" / "prices.json"
DIGITS, UNITS = 3, (100, 100, 100, 1, 1)  # shares in 100 games, metres


def ruled(situation: Situation, books: Mapping[str, Rulebook]) -> Callable[[int], Choices]:
    """Two rulebooks in one picture; the first is what the other one is compared with."""
    first, *others = books.items()

    def made(games: int) -> Choices:
        found = choices(situation, first[1], dict(others), copies=games)
        return replace(found, names=(first[0], *found.names[1:]))

    return made


def some(situation: Situation, names: Mapping[str, str]) -> Callable[[int], Choices]:
    """The plan and some of the usual other ways, by names of the lesson's own."""
    def made(games: int) -> Choices:
        ways = {PLANNED: planned(Rulebook()), **_schemes(held(situation, None), Rulebook())}
        return _played(situation, {name: ways[of] for of, name in names.items()}, {}, games, 0, dial(0, 45))

    return made


def trapped(situation: Situation, names: Mapping[str, str]) -> Callable[[int], Choices]:
    """Some of the traps, beside each other."""
    def made(games: int) -> Choices:
        ways = _traps(held(situation, None), Rulebook(), "{}", MOST_TRAPS)[0]
        return _played(situation, {name: ways[man] for man, name in names.items()}, {}, games, 0, dial(0, 45))

    return made


def five_stay() -> Rulebook:
    """Wing-backs are back-line players wherever the ball is."""
    def stays(rule: Any) -> Any:
        return frame_rule(lambda p, d: rule(p.but(wing_back=np.zeros_like(p.wing_back)), d))

    stock, rules = Rulebook(), ("choose_presser", "choose_timing", "choose_steer", "choose_covers", "choose_balance")
    return stock.with_rules(**{name: stays(getattr(stock, name)) for name in (*rules, "choose_back_line")})


def goes_through() -> Rulebook:
    """The presser runs at the ball and stops nowhere."""
    return Rulebook().with_rules(place_presser=frame_rule(lambda p, d: p.focus))


def near_the_presser() -> Rulebook:
    """Of the covers he who is first in the carrier's straight way guards it, and leaves his man."""
    @frame_rule
    def covers(p: Any, d: Any) -> Any:
        jobs = Rulebook().choose_covers(p, d)
        in_s = np.where(jobs.who, way_times(p)[..., STRAIGHT], np.inf)
        guarded = (jobs.who & (jobs.duty == GUARD_STRAIGHT)).any(1) | ~np.isfinite(in_s.min(1))
        he = is_player(np.where(guarded, NOBODY, in_s.argmin(1)), in_s.shape[1])
        return Jobs(jobs.who, np.where(he, GUARD_STRAIGHT, jobs.duty), np.where(he, NOBODY, jobs.mark),
                    np.where(he[..., None], behind_presser(p)[:, None], jobs.anchor))

    return Rulebook().with_rules(choose_covers=covers)


def dropping(situation: Situation) -> Callable[[int], Choices]:
    return ruled(situation, {"drop a metre": Rulebook().with_settings(line_drop_m=1),
                             "drop eight": Rulebook().with_settings(line_drop_m=8)})


MADE: dict[str, Callable[[int], Choices]] = {
    "price_00": ruled(lesson_00.who_goes.situation, {
        "midfield and attack first": Rulebook(), "the nearest": Rulebook().with_settings(pressers="anyone")}),
    "price_01": some(lesson_01.the_ends.situation, {PLANNED: "keep your zone", "man for man": "man for man"}),
    "price_02": ruled(lesson_02.where_he_ends.situation, {"brake": Rulebook(), "go through": goes_through()}),
    "price_03": ruled(lesson_03.other_side.situation, {
        "to the surplus": Rulebook(), "always outside": Rulebook().with_settings(steering="outside")}),
    "price_04": ruled(lesson_04.who_next.situation, {
        "deny the pass": Rulebook(), "stay near the presser": near_the_presser()}),
    "price_05": ruled(lesson_05.far_side.situation, {
        "wide enough for a switch": Rulebook(), "tucked in further": Rulebook().with_settings(switch_mps=20)}),
    "price_06": dropping(lesson_06.open_ball.situation),
    "price_06_slow": dropping(lesson_06.slow(lesson_06.open_ball.situation)),
    "price_07": ruled(lesson_07.and_now.situation, {
        "midfield first": Rulebook(), "whoever is first": Rulebook().with_settings(pressers="anyone")}),
    "price_08": ruled(lesson_08.wing_back.situation, {"the wing-back jumps": Rulebook(), "five stay": five_stay()}),
    "price_09": lambda games: choices(scene("worked scene"), copies=games),
    "price_09_trap": trapped(scene("worked scene"), {"2": "outside, on their 2", "6": "inside, on their 6"}),
}


def kept(found: Choices) -> dict[str, dict[str, list[list[float]]]]:
    """What each way came to, and what each comes to beside the first, in pairs of games."""
    rows = {row[0]: row[1:-1] for row in Choices.of(found.names, found.values, found.risk).rows}
    more = {name: [rate(many, factor=unit) for many, unit in zip(off.T, UNITS, strict=True)]
            for name, off in zip(found.names[1:], found.values[1:] - found.values[0], strict=True)}
    return {"ways": {name: _short(rows[name]) for name in found.names},
            "more": {name: _short(rates) for name, rates in more.items()}}


def _short(rates: Iterable[Rate]) -> list[list[float]]:
    return [[round(value, DIGITS) for value in astuple(one)] for one in rates]


if __name__ == "__main__":
    made = json.loads(FILE.read_text("utf-8"))
    for asked in sys.argv[1:] or MADE:
        made[asked] = kept(MADE[asked](GAMES))
        FILE.write_text(json.dumps(made, indent=0) + "\n", encoding="utf-8")
        print(asked, made[asked]["more"])
