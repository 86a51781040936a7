"""A match as a plain long table, one row a player and frame, the ball in rows of its own; every source becomes one.

It is checked row by row; what is wrong is named, and its frame left out.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from pressinglib.data.coordinates import ORIGINS, UNITS, Coordinates, Report
from pressinglib.data.table_files import need_columns, numbers, read_table
from pressinglib.data.tracking import BALL_MPS, LAST_PERIOD, PLAYER_MPS, Floats, Ints, Team, Tracking, gaps, jumps
from pressinglib.errors import BadInput, as_known
from pressinglib.field.pitch import OUTSIDE_M, Pitch
from pressinglib.field.player import NUMBER_LENGTH, OUTFIELD
from pressinglib.field.situation import TEAM_SIZE
from pressinglib.files import short
from pressinglib.roles.picture import norm
from pressinglib.tables import by_number, listed, pandas_or_say

NEEDED = ("frame", "time", "team", "player", "x", "y")
OPTIONAL = ("number", "ball", "period", "clock", "z", "alive", "possession")
TEXTS = ("team", "player", "number", "possession", "alive", "ball")
YES = ("1", "1.0", "true", "yes", "alive", "in", "in_play")
NO = ("0", "0.0", "false", "no", "dead", "out", "out_of_play")
BALL = "ball"
HOME, AWAY, THE_BALL, OTHERS = range(4)
WHO = ["group", "side", "number"]
MOST_BAD = 0.5
SAME_S = 1e-6
BREAK_S = 60.0  # put between periods whose clocks start anew
FAR_M = 10.0  # further off the pitch than this nobody is: unit or origin are wrong (own choice)
SPREAD_M = (8.0, 35.0)  # of a side about its middle; in a match 15 to 25 (this and the next three: own choice)
ON_PITCH = 0.9  # of all places
USUAL_MPS = (0.1, 12.0)  # half of those who move are slower; in a match 1 to 2
LONGEST_STEP_S = 10.0
CLOCKS = {"seconds": 1.0, "milliseconds": 0.001, "minutes": 60.0, "numbers of frames": 0.04}
FEWEST = 7  # players of whom a spread says something


def read_long(path: str | Path, coordinates: Coordinates, home: str = "home", away: str = "away",
              pitch: Pitch | None = None, names: Mapping[str, str] | None = None) -> tuple[Tracking, Report]:
    """Read a match from a long table; the report names every row that was wrong, and whose frame is left out.

    Parameters
    ----------
    path : str or Path
        `.csv`, `.csv.gz` or `.parquet`; commas, semicolons, tabs or bars between the columns, decimal points or commas.
        Columns frame, time (s), team, player, x, y; optional number (on the shirt, where `player` is an id), ball (1 on
        the ball's rows, else the ball is a team called "ball"), period (1, 2, ...), clock (s, of the source's events),
        z (m), alive (1 in play), possession (a team). Who has no row in a frame, or no x and y, is not seen in it.
    coordinates : Coordinates
        Unit, origin and direction: they are never guessed.
    home, away : str
        What the two teams are called in `team`; rows of others (officials) are counted and left out.
    pitch : Pitch, optional
        105 x 68 m if left out.
    names : dict, optional
        What columns are called in the file: {"x": "pos_x"}.

    BadInput if a column is missing, or no more than half of the frames can be used.

    >>> import tempfile
    >>> rows = ["f,time,team,player,x,y", "0,0,A,9,0,0", "0,0,B,4,9,0", "0,0,ball,,0,0", "1,.1,A,9,here,0",
    ...         "1,.1,B,4,9,0", "2,.2,A,9,.5,0", "2,.2,B,4,9,0"]
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     file = Path(folder, "match.csv")
    ...     _ = file.write_text("\\n".join(rows))
    ...     match, report = read_long(file, Coordinates("m", "centre", "right"), "A", "B", names={"frame": "f"})
    >>> match.home.xy[:, 0, 0].tolist(), report.problems[0].row, report.problems[0].what
    ([0.0, 0.5], 4, "expected a number; got 'here'")
    """
    file, called = Path(path), dict(names or {})
    for ours in called:
        as_known(ours, (*NEEDED, *OPTIONAL), "column")
    report = Report(file.name)
    table, broken = read_table(file, [called.get(name, name) for name in TEXTS])
    report.notes += table.attrs.get("notes", ())
    table = table.rename(columns={theirs: ours for ours, theirs in called.items()})
    need_columns(table, NEEDED, f"table {file.name}", "say what they are called in the file")
    place = list(table.columns).index("frame")
    for row, fields in broken.items():
        told = fields[place].strip() if place < len(fields) else ""
        known = told.isdecimal() and len(told) < 10
        report.add(row, "", f"expected {len(table.columns)} fields; got {len(fields)}", int(told) if known else None,
                   "" if known else "row left out")
    return match_of(table, coordinates, pitch or Pitch(), report, home, away), report


def match_of(table: Any, coordinates: Coordinates, pitch: Pitch, report: Report, home: str = "home",
             away: str = "away") -> Tracking:
    """The match in metres, the home side attacking +x, of a long table; its index are the rows of the source."""
    table = _placed(_values(_in_order(table, report), home, away, report), coordinates, pitch, report)
    kept = _moments(table, report)
    table = table.assign(place=pandas_or_say().Index(kept["group"]).get_indexer(table["group"]))
    table = table[table["place"] >= 0]
    ball, home_men, away_men = (table[table["side"] == side] for side in (THE_BALL, HOME, AWAY))
    ball_xyz = np.full((len(kept), 3), (np.nan, np.nan, 0.0))
    ball_xyz[ball["place"]] = ball[["x", "y", "z"]].fillna({"z": 0.0})
    period, time = kept["period"].to_numpy(), kept["time"].to_numpy()
    match = Tracking(pitch, _team(home_men, "home", len(kept), report), _team(away_men, "away", len(kept), report),
                     _one_clock(time, period), ball_xyz[:, :2], ball_xyz[:, 2], kept["alive"] > 0, kept["frame"],
                     period, kept["given"], kept["clock"].fillna(kept["time"]))
    _check_times(match, report)
    _look_over(match, report)
    return match


# -- row by row --------------------------------------------------------------------------------------------------------


def _in_order(table: Any, report: Report) -> Any:
    """Rows that have a frame and a period, in their order, with the running number of the frame as `group`."""
    frame, wrong = numbers(table["frame"], whole=True)
    report.blame(table, wrong, "frame", "expected a whole number; got {got}", "row left out")
    report.counts["rows without a frame"] += int(np.isnan(frame).sum())
    table = table.assign(frame=frame)[~np.isnan(frame)].astype({"frame": int})
    if "period" not in table:
        table = table.assign(period=1)
        report.note("no column period: one period taken")
    period, _ = numbers(table["period"], whole=True)
    known = (period >= 1) & (period <= LAST_PERIOD)
    report.blame(table, ~known, "period", f"expected a number from 1 to {LAST_PERIOD}; got {{got}}")
    table = table.assign(period=period)[known].astype({"period": int})
    table["group"] = table.groupby(["period", "frame"]).ngroup()
    if not table["group"].is_monotonic_increasing:
        report.note("rows were not in the order of period and frame: sorted")
        table = table.sort_values("group", kind="stable")
    first = table.drop_duplicates("group")
    if first["frame"].duplicated().any():
        report.note("frame numbers start anew in a later period: frames are numbered by their order")
        report.skipped = set(first["group"][first["frame"].isin(report.skipped)])
        table["frame"] = table["group"]
    return table


def _values(table: Any, home: str, away: str, report: Report) -> Any:
    """Rows of the two teams and of the ball: floats for places and times, texts for players, flags for the ball."""
    def text(name: str) -> Any:
        return table[name].astype(str).str.strip()

    def flags(name: str, otherwise: bool) -> Any:
        """Yes or no, as said; where it is blank, or something else, the other."""
        said = text(name).str.lower()
        report.blame(table, ~said.isin(YES + NO) & table[name].notna(), name, "expected 1 or 0; got {got}")
        return said.isin(YES) | (~said.isin(NO) & otherwise)

    team = text("team")
    if home == away or not {home, away} <= (found := set(team.unique())):
        raise BadInput(f"table {report.file}, column team", expected=f"the two teams {home!r} and {away!r}",
                       got=", ".join(sorted(map(repr, found))[:6]), todo="say what home and away are called")
    ball = (team.str.lower() == BALL) | ("ball" in table and flags("ball", False))
    side = np.select([ball, team == home, team == away], [THE_BALL, HOME, AWAY], OTHERS)
    report.counts["rows of officials and others, left out"] += int((side == OTHERS).sum())
    table = table.assign(side=side)[side != OTHERS]
    report.blame(table, table["time"].isna(), "time", "expected a number; got nothing")
    made: dict[str, Any] = {"z": 0.0, "clock": np.nan, "alive": True, "given": 0}
    for name in ("x", "y", "time", "z", "clock"):
        if name in table:
            made[name], wrong = numbers(table[name])
            report.blame(table, wrong, name, "expected a number; got {got}")
    if "alive" in table:
        made["alive"] = flags("alive", True)
    else:
        report.note("no column alive: the ball is taken as in play throughout")
    if "possession" in table:
        who = text("possession")
        made["given"] = (who == home).astype(int) - (who == away)
    name, men = "number" if "number" in table else "player", table["side"] != THE_BALL
    made["id"], made["number"] = (text(of).str.replace(r"\.0$", "", regex=True) for of in ("player", name))
    fits = made["number"].str.len().between(1, NUMBER_LENGTH) & table[name].notna()
    made["number"] = made["number"].where(men, "")
    report.blame(table, men & ~fits, name, f"expected a number of 1-{NUMBER_LENGTH} characters; got {{got}}")
    return table.assign(**made)[fits | ~men]


def _placed(table: Any, told: Coordinates, pitch: Pitch, report: Report) -> Any:
    """In metres, each player once a frame."""
    xy, period, men = table[["x", "y"]].to_numpy(float), table["period"].to_numpy(), table["side"] != THE_BALL
    half = np.isnan(xy).sum(1) == 1
    report.counts["players with only one of x and y (taken as not seen)"] += int((half & men).sum())
    xy[half] = np.nan
    _check_places(xy[men], period[men], (2 * table["group"] + table["side"])[men].to_numpy(), told, pitch, report)
    xy = told.metres(xy, period, pitch)
    table = table.assign(x=xy[:, 0], y=xy[:, 1])
    again = table.duplicated(WHO)
    same = again & table.duplicated([*WHO, "x", "y"])
    report.counts["rows that stand twice (merged)"] += int(same.sum())
    lost = table["x"].notna() & ~pitch.holds(xy, FAR_M)
    for who, of in (("", men), ("the ball ", ~men)):
        report.blame(table, of & lost, "x, y", f"{who}more than {FAR_M:g} m off the pitch: check unit and origin")
        report.blame(table, of & again & ~same, "player", f"{who}in two places at once")
    table = table[~again]
    seen = table[(table["side"] != THE_BALL) & table["x"].notna()]
    twelfth = seen.groupby(["group", "side"]).cumcount() == TEAM_SIZE
    report.blame(seen, twelfth, "team", f"more than {TEAM_SIZE} of one side")
    return table


# -- frame by frame ----------------------------------------------------------------------------------------------------


def _moments(table: Any, report: Report) -> Any:
    """One row a frame that is whole: number, period, time, clock, what the source says of the ball; else BadInput."""
    if not table["x"][table["side"] == THE_BALL].notna().any():
        raise BadInput(f"{report.file}, ball", expected="its places", got="none in any frame",
                       todo="check what the ball is called in the file")
    groups = table.groupby("group")
    for name in ("time", "clock"):
        other = (table[name] - groups[name].transform("first")).abs() > SAME_S
        report.blame(table, other, name, "another one than in the rows before of this frame; got {got}")
    frames = table.drop_duplicates("group").assign(
        alive=groups["alive"].min().to_numpy(), given=np.sign(groups["given"].sum().to_numpy()),
        **{name: groups[name].first().to_numpy() for name in ("time", "clock")})
    whole = frames[~frames["frame"].isin(report.skipped)]
    latest = whole.groupby("period")["time"].transform(lambda times: times.cummax().shift())
    report.blame(whole, whole["time"] <= latest, "time", "not later than the frame before")
    whole = whole[~whole["frame"].isin(report.skipped)]
    if len(whole) < 2 or len(whole) <= MOST_BAD * len(frames):
        raise BadInput(report.file, expected="at least two frames, most of them whole",
                       got=f"{len(whole)} of {len(frames)} usable{report.first}",
                       todo="check columns, unit, origin and the file itself")
    return whole


def _team(table: Any, side: str, count: int, report: Report) -> Team:
    sheet = table.drop_duplicates("number").set_index("number")["id"]
    names = sorted(sheet.index, key=by_number)
    if not names:
        raise BadInput(f"{report.file}, {side} side", expected="players", got="none",
                       todo="check how the teams are called in the file")
    xy = np.full((count, len(names), 2), np.nan)
    xy[table["place"], pandas_or_say().Index(names).get_indexer(table["number"])] = table[["x", "y"]]
    ids = (short(name).encode("utf-8", "replace").decode() for name in sheet[names])
    return Team(tuple(names), (OUTFIELD,) * len(names), xy, tuple(ids))


def _one_clock(time_s: Floats, period: Ints) -> Floats:
    """Time that rises through all periods: a clock that starts anew goes on a minute after the period before."""
    clock = time_s.copy()
    for start in np.flatnonzero(np.diff(period, prepend=period[0]) != 0):
        if clock[start] <= clock[start - 1]:
            clock[start:] += clock[start - 1] + BREAK_S - clock[start]
    return clock


# -- what is said of the numbers, against the numbers themselves -------------------------------------------------------


def _check_places(xy: Floats, period: Ints, group: Ints, told: Coordinates, pitch: Pitch, report: Report) -> None:
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
        raise BadInput(f"{report.file}, x and y", expected=f"teams spread over {low:g}-{high:g} m, on the pitch",
                       got=got, todo=f"check unit and origin: it looks like {listed(others, 'or', 'no match')}")


def _spread_m(xy: Floats, group: Ints) -> float:
    """How far a side is spread about its middle (root mean square), usually; NaN where fewer than 7 are seen."""
    here = np.isfinite(xy).all(1)
    sides = pandas_or_say().DataFrame(xy[here]).groupby(group[here])
    return float(np.sqrt(sides.var(ddof=0).sum(axis=1)[sides.size() >= FEWEST].median()))


def _check_times(match: Tracking, report: Report) -> None:
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
        # each player's median, 0 for who is never seen
        home, away = (np.nanmedian(np.where(np.isfinite(x).any(0), x, 0.0), axis=0)
                      for x in (team[match.period == k, :, 0] for team in teams))
        if home.min() > away.min() and home.max() > away.max():  # the deepest at home should be nearer to -x
            report.add(None, "", f"in period {k} the home side stands as if it attacked the other way",
                       then="the direction was taken as declared: check it")
