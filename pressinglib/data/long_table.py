"""A match as a plain long table: one row a player and frame, the ball in rows of its own; CSV or Parquet."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pressinglib.data.coordinates import NAMED, Coordinates, Report
from pressinglib.data.match_assembly import SORTED, FrameRows, PlayerRows, assemble
from pressinglib.data.table_files import LARGEST_NUMBER, need_columns, numbers, read_table
from pressinglib.data.tracking import LAST_PERIOD, Bools, Ints, Tracking
from pressinglib.errors import BadInput, as_known
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import NUMBER_LENGTH
from pressinglib.files import short

NEEDED = ("frame", "time", "team", "player", "x", "y")
OPTIONAL = ("number", "ball", "period", "clock", "z", "alive", "possession")
TEXTS = ("team", "player", "number", "possession", "alive", "ball")
YES, NO = ("1", "1.0", "true", "yes", "alive", "in"), ("0", "0.0", "false", "no", "dead", "out")
BALL = "ball"
OTHERS, HOME, AWAY, THE_BALL = -1, 0, 1, 2
NO_NUMBER = "expected a number; got {got}"
WHOSE = np.array(["away", "", "home"])
MILLIMETRES = 3  # decimals kept of a metre


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
    table, frame, first = _frames(table, report)
    side = _sides(table, home, away, report)
    here, frame = np.unique(frame[side != OTHERS], return_inverse=True)
    table, first, side = table[side != OTHERS], first.iloc[here], side[side != OTHERS]
    table = _places_and_times(table, report)
    rows = _frame_rows(table, frame, first, side, home, away, report)
    return assemble(rows, _player_rows(table, frame, side, report), coordinates, pitch or Pitch(), report), report


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
        known = told.isdecimal() and len(told) <= len(f"{LARGEST_NUMBER:.0f}")
        report.add(row, "", f"expected {len(table.columns)} fields; got {len(fields)}", int(told) if known else None,
                   "" if known else "row left out")


def _blame(table: Any, rows: Bools, name: str, words: str, report: Report) -> None:
    """Leave out the frames of these rows; `words` may hold {got}, what stands there."""
    at = np.flatnonzero(rows)
    got = [repr(str(value)[:20]) for value in table[name].iloc[at]]
    report.blame(table.index.to_numpy(int)[at], table["frame"].to_numpy(int)[at], name,
                 [words.format(got=text) for text in got])


def _frames(table: Any, report: Report) -> tuple[Any, Ints, Any]:
    """Rows that have a frame; the running number of each one's frame; and the first row of each frame."""
    frame, wrong = numbers(table["frame"], whole=True)
    for k in np.flatnonzero(wrong)[:NAMED]:
        report.add(int(table.index[k]), "frame", f"expected a whole number; got {short(str(table['frame'].iloc[k]))!r}",
                   then="row left out")
    report.counts["rows without a frame"] += int(np.isnan(frame).sum())
    table = table[~np.isnan(frame)].assign(frame=frame[~np.isnan(frame)].astype(int))
    if "period" not in table:
        table = table.assign(period=1)
        report.note("no column period: one period taken")
    period, wrong = numbers(table["period"], whole=True)
    _blame(table, wrong | ~((period >= 1) & (period <= LAST_PERIOD)), "period",
           f"expected a number from 1 to {LAST_PERIOD}; got {{got}}", report)
    table = table.assign(period=np.nan_to_num(period).astype(int))
    group = table.groupby(["period", "frame"], sort=True).ngroup().to_numpy()
    if (np.diff(group) < 0).any():
        report.note(SORTED)
    first = table.iloc[np.unique(group, return_index=True)[1]]
    if first["frame"].duplicated().any():
        report.note("frame numbers start anew in a later period: frames are numbered by their order")
        report.skipped = set(np.flatnonzero(first["frame"].isin(report.skipped)).tolist())
        first, table = first.assign(frame=np.arange(len(first))), table.assign(frame=group)
    return table, group, first


def _sides(table: Any, home: str, away: str, report: Report) -> Ints:
    """(n,) 0 home, 1 away, 2 the ball, -1 others."""
    team = table["team"].astype(str).str.strip()
    found = set(team.unique())
    if home == away or not {home, away} <= found:
        raise BadInput(f"table {report.file}, column team", expected=f"the two teams {home!r} and {away!r}",
                       got=", ".join(sorted(map(repr, found))[:6]), todo="say what home and away are called")
    ball = team.str.lower() == BALL
    if "ball" in table:
        ball |= _flags(table, "ball", report) > 0
    side = np.select([ball, team == home, team == away], [THE_BALL, HOME, AWAY], OTHERS)
    report.counts["rows of officials and others, left out"] += int((side == OTHERS).sum())
    return np.asarray(side)


