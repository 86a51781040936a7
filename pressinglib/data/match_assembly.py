"""From the rows of any source to a match: checked frame by frame; a bad frame is named and left out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pressinglib.data.coordinates import Coordinates, Report
from pressinglib.data.tracking import BALL_MPS, PLAYER_MPS, Team, Tracking, gaps, jumps
from pressinglib.errors import BadInput
from pressinglib.field.pitch import OUTSIDE_M, Pitch
from pressinglib.field.player import OUTFIELD
from pressinglib.field.situation import TEAM_SIZE

Floats = NDArray[np.float64]
Ints = NDArray[np.int_]
Bools = NDArray[np.bool_]
Texts = NDArray[np.object_]
FAR_M = 10.0  # further off the pitch than this nobody is: unit or origin are wrong (own choice)
MOST_BAD = 0.5
BREAK_S = 60.0  # put between periods whose clocks start anew
SIDES = ("home", "away")
NAMED = 5  # frames named one by one for each kind of fault; the rest are counted


@dataclass(eq=False)
class Moments:
    """T frames in the order of the source: number, row, clock, period, ball as it came, and what is known of it."""

    frame_id: Ints
    row: Ints
    time_s: Floats
    period: Ints
    ball: Floats
    height: Floats
    alive: Bools
    given: Ints


@dataclass(eq=False)
class Places:
    """n rows: in which frame (a row of the moments), which side (0 home, 1 away), which number, where, which row."""

    frame: Ints
    side: Ints
    number: Texts
    xy: Floats
    row: Ints


def assemble(moments: Moments, places: Places, declared: Coordinates, pitch: Pitch, report: Report,
             start_utc: str = "") -> Tracking:
    """The match in metres, the home side attacking +x; `report` gets every frame that had to be left out, and why.

    Raises
    ------
    BadInput
        If no more than half of the frames can be used, or a side has no player.
    """
    at = declared.metres(places.xy, moments.period[places.frame], pitch)
    ball = declared.metres(moments.ball, moments.period, pitch)
    bad = np.isin(moments.frame_id, [k for k in report.skipped if isinstance(k, int)])
    for check in (_twice, _too_many):
        bad |= check(moments, places, at, report)
    bad |= _far_off(moments, places, at, ball, pitch, report) | _clock(moments, bad, report)
    _refuse(bad, report)
    kept = np.flatnonzero(~bad)
    home, away = (_team(moments, places, at, side, kept, report) for side in (0, 1))
    match = Tracking(pitch, home, away, _one_clock(moments.time_s[kept], moments.period[kept]), ball[kept],
                     moments.height[kept], moments.alive[kept], moments.frame_id[kept], moments.period[kept],
                     moments.given[kept], start_utc)
    _look_over(match, report)
    return match


# -- frames that are left out ------------------------------------------------------------------------------------------


def _blame(moments: Moments, rows: Ints, frames: Ints, column: str, words: str, report: Report) -> Bools:
    """Name the first rows of a kind of fault, count the others, and mark the frames."""
    bad = np.zeros(len(moments.frame_id), bool)
    bad[frames] = True
    for row, frame in list(zip(rows.tolist(), frames.tolist(), strict=True))[:NAMED]:
        report.add(row, column, words, int(moments.frame_id[frame]))
    if len(frames) > NAMED:
        report.counts[f"more rows with this fault in {column}: {words}"] += len(frames) - NAMED
    report.skipped |= set(moments.frame_id[bad].tolist())
    return bad


def _twice(moments: Moments, places: Places, at: Floats, report: Report) -> Bools:
    """A player stands twice in one frame."""
    names, who = np.unique(places.number.astype(str), return_inverse=True)
    key = (places.frame * 2 + places.side) * max(len(names), 1) + who
    first = np.zeros(len(key), bool)
    first[np.unique(key, return_index=True)[1]] = True
    again = np.flatnonzero(~first)
    return _blame(moments, places.row[again], places.frame[again], "player", "the same player twice", report)


def _too_many(moments: Moments, places: Places, at: Floats, report: Report) -> Bools:
    """More than eleven of a side."""
    here = np.isfinite(at).all(1)
    count = np.bincount(places.frame[here] * 2 + places.side[here], minlength=2 * len(moments.frame_id))
    over = np.unique(np.flatnonzero(count > TEAM_SIZE) // 2)
    return _blame(moments, moments.row[over], over, "team", f"more than {TEAM_SIZE} of one side", report)


def _far_off(moments: Moments, places: Places, at: Floats, ball: Floats, pitch: Pitch, report: Report) -> Bools:
    """A player or the ball far off the pitch."""
    words = f"more than {FAR_M:g} m off the pitch: check unit and origin"

    def lost(xy: Floats) -> Ints:
        return np.flatnonzero(np.isfinite(xy).all(1) & ~pitch.holds(xy, FAR_M))

    men, balls = lost(at), lost(ball)
    bad = _blame(moments, places.row[men], places.frame[men], "x, y", words, report)
    return bad | _blame(moments, moments.row[balls], balls, "ball", words, report)


def _clock(moments: Moments, bad: Bools, report: Report) -> Bools:
    """Time or period goes back."""
    rows = np.flatnonzero(~bad)
    time, period = moments.time_s[rows], moments.period[rows]
    latest = np.full(len(rows), -np.inf)
    for k in np.unique(period):
        of = np.flatnonzero(period == k)
        latest[of[1:]] = np.maximum.accumulate(time[of])[:-1]
    back = (time <= latest) | (period < np.maximum.accumulate(period))
    return _blame(moments, moments.row[rows[back]], rows[back], "time", "not later than the frame before", report)


def _refuse(bad: Bools, report: Report) -> None:
    if len(bad) < 2 or bad.mean() >= MOST_BAD or (~bad).sum() < 2:
        first = f"; first: {report.problems[0]}".rstrip(".") if report.problems else ""
        raise BadInput(report.file, expected="at least two frames, most of them whole",
                       got=f"{int((~bad).sum())} of {len(bad)} usable{first}",
                       todo="check columns, unit, origin and the file itself")


# -- what is kept ------------------------------------------------------------------------------------------------------


def _team(moments: Moments, places: Places, at: Floats, side: int, kept: Ints, report: Report) -> Team:
    of = (places.side == side) & np.isin(places.frame, kept)
    numbers = sorted(set(places.number[of].tolist()), key=lambda n: (not n.isdecimal(), len(n), n))
    if not numbers:
        raise BadInput(f"{report.file}, {SIDES[side]} side", expected="players", got="none",
                       todo="check how the teams are called in the file")
    index = {number: n for n, number in enumerate(numbers)}
    xy = np.full((len(moments.frame_id), len(numbers), 2), np.nan)
    xy[places.frame[of], [index[number] for number in places.number[of]]] = at[of]
    return Team(tuple(numbers), (OUTFIELD,) * len(numbers), xy[kept])


def _one_clock(time_s: Floats, period: Ints) -> Floats:
    """Time that rises through all periods: a clock that starts anew goes on a minute after the period before."""
    clock = time_s.copy()
    for start in np.flatnonzero(np.diff(period, prepend=period[0]) != 0):
        if clock[start] <= clock[start - 1]:
            clock[start:] += clock[start - 1] + BREAK_S - clock[start]
    return clock


def _look_over(match: Tracking, report: Report) -> None:
    """Count what is odd without being wrong, and say if the direction looks wrong."""
    count, t = report.counts, match.time_s
    count["frames read"] += len(match)
    count["frames without a ball"] += int((~np.isfinite(match.ball_xy).all(1)).sum())
    count["gaps in time"] += int((gaps(t) & (np.diff(match.period, prepend=match.period[0]) == 0)).sum())
    count["jumps of a player (slowed to 10 m/s)"] += sum(
        int(jumps(t, team.xy, PLAYER_MPS).sum()) for team in (match.home, match.away))
    count["jumps of the ball (slowed to 35 m/s)"] += int(jumps(t, match.ball_xy, BALL_MPS).sum())
    count["places more than 3 m off the pitch (put there)"] += sum(
        int((np.isfinite(xy).all(-1) & ~match.pitch.holds(xy, OUTSIDE_M)).sum())
        for xy in (match.home.xy, match.away.xy, match.ball_xy))
    for k in np.unique(match.period):
        _direction(match, int(k), report)


def _direction(match: Tracking, period: int, report: Report) -> None:
    """The deepest player of the home side should be nearer to -x than the deepest of the away side."""
    rows = match.period == period
    means = [np.nanmedian(np.where(np.isfinite(team.xy[rows][:, n, 0]).any(), team.xy[rows][:, n, 0], 0.0))
             for team in (match.home, match.away) for n in range(len(team.numbers))]
    home, away = np.array(means[: len(match.home.numbers)]), np.array(means[len(match.home.numbers) :])
    if home.min() > away.min() and home.max() > away.max():
        report.add(None, "", f"in period {period} the home side stands as if it attacked the other way",
                   then="the direction was taken as declared: check it")
