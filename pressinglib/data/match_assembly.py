"""From the rows of any source to a match: checked frame by frame; a bad frame is named and left out."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from pressinglib.data.coordinates import Coordinates, Report
from pressinglib.data.tracking import BALL_MPS, PLAYER_MPS, SIDES, Bools, Floats, Ints, Team, Tracking, gaps, jumps
from pressinglib.errors import BadInput
from pressinglib.field.pitch import OUTSIDE_M, Pitch
from pressinglib.field.player import OUTFIELD
from pressinglib.field.situation import TEAM_SIZE

FAR_M = 10.0  # further off the pitch than this nobody is: unit or origin are wrong (own choice)
MOST_BAD = 0.5
BREAK_S = 60.0  # put between periods whose clocks start anew


@dataclass(eq=False)
class FrameRows:
    """T frames in the order of the source: number, row, clock, period, ball as it came, and what is known of it."""

    frame_id: Ints
    row: Ints
    time_s: Floats
    period: Ints
    ball: Floats
    height: Floats
    alive: Bools
    given: Ints
    bad: Bools = field(init=False)  # to be left out


@dataclass(eq=False)
class PlayerRows:
    """n rows: in which frame (a row of `FrameRows`), which side (0 home, 1 away), which number, where, which row."""

    frame: Ints
    side: Ints
    number: NDArray[np.object_]
    xy: Floats
    row: Ints


def assemble(frames: FrameRows, players: PlayerRows, coordinates: Coordinates, pitch: Pitch, report: Report,
             start_utc: str = "") -> Tracking:
    """The match in metres, the home side attacking +x; `report` gets every frame that had to be left out, and why."""
    frames.bad = np.isin(frames.frame_id, list(report.skipped))
    half = np.isnan(players.xy).sum(1) == 1
    report.counts["players with only one of x and y (taken as not seen)"] += int(half.sum())
    players.xy[half] = np.nan
    players.xy = coordinates.metres(players.xy, frames.period[players.frame], pitch)
    frames.ball = coordinates.metres(frames.ball, frames.period, pitch)
    _same_player_twice(frames, players, report)
    _too_many(frames, players, report)
    _far_off(frames, players, pitch, report)
    _clock_back(frames, report)
    _refuse(frames.bad, report)
    kept = np.flatnonzero(~frames.bad)
    home, away = (_team(frames, players, side, kept, report) for side in (0, 1))
    match = Tracking(pitch, home, away, _one_clock(frames.time_s[kept], frames.period[kept]), frames.ball[kept],
                     frames.height[kept], frames.alive[kept], frames.frame_id[kept], frames.period[kept],
                     frames.given[kept], start_utc)
    _look_over(match, report)
    return match


# -- frames that are left out ------------------------------------------------------------------------------------------


def _blame(frames: FrameRows, rows: Ints, which: Ints, column: str, words: str, report: Report) -> None:
    report.blame(rows, frames.frame_id[which], column, [words] * len(rows))
    frames.bad[which] = True


def _same_player_twice(frames: FrameRows, players: PlayerRows, report: Report) -> None:
    names, who = np.unique(players.number.astype(str), return_inverse=True)
    key = (players.frame * 2 + players.side) * max(len(names), 1) + who
    again = np.ones(len(key), bool)
    again[np.unique(key, return_index=True)[1]] = False
    _blame(frames, players.row[again], players.frame[again], "player", "the same player twice", report)


def _too_many(frames: FrameRows, players: PlayerRows, report: Report) -> None:
    here = np.isfinite(players.xy).all(1)
    count = np.bincount(players.frame[here] * 2 + players.side[here], minlength=2 * len(frames.frame_id))
    over = np.unique(np.flatnonzero(count > TEAM_SIZE) // 2)
    _blame(frames, frames.row[over], over, "team", f"more than {TEAM_SIZE} of one side", report)


def _far_off(frames: FrameRows, players: PlayerRows, pitch: Pitch, report: Report) -> None:
    every = np.arange(len(frames.frame_id))
    for column, xy, rows, which in (("x, y", players.xy, players.row, players.frame),
                                    ("ball", frames.ball, frames.row, every)):
        lost = np.isfinite(xy).all(1) & ~pitch.holds(xy, FAR_M)
        words = f"more than {FAR_M:g} m off the pitch: check unit and origin"
        _blame(frames, rows[lost], which[lost], column, words, report)


def _clock_back(frames: FrameRows, report: Report) -> None:
    """Of the frames that are left: time or period goes back."""
    rows = np.flatnonzero(~frames.bad)
    time, period = frames.time_s[rows], frames.period[rows]
    latest = np.full(len(rows), -np.inf)
    for k in np.unique(period):
        of = np.flatnonzero(period == k)
        latest[of[1:]] = np.maximum.accumulate(time[of])[:-1]
    back = rows[(time <= latest) | (period < np.maximum.accumulate(period))]
    _blame(frames, frames.row[back], back, "time", "not later than the frame before", report)


def _refuse(bad: Bools, report: Report) -> None:
    """BadInput where too little can be used."""
    if (~bad).sum() < 2 or bad.mean() >= MOST_BAD:
        first = f"; first: {report.problems[0]}".rstrip(".") if report.problems else ""
        raise BadInput(report.file, expected="at least two frames, most of them whole",
                       got=f"{int((~bad).sum())} of {len(bad)} usable{first}",
                       todo="check columns, unit, origin and the file itself")


# -- what is kept ------------------------------------------------------------------------------------------------------


def _team(frames: FrameRows, players: PlayerRows, side: int, kept: Ints, report: Report) -> Team:
    of = (players.side == side) & np.isin(players.frame, kept)
    numbers = sorted(set(players.number[of].tolist()), key=lambda n: (not n.isdecimal(), len(n), n))
    if not numbers:
        raise BadInput(f"{report.file}, {SIDES[side]} side", expected="players", got="none",
                       todo="check how the teams are called in the file")
    index = {number: n for n, number in enumerate(numbers)}
    xy = np.full((len(frames.frame_id), len(numbers), 2), np.nan)
    xy[players.frame[of], [index[number] for number in players.number[of]]] = players.xy[of]
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
    count, t, teams = report.counts, match.time_s, (match.home.xy, match.away.xy)
    count["frames read"] += len(match)
    count["frames without a ball"] += int((~np.isfinite(match.ball_xy).all(1)).sum())
    count["gaps in time"] += int((gaps(t) & (np.diff(match.period, prepend=match.period[0]) == 0)).sum())
    count["jumps of a player (slowed to 10 m/s)"] += sum(int(jumps(t, xy, PLAYER_MPS).sum()) for xy in teams)
    count["jumps of the ball (slowed to 35 m/s)"] += int(jumps(t, match.ball_xy, BALL_MPS).sum())
    count["places more than 3 m off the pitch (put there)"] += sum(
        int((np.isfinite(xy).all(-1) & ~match.pitch.holds(xy, OUTSIDE_M)).sum()) for xy in (*teams, match.ball_xy))
    for k in np.unique(match.period):
        _look_at_direction(match, int(k), report)


def _look_at_direction(match: Tracking, period: int, report: Report) -> None:
    """The deepest player of the home side should be nearer to -x than the deepest of the away side."""
    home, away = (_usual_x(team.xy[match.period == period, :, 0]) for team in (match.home, match.away))
    if home.min() > away.min() and home.max() > away.max():
        report.add(None, "", f"in period {period} the home side stands as if it attacked the other way",
                   then="the direction was taken as declared: check it")


def _usual_x(x: Floats) -> Floats:
    """(N,) the median of each player, 0 for who is never seen."""
    return np.nanmedian(np.where(np.isfinite(x).any(0), x, 0.0), axis=0)
