"""What a judge has looked at, to be seen: passes and runs with their clocks, limits and the shadow; and played.

Who moves along his line gets there when his clock says: what is played is what was judged.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import atan2, dist, expm1, log1p, radians
from typing import NamedTuple

import numpy as np

from pressinglib.field.situation import Situation
from pressinglib.physics.ball import DRAG_PER_M
from pressinglib.physics.motion import RUNNING
from pressinglib.show.labels import LabelPlacement, around, text_half
from pressinglib.show.layers import places_on, words_at
from pressinglib.show.marks import XY, Area, Arrow, Line, Mark, Points, arc, length_of, place_along, sector, trimmed
from pressinglib.show.style import LABEL_M, TOKEN_M
from pressinglib.show.tokens import BALL

STYLES = {True: ("judged right", "\N{CHECK MARK} "), False: ("judged wrong", "\N{BALLOT X} ")}
SHORT_M, LEVEL, CLEAR_M = 0.5, 0.4, 0.6  # a shorter line is none to write beside; one that rises less runs level
ROW_M, OFF_ROW_M = 1.8, 1.4  # how far beyond the touchline a row of 100 marks lies, and words from its middle
ROUND_M = (2 * TOKEN_M, 4.0, 6.0, 8.0, 11.0)  # where there is no room on it


class Seen(NamedTuple):
    """A "pass", "run", "limit", "shadow" or "share" through points, with words; `who` is at its end in `time_s`."""

    kind: str
    points: Points
    words: str = ""
    who: tuple[str, str] = ("", "")
    time_s: float = 0.0


Judged = tuple[bool, Seen]  # whether that which it shows holds


def passed(start: XY, end: XY, time_s: float, words: str = "") -> Seen:
    """A pass with the ball's clock."""
    return Seen("pass", (start, end), words or f"ball {time_s:.1f} s", BALL, time_s)


def ran(number: str, start: XY, end: XY, time_s: float) -> Seen:
    """A run of one of the pressing team with his clock."""
    return Seen("run", (start, end), f"{number}: {time_s:.1f} s", ("pressing", number), time_s)


def reach(centre: XY, radius_m: float) -> Seen:
    """How near is near enough."""
    return Seen("limit", arc(centre, radius_m))


def wedge(ball: XY, presser: XY, half_deg: float, far_m: float) -> Seen:
    """The cover shadow, as far as it is asked for."""
    middle, half = atan2(presser[1] - ball[1], presser[0] - ball[0]), radians(half_deg)
    return Seen("shadow", sector(ball, min(dist(ball, presser), far_m), far_m, middle, half))


def of_100(situation: Situation, first: float, last: float, words: str) -> Seen:
    """A share as a row of 100 marks beyond the touchline, a metre each, those from the first to the last filled."""
    ends = np.clip((first, last), 0.0, 100.0) - 50.0
    return Seen("share", tuple((float(x), situation.pitch.corner_xy[1] + ROW_M) for x in ends), words)


def judged_marks(judged: Iterable[Judged], placement: LabelPlacement) -> list[Mark]:
    """Right and wrong differ by sign and by kind of line, not by colour alone."""
    marks: list[Mark] = []
    for holds, seen in judged:
        style, sign = STYLES[holds] if seen.kind in ("run", "limit") else (seen.kind, "")
        kind = {"shadow": Area, "limit": Line, "share": Line}.get(seen.kind, Arrow)
        line = trimmed(seen.points, TOKEN_M * (seen.kind == "run"), TOKEN_M) if seen.time_s else seen.points
        marks.append(kind("judged", style, line))
        if seen.kind == "share":
            marks.append(Line("judged", "of 100", tuple((x, seen.points[0][1]) for x in (-50.0, 50.0))))
        if seen.words:
            words = f"{sign}{seen.words}"
            half = text_half(words, max(LABEL_M, placement.labels.least_m))
            beside = _beside(seen.points, half, OFF_ROW_M if seen.kind == "share" else CLEAR_M)
            marks.append(words_at("judged", style, words, beside, placement))
    return marks


def _beside(points: Points, half: XY, clear_m: float) -> np.ndarray:
    """Beside a line, which would strike words of that size out; else round its ends, so that they cover nobody."""
    x, y = np.abs(np.subtract(points[-1], points[0]))
    off = (0.0, half[1] + clear_m) if y < LEVEL * x else (half[0] + clear_m, 0.0)
    on = [places_on(points)[:7]] if max(x, y) > SHORT_M else []
    ends = (around(xy, metres, level=True) for metres in ROUND_M for xy in (points[0], points[-1]))
    return np.concatenate([*(side for line in on for side in (line + off, line - off)), *ends])


def played(situation: Situation, judged: Iterable[Judged], time_s: float) -> Situation:
    """The picture after some time: the pass on its way, and those who run for it."""
    for _, seen in judged:
        if seen.time_s:
            xy = place_along(seen.points, length_of(seen.points) * _share(seen, time_s))
            situation = situation.with_ball(xy) if seen.who == BALL else situation.moved("pressing", seen.who[1], xy)
    return situation


def _share(seen: Seen, time_s: float) -> float:
    """How much of his line he has behind him: a ball slowed by the air, a man by the law of running from rest."""
    if time_s >= seen.time_s:
        return 1.0
    if seen.who == BALL:
        whole = DRAG_PER_M * length_of(seen.points)
        return log1p(expm1(whole) * time_s / seen.time_s) / whole
    return float(RUNNING.covered_m(time_s) / RUNNING.covered_m(seen.time_s))