def _flags(table: Any, name: str, report: Report) -> Ints:
    """1 yes, 0 no, -1 blank or something else."""
    text = table[name].astype(str).str.strip().str.lower()
    flags = np.select([text.isin(YES), text.isin(NO)], [1, 0], -1)
    _blame(table, (flags < 0) & table[name].notna().to_numpy(), name, "expected 1 or 0; got {got}", report)
    return np.asarray(flags)


def _places_and_times(table: Any, report: Report) -> Any:
    """With x, y and time as floats; frames are left out where one is no number."""
    _blame(table, table["time"].isna().to_numpy(), "time", "expected a number; got nothing", report)
    for name in ("x", "y", "time"):
        values, wrong = numbers(table[name])
        _blame(table, wrong, name, NO_NUMBER, report)
        table = table.assign(**{name: values})
    return table


def _frame_rows(table: Any, frame: Ints, first: Any, side: Ints, home: str, away: str, report: Report) -> FrameRows:
    """Clock, ball and what the source says of it, one a frame."""
    count, balls = len(first), np.flatnonzero(side == THE_BALL)
    ball, height = np.full((count, 2), np.nan), np.zeros(count)
    places = table[["x", "y"]].to_numpy(float)
    ball[frame[balls]] = places[balls]
    twice = np.zeros(len(table), bool)
    twice[balls] = (np.nan_to_num(ball[frame[balls]]) != np.nan_to_num(places[balls])).any(1)
    _blame(table, twice, "team", "the ball in two places at once", report)
    if "z" in table:
        z, wrong = numbers(table["z"])
        _blame(table, wrong, "z", NO_NUMBER, report)
        height[frame[balls]] = np.nan_to_num(z[balls])
    alive, given = np.ones(count, bool), np.zeros(count, int)
    if "alive" in table:
        alive[frame[_flags(table, "alive", report) == 0]] = False
    else:
        report.note("no column alive: the ball is taken as in play throughout")
    if "possession" in table:
        who = table["possession"].astype(str).str.strip()
        given[frame[who == home]], given[frame[who == away]] = 1, -1
    if "clock" in table:
        clock, wrong = numbers(table["clock"])
        _blame(table, wrong, "clock", NO_NUMBER, report)
        table = table.assign(clock=clock)
    whole = table[[name for name in ("time", "clock") if name in table]].groupby(frame, sort=True).first()
    time = whole["time"].to_numpy(float)
    clock = whole.get("clock", whole["time"]).fillna(whole["time"]).to_numpy(float)
    return FrameRows(first["frame"].to_numpy(int), first.index.to_numpy(int), time, first["period"].to_numpy(int),
                     ball, height, alive, given, clock)


def _player_rows(table: Any, frame: Ints, side: Ints, report: Report) -> PlayerRows:
    name = "number" if "number" in table else "player"
    identity, text = (table[of].astype(str).str.strip().str.replace(r"\.0$", "", regex=True) for of in ("player", name))
    men = side != THE_BALL
    fits = (text.str.len().between(1, NUMBER_LENGTH) & table[name].notna()).to_numpy(bool)
    _blame(table, men & ~fits, name, f"expected a number of 1-{NUMBER_LENGTH} characters; got {{got}}", report)
    kept = men & fits
    number = text[kept].to_numpy(object)
    ids = dict(zip(zip(side[kept].tolist(), number, strict=True), identity[kept], strict=True))
    return PlayerRows(frame[kept], side[kept], number, table[["x", "y"]].to_numpy(float)[kept],
                      table.index.to_numpy(int)[kept], ids)


def long_columns(match: Tracking) -> dict[str, NDArray[Any]]:
    """The columns of the long table, frame by frame: the ball, then home, then away."""
    teams = (("home", match.home), ("away", match.away))
    name = np.array(["ball", *(side for side, team in teams for _ in team.numbers)], object)
    number = np.array(["", *(n for _, team in teams for n in team.numbers)], object)
    xy = np.concatenate([match.ball_xy[:, None], match.home.xy, match.away.xy], axis=1)
    here = np.isfinite(xy).all(-1)
    here[:, 0] = True  # a frame without a ball is still a frame
    row, column = np.nonzero(here)
    places = np.round(xy[row, column], MILLIMETRES)
    height = np.where(column == 0, np.round(match.ball_height_m[row], MILLIMETRES), 0.0)
    return {"frame": match.frame_id[row], "time": np.round(match.time_s[row], 4), "period": match.period[row],
            "team": name[column], "player": number[column], "x": places[:, 0], "y": places[:, 1], "z": height,
            "alive": match.alive[row].astype(int), "possession": WHOSE[match.given[row] + 1],
            "clock": np.round(match.clock_s[row], 4)}
