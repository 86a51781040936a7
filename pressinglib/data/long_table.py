"""A match as a plain long table, one row a player and frame, the ball in rows of its own; every source becomes one.

It is checked row by row; what is wrong is named, and its frame left out.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import count
from pathlib import Path
from typing import Any

import numpy as np

from pressinglib.data.coordinates import Coordinates, Report, some
from pressinglib.data.match_folder import DECIMALS
from pressinglib.data.plausible import FAR_M, check_places, check_times, look_over
from pressinglib.data.table_files import need_columns, numbers, read_table
from pressinglib.data.tracking import LAST_PERIOD, SIDES, Floats, Ints, Team, Tracking
from pressinglib.errors import BadInput, as_known
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import NUMBER_LENGTH, OUTFIELD
from pressinglib.field.situation import TEAM_SIZE
from pressinglib.files import short
from pressinglib.tables import by_number, pandas_or_say

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
    place, width = list(table.columns).index("frame"), len(table.columns)
    for row, fields in broken.items():
        told = fields[place].strip() if place < len(fields) else ""
        known = told.isdecimal() and len(told) < 10
        report.add(row, "", f"expected {width} fields; got {len(fields)}", int(told) if known else None,
                   "" if known else "row left out")
    table = table[[name for name in (*NEEDED, *OPTIONAL) if name in table]]
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
    check_times(match, report)
    look_over(match, report)
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
    if not len(table):
        raise BadInput(report.file, expected="rows, each with its frame", got=f"none that fits{report.first}",
                       todo="check the marks between the columns, and the columns frame and period")
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


def _text(table: Any, name: str) -> Any:
    return table[name].astype(str).str.strip()


def _flags(table: Any, name: str, otherwise: bool, report: Report) -> Any:
    """Yes or no, as said; where it is blank, or something else, the other."""
    said = _text(table, name).str.lower()
    report.blame(table, ~said.isin(YES + NO) & table[name].notna(), name, "expected 1 or 0; got {got}")
    return said.isin(YES) | (~said.isin(NO) & otherwise)


def _sides(table: Any, home: str, away: str, report: Report) -> Any:
    """Rows of the two teams and of the ball, with their side."""
    team = _text(table, "team")
    if home == away or not {home, away} <= (found := set(team.unique())):
        raise BadInput(f"table {report.file}, column team", expected=f"the two teams {home!r} and {away!r}",
                       got=", ".join(sorted(map(repr, found))[:6]), todo="say what home and away are called")
    ball = (team.str.lower() == BALL) | ("ball" in table and _flags(table, "ball", False, report))
    side = np.select([ball, team == home, team == away], [THE_BALL, HOME, AWAY], OTHERS)
    if others := team[side == OTHERS].unique().tolist():
        report.note(f"neither {home} nor {away} nor the ball, left out: {some([*map(repr, others)])}")
    report.counts["rows of officials and others, left out"] += int((side == OTHERS).sum())
    return table.assign(side=side)[side != OTHERS]


def _values(table: Any, home: str, away: str, report: Report) -> Any:
    """Rows of the two teams and of the ball: floats for places and times, texts for players, flags for the ball."""
    table = _sides(table, home, away, report)
    report.blame(table, table["time"].isna(), "time", "expected a number; got nothing")
    made: dict[str, Any] = {"z": 0.0, "clock": np.nan, "alive": True, "given": 0}
    for name in ("x", "y", "time", "z", "clock"):
        if name in table:
            made[name], wrong = numbers(table[name])
            report.blame(table, wrong, name, "expected a number; got {got}")
    made["time"] = made["time"].round(DECIMALS["t"])
    if "alive" in table:
        made["alive"] = _flags(table, "alive", True, report)
    else:
        report.note("no column alive: the ball is taken as in play throughout")
    if "possession" in table:
        who = _text(table, "possession")
        made["given"] = (who == home).astype(int) - (who == away)
    name, men = "number" if "number" in table else "player", table["side"] != THE_BALL
    for key, of in (("id", "player"), ("number", name)):
        made[key] = _text(table, of).str.replace(r"\.0$", "", regex=True).where(men & table[of].notna(), "")
    known, fits = (made["id"] != "") | ~men, made["number"].str.len() <= NUMBER_LENGTH
    report.blame(table, ~known, "player", "expected who it is; got nothing")
    report.blame(table, ~fits, name, f"expected a number of 1-{NUMBER_LENGTH} characters; got {{got}}")
    table = table.assign(**made)[known & fits]
    return table.assign(number=_shirts(table, report))


def _shirts(table: Any, report: Report) -> Any:
    """Each row's number: the first on that shirt; who has none of his own gets the lowest that is free."""
    known = [*table[["side", "id", "number"]].drop_duplicates().itertuples(index=False, name=None)]
    of: dict[tuple[int, str], str] = {}  # who wears it
    found = {(side, who): "" for side, who, _ in known}
    for side, who, number in known:
        if number and not found[side, who] and of.setdefault((side, number), who) == who:
            found[side, who] = number
    without = [key for key in sorted(found) if not found[key] and key[0] != THE_BALL]
    for side, who in without:
        found[side, who] = next(n for n in map(str, count(1)) if (side, n) not in of)
        of[side, found[side, who]] = who
    other = [(side, who) for side, who, number in known if number not in ("", found[side, who])]
    other = [key for key in dict.fromkeys(other) if key not in without]
    for words, keys in ("players without a shirt number of their own", without), ("numbers that change", other):
        names = [f"{short(who, 20)} ({SIDES[side]}) is {found[side, who]}" for side, who in keys]
        if names:
            report.note(f"{words}: {some(names)}")
    return np.array([*found.values()], object)[table.groupby(["side", "id"], sort=False).ngroup()]


def _placed(table: Any, told: Coordinates, pitch: Pitch, report: Report) -> Any:
    """In metres, each player once a frame."""
    xy, period, men = table[["x", "y"]].to_numpy(float), table["period"].to_numpy(), table["side"] != THE_BALL
    half = np.isnan(xy).sum(1) == 1
    report.counts["players with only one of x and y (taken as not seen)"] += int((half & men).sum())
    xy[half] = np.nan
    check_places(xy[men], period[men], (2 * table["group"] + table["side"])[men].to_numpy(), told, pitch, report)
    xy = told.metres(xy, period, pitch)
    table = table.assign(x=xy[:, 0], y=xy[:, 1])
    again = table.duplicated(WHO)
    same = again & table.duplicated([*WHO, "x", "y"])
    report.counts["rows that stand twice (merged)"] += int(same.sum())
    lost = table["x"].notna() & ~pitch.holds(xy, FAR_M)
    for who, of in (("", men), ("the ball ", ~men)):
        report.blame(table, of & lost, "x, y", f"{who}more than {FAR_M:g} m off the pitch: check unit, origin, pitch")
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
    wrong = whole.groupby("period")["time"].transform(_out_of_order)
    report.blame(whole, wrong.astype(bool), "time", "not later than the frame before, or later than one after it")
    whole = whole[~whole["frame"].isin(report.skipped)]
    if len(whole) < 2 or len(whole) <= MOST_BAD * len(frames):
        raise BadInput(report.file, expected="at least two frames, most of them whole",
                       got=f"{len(whole)} of {len(frames)} usable{report.first}",
                       todo="check columns, unit, origin and the file itself")
    return whole


def _out_of_order(times: Any) -> Any:
    """The moments without which times rise: those that are late, or those that are early, whichever are fewer."""
    late, early = times <= times.cummax().shift(), times >= times[::-1].cummin().shift()[::-1]
    return late if late.sum() <= early.sum() else early


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
