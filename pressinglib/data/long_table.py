"""A match as a plain long table, one row a player and frame, the ball in rows of its own; every source becomes one.

It is checked row by row; what is wrong is named, and its frame left out.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np

from pressinglib.data.coordinates import NAMED, Coordinates, Report
from pressinglib.data.plausible import FAR_M, check_places, check_times, look_over
from pressinglib.data.table_files import need_columns, numbers, read_table
from pressinglib.data.tracking import LAST_PERIOD, SIDES, Floats, Ints, Team, Tracking
from pressinglib.errors import BadInput, as_known
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import NUMBER_LENGTH, OUTFIELD
from pressinglib.field.situation import TEAM_SIZE
from pressinglib.files import short
from pressinglib.tables import pandas_or_say

NEEDED = ("frame", "time", "team", "player", "x", "y")
OPTIONAL = ("number", "ball", "period", "clock", "z", "alive", "possession")
TEXTS = ("team", "player", "number", "possession", "alive", "ball")
YES = ("1", "1.0", "true", "yes", "alive", "in", "in_play")
NO = ("0", "0.0", "false", "no", "dead", "out", "out_of_play")
BALL = "ball"
OTHERS, HOME, AWAY, THE_BALL = -1, 0, 1, 2
WHO = ["group", "side", "number"]
MOST_BAD = 0.5
SAME_S = 1e-6
BREAK_S = 60.0  # put between periods whose clocks start anew


def read_long(path: str | Path, coordinates: Coordinates, home: str = "home", away: str = "away",
              pitch: Pitch | None = None, names: Mapping[str, str] | None = None) -> tuple[Tracking, Report]:
    """Read a match from a long table.

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

    Returns
    -------
    Tracking, Report
        The report names every row that was wrong; its frame is left out.

    Raises
    ------
    BadInput
        If a column is missing, or no more than half of the frames can be used.

    Examples
    --------
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
    report = Report(file.name)
    table, broken = read_table(file, [called.get(name, name) for name in TEXTS])
    if table.attrs.get("form"):
        report.note(table.attrs["form"])
    table = _renamed(table, called, file.name)
    _blame_broken(table, broken, report)
    return match_of(table, coordinates, pitch or Pitch(), report, home, away), report


def match_of(table: Any, coordinates: Coordinates, pitch: Pitch, report: Report, home: str = "home",
             away: str = "away") -> Tracking:
    """The match in metres, the home side attacking +x, of a long table; its index are the rows of the source."""
    table = _sides(_in_order(table, report), home, away, report)
    table = _values(table, home, away, report)
    table = _placed(table, coordinates, pitch, report)
    moments = _moments(table, report)
    kept = moments[~moments["frame"].isin(report.skipped)]
    table = table.assign(place=pandas_or_say().Index(kept["group"]).get_indexer(table["group"]))
    table = table[table["place"] >= 0]
    ball, count = table[table["side"] == THE_BALL], len(kept)
    ball_xyz = np.full((count, 3), (np.nan, np.nan, 0.0))
    ball_xyz[ball["place"]] = ball[["x", "y", "z"]].fillna({"z": 0.0})
    period, time, clock = kept["period"].to_numpy(int), kept["time"].to_numpy(float), kept["clock"].to_numpy(float)
    home_team, away_team = (_team(table, side, count, report) for side in (HOME, AWAY))
    match = Tracking(pitch, home_team, away_team, _one_clock(time, period),
                     ball_xyz[:, :2], ball_xyz[:, 2], kept["alive"] > 0, kept["frame"], period, kept["given"],
                     np.where(np.isnan(clock), time, clock))
    check_times(match, report)
    look_over(match, report)
    return match


# -- the file: its columns ---------------------------------------------------------------------------------------------


def _renamed(table: Any, names: Mapping[str, str], file: str) -> Any:
    for ours in names:
        as_known(ours, (*NEEDED, *OPTIONAL), "column")
    table = table.rename(columns={theirs: ours for ours, theirs in names.items()})
    need_columns(table, NEEDED, f"table {file}", "say what they are called in the file")
    if not table.columns.is_unique:
        raise BadInput(f"table {file}", expected="a column of its own for each name", got="one name twice",
                       todo="check how the columns are called")
    return table


def _blame_broken(table: Any, broken: Mapping[int, list[str]], report: Report) -> None:
    """Rows with too many fields: of no use, and so is their frame where it can be read."""
    place = list(table.columns).index("frame")
    for row, fields in broken.items():
        told = fields[place].strip() if place < len(fields) else ""
        known = told.isdecimal() and len(told) < 10
        report.add(row, "", f"expected {len(table.columns)} fields; got {len(fields)}", int(told) if known else None,
                   "" if known else "row left out")


