"""From the rows of any source to a match: checked frame by frame; a bad frame is named and left out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from pressinglib.data.coordinates import ORIGINS, UNITS, Coordinates, Report
from pressinglib.data.tracking import BALL_MPS, PLAYER_MPS, SIDES, Bools, Floats, Ints, Team, Tracking, gaps, jumps
from pressinglib.errors import BadInput
from pressinglib.field.pitch import OUTSIDE_M, Pitch
from pressinglib.field.player import OUTFIELD
from pressinglib.field.situation import TEAM_SIZE
from pressinglib.files import short
from pressinglib.tables import listed

FAR_M = 10.0  # further off the pitch than this nobody is: unit or origin are wrong (own choice)
MOST_BAD = 0.5
SPREAD_M = (8.0, 35.0)  # of a side about its middle; in a match 15 to 25 (this and the next three: own choice)
ON_PITCH = 0.9  # of all places
USUAL_MPS = (0.1, 12.0)  # half of those who move are slower; in a match 1 to 2
LONGEST_STEP_S = 10.0
CLOCKS = {"seconds": 1.0, "milliseconds": 0.001, "minutes": 60.0, "numbers of frames": 0.04}
FEWEST = 7  # players of whom a spread says something
SORTED = "rows were not in the order of period and frame: sorted"
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
    clock_s: Floats
    bad: Bools = field(init=False)  # to be left out


@dataclass(eq=False)
class PlayerRows:
    """n rows: in which frame (a row of `FrameRows`), which side (0 home, 1 away), which number, where, which row."""

    frame: Ints
    side: Ints
    number: NDArray[np.object_]
    xy: Floats
    row: Ints
    ids: Mapping[tuple[int, str], str]  # the source's name for a side and number


def assemble(frames: FrameRows, players: PlayerRows, coordinates: Coordinates, pitch: Pitch, report: Report,
             start_utc: str = "") -> Tracking:
    """The match in metres, the home side attacking +x; `report` gets every frame that had to be left out, and why."""
    _sort(frames, players, report)
    frames.bad = np.isin(frames.frame_id, list(report.skipped))
    half = np.isnan(players.xy).sum(1) == 1
    report.counts["players with only one of x and y (taken as not seen)"] += int(half.sum())
    players.xy[half] = np.nan
    _check_places(frames, players, coordinates, pitch, report)
    players.xy = coordinates.metres(players.xy, frames.period[players.frame], pitch)
    frames.ball = coordinates.metres(frames.ball, frames.period, pitch)
    _same_player_twice(frames, players, report)
    _too_many(frames, players, report)
    _far_off(frames, players, pitch, report)
    _clock_back(frames, report)
    _refuse(frames, report)
    kept = np.flatnonzero(~frames.bad)
    home, away = (_team(frames, players, side, kept, report) for side in (0, 1))
    match = Tracking(pitch, home, away, _one_clock(frames.time_s[kept], frames.period[kept]), frames.ball[kept],
                     frames.height[kept], frames.alive[kept], frames.frame_id[kept], frames.period[kept],
                     frames.given[kept], start_utc, frames.clock_s[kept])
    _check_times(match, report)
    _look_over(match, report)
    return match


# -- what is said of the numbers, against the numbers ------------------------------------------------------------------


def _sort(frames: FrameRows, players: PlayerRows, report: Report) -> None:
    order = np.lexsort((frames.frame_id, frames.period))
    if (np.diff(order) < 0).any():
        report.note(SORTED)
        players.frame = np.argsort(order)[players.frame]
        for name, values in list(vars(frames).items()):
            setattr(frames, name, values[order])


def _check_places(frames: FrameRows, players: PlayerRows, told: Coordinates, pitch: Pitch, report: Report) -> None:
    """BadInput where the places, read as told, are not those of teams on a pitch; it says as what they could be."""
    def wrong(unit: str, origin: str) -> str:
        xy = replace(told, unit=unit, origin=origin).metres(players.xy, frames.period[players.frame], pitch)
        spread_m = _spread_m(players, xy)
        on_pitch = pitch.holds(xy, FAR_M).sum() / max(np.isfinite(xy).all(1).sum(), 1)
        bad = spread_m < SPREAD_M[0] or spread_m > SPREAD_M[1] or on_pitch < ON_PITCH  # NaN: too few to tell
        return f"{spread_m:.3g} m, {on_pitch:.0%} of the places, as {unit} from the {origin}" if bad else ""

    got = wrong(told.unit, told.origin)
    if got:
        others = [f"{unit} from the {origin}" for unit in UNITS for origin in ORIGINS if not wrong(unit, origin)]
        low, high = SPREAD_M
        raise BadInput(f"{report.file}, x and y", expected=f"teams spread over {low:g}-{high:g} m, on the pitch",
                       got=got, todo=f"check unit and origin: it looks like {listed(others, 'or', 'no match')}")


def _spread_m(players: PlayerRows, xy: Floats) -> float:
    """How far a side is spread about its middle (root mean square), usually; NaN where fewer than 7 are seen."""
    here = np.isfinite(xy).all(1)
    group = (players.frame * 2 + players.side)[here]
    count = np.maximum(np.bincount(group), 1)
    squares = np.zeros(len(count))
    for x in xy[here].T:
        squares += np.bincount(group, x**2) / count - (np.bincount(group, x) / count) ** 2
    return float(np.sqrt(np.median(squares[count >= FEWEST].clip(0)))) if (count >= FEWEST).any() else np.nan


def _check_times(match: Tracking, report: Report) -> None:
    """BadInput where steps of time and speeds are not those of a match in seconds; it says what they could be."""
    steps, places = np.diff(match.time_s), np.concatenate([match.home.xy, match.away.xy], axis=1)
    speed = np.hypot(*np.moveaxis(np.diff(places, axis=0), -1, 0)) / steps[:, None]
    step, pace = float(np.median(steps)), float(np.median(speed[speed > 0])) if (speed > 0).any() else np.nan
    report.note(f"{1 / step:.4g} frames a second; who moves has {pace:.2g} m/s, usually")
    fit = [words for words, seconds in CLOCKS.items() if step * seconds <= LONGEST_STEP_S
           and not (pace / seconds < USUAL_MPS[0] or pace / seconds > USUAL_MPS[1])]  # NaN: nobody moves
    if "seconds" not in fit:
        raise BadInput(f"{report.file}, time", expected="seconds", got=f"steps of {step:.3g}, in one of which a player "
                       f"moves {pace:.2g} m", todo=f"check the times: they look like {listed(fit, 'or', 'no clock')}")


# -- frames that are left out ------------------------------------------------------------------------------------------


def _blame(frames: FrameRows, rows: Ints, which: Ints, column: str, words: str, report: Report) -> None:
    report.blame(rows, frames.frame_id[which], column, [words] * len(rows))
    frames.bad[which] = True


def _same_player_twice(frames: FrameRows, players: PlayerRows, report: Report) -> None:
    names, who = np.unique(players.number.astype(str), return_inverse=True)
    key = (players.frame * 2 + players.side) * max(len(names), 1) + who
    _, first, which = np.unique(key, return_index=True, return_inverse=True)
    again, xy = first[which] != np.arange(len(key)), np.nan_to_num(players.xy, nan=np.inf)
    same = again & (xy == xy[first[which]]).all(1)
    report.counts["rows that stand twice (merged)"] += int(same.sum())
    _blame(frames, players.row[again & ~same], players.frame[again & ~same], "player", "in two places at once", report)
    for name in ("frame", "side", "number", "xy", "row"):
        setattr(players, name, getattr(players, name)[~again])


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


def _refuse(frames: FrameRows, report: Report) -> None:
    """BadInput where too little can be used."""
    if not np.isfinite(frames.ball).all(1).any():
        raise BadInput(f"{report.file}, ball", expected="its places", got="none in any frame",
                       todo="check what the ball is called in the file")
    bad = frames.bad
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
    ids = (short(players.ids.get((side, n), n)).encode("utf-8", "replace").decode() for n in numbers)
    return Team(tuple(numbers), (OUTFIELD,) * len(numbers), xy[kept], tuple(ids))


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
