"""What is said of the numbers of a source, set against the numbers themselves: what cannot be is refused, or named."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from pressinglib.data.coordinates import ORIGINS, UNITS, Coordinates, Report, some
from pressinglib.data.tracking import BALL_MPS, PLAYER_MPS, SIDES, Floats, Ints, Tracking, gaps, jumps
from pressinglib.errors import BadInput
from pressinglib.field.pitch import OUTSIDE_M, Pitch
from pressinglib.roles.picture import norm
from pressinglib.tables import listed, pandas_or_say

FAR_M = 10.0  # further off the pitch than this nobody is: unit or origin are wrong (own choice)
SPREAD_M = (8.0, 35.0)  # of a side about its middle; in a match 15 to 25 (this and the next three: own choice)
ON_PITCH = 0.95  # of all places
BALL_USUALLY_M = 3.0  # more than this above the ground it is for less than half of the time
STILL_S = 10.0  # nobody stands so long to the millimetre
LOOK_S = 300.0  # the direction is looked at in such stretches
USUAL_MPS = (0.1, 12.0)  # half of those who move are slower; in a match 1 to 2
LONGEST_STEP_S = 10.0
CLOCKS = {"seconds": 1.0, "milliseconds": 0.001, "minutes": 60.0, "numbers of frames": 0.04}
FEWEST = 7  # players of whom a spread says something


def check_places(xy: Floats, period: Ints, group: Ints, told: Coordinates, pitch: Pitch, report: Report) -> None:
    """BadInput where the places (n, 2), read as told, are not those of teams on a pitch; it says what they could be.

    Rows of one `group` are a side in a frame.
    """
    def wrong(unit: str, origin: str) -> str:
        placed = replace(told, unit=unit, origin=origin).metres(xy, period, pitch)
        spread_m = _spread_m(placed, group)
        on_pitch = pitch.holds(placed, FAR_M).sum() / max(np.isfinite(placed).all(1).sum(), 1)
        bad = spread_m < SPREAD_M[0] or spread_m > SPREAD_M[1] or on_pitch < ON_PITCH  # NaN: too few to tell
        return f"{spread_m:.3g} m, {on_pitch:.0%} of the places, as {unit} from the {origin}" if bad else ""

    got = wrong(told.unit, told.origin)
    if got:
        others = [f"{unit} from the {origin}" for unit in UNITS for origin in ORIGINS if not wrong(unit, origin)]
        low, high = SPREAD_M
        likely = listed(others, "or", "no match")
        raise BadInput(f"{report.file}, x and y", expected=f"teams spread over {low:g}-{high:g} m, on the pitch",
                       got=got + report.first, todo=f"check unit and origin: it looks like {likely}")


def _spread_m(xy: Floats, group: Ints) -> float:
    """How far a side is spread about its middle (root mean square), usually; NaN where fewer than 7 are seen."""
    here = np.isfinite(xy).all(1)
    sides = pandas_or_say().DataFrame(xy[here]).groupby(group[here])
    return float(np.sqrt(sides.var(ddof=0).sum(axis=1)[sides.size() >= FEWEST].median()))


def check_times(match: Tracking, report: Report) -> None:
    """BadInput where steps of time and speeds are not those of a match in seconds; it says what they could be."""
    steps, places = np.diff(match.time_s), np.concatenate([match.home.xy, match.away.xy], axis=1)
    speed = norm(np.diff(places, axis=0)) / steps[:, None]
    step, pace = float(np.median(steps)), float(np.median(speed[speed > 0])) if (speed > 0).any() else np.nan
    report.note(f"{1 / step:.4g} frames a second; who moves has {pace:.2g} m/s, usually")
    fit = [words for words, seconds in CLOCKS.items() if step * seconds <= LONGEST_STEP_S
           and not (pace / seconds < USUAL_MPS[0] or pace / seconds > USUAL_MPS[1])]  # NaN: nobody moves
    if "seconds" not in fit:
        raise BadInput(f"{report.file}, time", expected="seconds", got=f"steps of {step:.3g}, in one of which a player "
                       f"moves {pace:.2g} m", todo=f"check the times: they look like {listed(fit, 'or', 'no clock')}")


def look_over(match: Tracking, report: Report) -> None:
    """Count what is odd without being wrong, and say if the direction looks wrong."""
    height_m = float(np.median(match.ball_height_m))
    if height_m > BALL_USUALLY_M:
        raise BadInput(f"{report.file}, z", expected="metres, with the ball near the ground for most of the time",
                       got=f"{height_m:.3g}, usually", todo="check the unit of z")
    count, t, teams = report.counts, match.time_s, (match.home.xy, match.away.xy)
    count["frames read"] += len(match)
    count["frames without a ball"] += int((~np.isfinite(match.ball_xy).all(1)).sum())
    count["gaps in time"] += int((gaps(t) & (np.diff(match.period, prepend=match.period[0]) == 0)).sum())
    count["jumps of a player (slowed to 10 m/s)"] += sum(int(jumps(t, xy, PLAYER_MPS).sum()) for xy in teams)
    count["jumps of the ball (slowed to 35 m/s)"] += int(jumps(t, match.ball_xy, BALL_MPS).sum())
    still = [f"{number} ({side}) for {still_s:.0f} s" for side in SIDES for number, still_s in zip(
        getattr(match, side).numbers, _longest_still_s(t, getattr(match, side).xy), strict=True) if still_s >= STILL_S]
    if still:
        report.note(f"still to the millimetre, so perhaps not seen: {some(still)}")
    count["places more than 3 m off the pitch (put there)"] += sum(
        int((np.isfinite(xy).all(-1) & ~match.pitch.holds(xy, OUTSIDE_M)).sum()) for xy in (*teams, match.ball_xy))
    for k in np.unique(match.period):
        parts = [of for m in np.unique(t // LOOK_S) if (of := (match.period == k) & (t // LOOK_S == m)).any()]
        turned = [of for of in parts if _turned(*(team[of, :, 0] for team in teams))]
        if turned:
            since = "" if len(turned) == len(parts) else f" from {match.clock_s[turned[0]][0]:.0f} s on the clock"
            report.add(None, "", f"in period {k}{since} the home side stands as if it attacked the other way",
                       then="the direction was taken as declared: check it")


def _longest_still_s(time_s: Floats, xy: Floats) -> Floats:
    """(N,) for how long nobody's place (T, N, 2) changes at all, at the most."""
    still = np.vstack([np.zeros((1, xy.shape[1]), bool), (np.diff(xy, axis=0) == 0).all(-1)])
    since = np.maximum.accumulate(np.where(still, -np.inf, time_s[:, None]), axis=0)
    return np.asarray((time_s[:, None] - since).max(0))


def _turned(*x: Floats) -> bool:
    """The deepest at home, who should be nearer to -x, is not; by each player's median, 0 for who is never seen."""
    home, away = (np.nanmedian(np.where(np.isfinite(of).any(0), of, 0.0), axis=0) for of in x)
    return bool(home.min() > away.min() and home.max() > away.max())