# -- row by row --------------------------------------------------------------------------------------------------------


def _blame(table: Any, wrong: Any, name: str, words: str, report: Report) -> None:
    """Leave out the frames of these rows; `words` may hold {got}, what stands there."""
    rows = table[np.asarray(wrong)]
    rows = rows[~rows.index.duplicated()]  # a line of the source may hold all players of a frame
    got = (rows[name] if name in rows else rows["frame"]).iloc[:NAMED]
    report.blame(rows.index.to_numpy(int), rows["frame"].to_numpy(int), name,
                 [words.format(got=_as_it_came(value)) for value in got])


def _as_it_came(value: Any) -> str:
    if value != value:
        return "nothing"
    return "a number beyond all bounds" if value in (np.inf, -np.inf) else repr(str(value)[:20])


def _in_order(table: Any, report: Report) -> Any:
    """Rows that have a frame and a period, in their order, with the running number of the frame as `group`."""
    frame, wrong = numbers(table["frame"], whole=True)
    for k in np.flatnonzero(wrong)[:NAMED]:
        report.add(int(table.index[k]), "frame", f"expected a whole number; got {short(str(table['frame'].iloc[k]))!r}",
                   then="row left out")
    report.counts["rows without a frame"] += int(np.isnan(frame).sum())
    table = table.assign(frame=frame)[~np.isnan(frame)].astype({"frame": int})
    if "period" not in table:
        table = table.assign(period=1)
        report.note("no column period: one period taken")
    period, _ = numbers(table["period"], whole=True)
    wrong = ~((period >= 1) & (period <= LAST_PERIOD))
    _blame(table, wrong, "period", f"expected a number from 1 to {LAST_PERIOD}; got {{got}}", report)
    table = table.assign(period=period)[~wrong].astype({"period": int})
    table = table.assign(group=table.groupby(["period", "frame"], sort=True).ngroup())
    if not table["group"].is_monotonic_increasing:
        report.note("rows were not in the order of period and frame: sorted")
        table = table.sort_values("group", kind="stable")
    first = table.drop_duplicates("group")
    if first["frame"].duplicated().any():
        report.note("frame numbers start anew in a later period: frames are numbered by their order")
        report.skipped = set(first["group"][first["frame"].isin(report.skipped)].tolist())
        table["frame"] = table["group"]
    return table


def _sides(table: Any, home: str, away: str, report: Report) -> Any:
    """Rows of the two teams and of the ball, with `side`: 0 home, 1 away, 2 the ball."""
    team = table["team"].astype(str).str.strip()
    found = set(team.unique())
    if home == away or not {home, away} <= found:
        raise BadInput(f"table {report.file}, column team", expected=f"the two teams {home!r} and {away!r}",
                       got=", ".join(sorted(map(repr, found))[:6]), todo="say what home and away are called")
    ball = team.str.lower() == BALL
    if "ball" in table:
        ball |= _flags(table, "ball", report) > 0
    table = table.assign(side=np.select([ball, team == home, team == away], [THE_BALL, HOME, AWAY], OTHERS))
    report.counts["rows of officials and others, left out"] += int((table["side"] == OTHERS).sum())
    return table[table["side"] != OTHERS]


def _flags(table: Any, name: str, report: Report) -> Ints:
    """1 yes, 0 no, -1 blank or something else."""
    text = table[name].astype(str).str.strip().str.lower()
    flags = np.select([text.isin(YES), text.isin(NO)], [1, 0], -1)
    _blame(table, (flags < 0) & table[name].notna(), name, "expected 1 or 0; got {got}", report)
    return np.asarray(flags)


def _values(table: Any, home: str, away: str, report: Report) -> Any:
    """With floats for places and times, texts for players, flags for what is said of the ball."""
    _blame(table, table["time"].isna(), "time", "expected a number; got nothing", report)
    found: dict[str, Any] = {"z": 0.0, "clock": np.nan, "alive": 1, "given": 0}
    for name in ("x", "y", "time", "z", "clock"):
        if name in table:
            found[name], wrong = numbers(table[name])
            _blame(table, wrong, name, "expected a number; got {got}", report)
    if "alive" in table:
        found["alive"] = _flags(table, "alive", report) != 0
    else:
        report.note("no column alive: the ball is taken as in play throughout")
    if "possession" in table:
        who = table["possession"].astype(str).str.strip()
        found["given"] = np.select([who == home, who == away], [1, -1], 0)
    name = "number" if "number" in table else "player"
    for key, of in (("id", "player"), ("number", name)):
        found[key] = table[of].astype(str).str.strip().str.replace(r"\.0$", "", regex=True)
    men = table["side"] != THE_BALL
    misfit = men & ~(found["number"].str.len().between(1, NUMBER_LENGTH) & table[name].notna())
    _blame(table, misfit, name, f"expected a number of 1-{NUMBER_LENGTH} characters; got {{got}}", report)
    return table.assign(**{**found, "number": found["number"].where(men, "")})[~misfit]


def _placed(table: Any, told: Coordinates, pitch: Pitch, report: Report) -> Any:
    """In metres, each player once a frame."""
    xy, period, men = table[["x", "y"]].to_numpy(float), table["period"].to_numpy(int), table["side"] != THE_BALL
    half = np.isnan(xy).sum(1) == 1
    report.counts["players with only one of x and y (taken as not seen)"] += int((half & men).sum())
    xy[half] = np.nan
    check_places(xy[men], period[men], (2 * table["group"] + table["side"])[men].to_numpy(int), told, pitch, report)
    xy = told.metres(xy, period, pitch)
    table = table.assign(x=xy[:, 0], y=xy[:, 1])
    again = table.duplicated(WHO)
    same = again & table.duplicated([*WHO, "x", "y"])
    report.counts["rows that stand twice (merged)"] += int(same.sum())
    for who, of in (("", men), ("the ball ", ~men)):
        lost = of & table["x"].notna() & ~pitch.holds(xy, FAR_M)
        _blame(table, lost, "x, y", f"{who}more than {FAR_M:g} m off the pitch: check unit and origin", report)
        _blame(table, again & ~same & of, "player", f"{who}in two places at once", report)
    table = table[~again]
    seen = table[(table["side"] != THE_BALL) & table["x"].notna()]
    twelfth = seen.groupby(["group", "side"]).cumcount() == TEAM_SIZE
    _blame(seen, twelfth, "team", f"more than {TEAM_SIZE} of one side", report)
    return table


# -- frame by frame ----------------------------------------------------------------------------------------------------


def _moments(table: Any, report: Report) -> Any:
    """One row a frame: number, period, time, clock, and what the source says of the ball; BadInput if few are left."""
    if not table["x"][table["side"] == THE_BALL].notna().any():
        raise BadInput(f"{report.file}, ball", expected="its places", got="none in any frame",
                       todo="check what the ball is called in the file")
    groups, first = table.groupby("group"), table.drop_duplicates("group")
    for name in ("time", "clock"):
        other = (table[name] - groups[name].transform("first")).abs() > SAME_S
        _blame(table, other, name, "another one than in the rows before of this frame; got {got}", report)
    moments = first.assign(alive=groups["alive"].min().to_numpy(), given=np.sign(groups["given"].sum().to_numpy()),
                           **{name: groups[name].first().to_numpy() for name in ("time", "clock")})
    whole = moments[~moments["frame"].isin(report.skipped)]
    latest = whole.groupby("period")["time"].transform(lambda times: times.cummax().shift())
    _blame(whole, whole["time"] <= latest, "time", "not later than the frame before", report)
    usable, count = int((~moments["frame"].isin(report.skipped)).sum()), len(moments)
    if usable < 2 or usable <= MOST_BAD * count:
        named = f"; first: {report.problems[0]}".rstrip(".") if report.problems else ""
        raise BadInput(report.file, expected="at least two frames, most of them whole",
                       got=f"{usable} of {count} usable{named}", todo="check columns, unit, origin and the file itself")
    return moments


def _team(table: Any, side: int, count: int, report: Report) -> Team:
    of = table[table["side"] == side]
    sheet = of.drop_duplicates("number").set_index("number")["id"]
    names = sorted(sheet.index, key=lambda n: (not n.isdecimal(), len(n), n))
    if not names:
        raise BadInput(f"{report.file}, {SIDES[side]} side", expected="players", got="none",
                       todo="check how the teams are called in the file")
    xy = np.full((count, len(names), 2), np.nan)
    xy[of["place"], pandas_or_say().Index(names).get_indexer(of["number"])] = of[["x", "y"]]
    ids = (short(name).encode("utf-8", "replace").decode() for name in sheet[names])
    return Team(tuple(names), (OUTFIELD,) * len(names), xy, tuple(ids))


def _one_clock(time_s: Floats, period: Ints) -> Floats:
    """Time that rises through all periods: a clock that starts anew goes on a minute after the period before."""
    clock = time_s.copy()
    for start in np.flatnonzero(np.diff(period, prepend=period[0]) != 0):
        if clock[start] <= clock[start - 1]:
            clock[start:] += clock[start - 1] + BREAK_S - clock[start]
    return clock
