"""A match as a plain long table, in the form that `read_long` reads with `METRES`."""

from __future__ import annotations

import csv
import gzip
import re
import secrets
import warnings
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pressinglib.data.coordinates import Coordinates, Report
from pressinglib.data.match_assembly import Moments, Places, assemble
from pressinglib.data.tracking import Tracking
from pressinglib.errors import BadInput, UnknownName
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import NUMBER_LENGTH
from pressinglib.tables import pandas_or_say

# -- Tables on disk: CSV or Parquet, read with care and written whole or not at all.


KINDS = (".parquet", ".csv", ".csv.gz")


def kind_of(path: Path) -> str:
    """The ending of a table's name, or BadInput."""
    for kind in KINDS:
        if path.name.lower().endswith(kind):
            return kind
    raise BadInput(f"table {path.name}", expected="a name that ends in " + ", ".join(KINDS), got=repr(path.suffix),
                   todo="choose one of these formats")


def read_table(path: Path, texts: Iterable[str] = ()) -> tuple[Any, dict[int, list[str]]]:
    """The table, its index the row numbers (1 is the first below the header), and the CSV rows with too many fields.

    `texts` names the columns that are read as text even where they hold numbers only.
    """
    pandas, kind = pandas_or_say(), kind_of(path)
    try:
        if kind == ".parquet":
            table, broken = pandas.read_parquet(path), dict[int, list[str]]()
        else:
            table, broken = _read_csv(pandas, path, list(texts))
    except (OSError, ValueError, ImportError) as error:
        raise BadInput(f"table {path.name}", expected="a readable table", got=f"{type(error).__name__}",
                       todo="check that the file is there, whole, and what its ending says") from error
    rows = [n for n in range(1, len(table) + len(broken) + 1) if n not in broken] if broken else None
    table.index = pandas.RangeIndex(1, len(table) + 1) if rows is None else pandas.Index(rows)
    return table, broken


def _read_csv(pandas: Any, path: Path, texts: list[str]) -> tuple[Any, dict[int, list[str]]]:
    """pandas names the lines it cannot split in a warning, and goes on."""
    with warnings.catch_warnings(record=True) as said:
        warnings.simplefilter("always")
        table = pandas.read_csv(path, dtype=dict.fromkeys(texts, str), on_bad_lines="warn", low_memory=False)
    lines = [int(n) for w in said for n in re.findall(r"Skipping line (\d+)", str(w.message))]
    return table, {line - 1: _fields(path, line) for line in lines}


def _fields(path: Path, line: int) -> list[str]:
    opened = gzip.open if path.name.endswith(".gz") else open
    with opened(path, "rt", encoding="utf-8", errors="replace", newline="") as file:
        for n, text in enumerate(file, start=1):
            if n == line:
                return next(csv.reader([text]), [])
    return []


def write_table(columns: Mapping[str, Any], path: Path) -> None:
    """Write columns as CSV or Parquet beside the target, then put it in its place in one step."""
    kind, table = kind_of(path), pandas_or_say().DataFrame(dict(columns))
    beside = path.with_name(f".{secrets.token_hex(8)}{kind}")
    try:
        if kind == ".parquet":
            table.to_parquet(beside, index=False)
        else:
            table.to_csv(beside, index=False)
        beside.replace(path)
    except ImportError as error:
        raise BadInput(f"table {path.name}", expected="pyarrow for Parquet", got="no such package here",
                       todo='install the extra: pip install "pressinglib[match]", or choose .csv') from error
    finally:
        beside.unlink(missing_ok=True)


# -- A plain long table: one row a player and frame, the ball in rows of its own; CSV or Parquet.


NEEDED = ("frame", "time", "team", "player", "x", "y")
OPTIONAL = ("ball", "period", "z", "alive", "possession")
TEXTS = ("team", "player", "possession", "alive", "ball")
YES, NO = ("1", "1.0", "true", "yes", "alive", "in"), ("0", "0.0", "false", "no", "dead", "out")
BALL = "ball"
NAMED = 5  # rows named one by one for each kind of fault; the rest are counted
OTHERS, HOME, AWAY, THE_BALL = -1, 0, 1, 2


def read_long(path: str | Path, coordinates: Coordinates, home: str = "home", away: str = "away",
              pitch: Pitch | None = None, names: Mapping[str, str] | None = None) -> tuple[Tracking, Report]:
    """Read a match from a long table.

    Parameters
    ----------
    path : str or Path
        `.csv`, `.csv.gz` or `.parquet`. Columns frame, time (s), team, player, x, y; optional ball (1 on the ball's
        rows, else the ball is a team called "ball"), period (1, 2, ...), z (m), alive (1 in play), possession (a team).
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
    table = _renamed(table, called, file.name)
    _blame_broken(table, broken, report)
    table, frame, first = _frames(table, report)
    side = _sides(table, home, away, report)
    wrong = _wrong_places(table, side, report)
    report.skipped |= set(first["frame"].to_numpy(int)[np.unique(frame[wrong])].tolist())
    moments = _moments(table, frame, first, side, home, away, report)
    return assemble(moments, _places(table, frame, side, report), coordinates, pitch or Pitch(), report), report


def _renamed(table: Any, names: Mapping[str, str], file: str) -> Any:
    for ours in names:
        if ours not in (*NEEDED, *OPTIONAL):
            raise UnknownName("column", ours, (*NEEDED, *OPTIONAL))
    table = table.rename(columns={theirs: ours for ours, theirs in names.items()})
    missing = [name for name in NEEDED if name not in table]
    if missing:
        raise BadInput(f"table {file}", expected="columns " + ", ".join(NEEDED),
                       got="none called " + ", ".join(missing), todo="say what they are called in the file")
    return table


def _blame_broken(table: Any, broken: Mapping[int, list[str]], report: Report) -> None:
    """Rows with too many fields: of no use, and so is their frame where it can be read."""
    place = list(table.columns).index("frame")
    for row, fields in broken.items():
        told = fields[place].strip() if place < len(fields) else ""
        report.add(row, "", f"expected {len(table.columns)} fields; got {len(fields)}",
                   int(told) if told.isdecimal() else None, "" if told.isdecimal() else "row left out")


# -- columns -----------------------------------------------------------------------------------------------------------


def _numbers(table: Any, name: str, report: Report, then: str = "") -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """A column as floats, NaN where blank; and where there stands something that is no finite number."""
    numbers = pandas_or_say().to_numeric(table[name], errors="coerce").to_numpy(float, na_value=np.nan)
    wrong = (np.isnan(numbers) & table[name].notna().to_numpy()) | np.isinf(numbers)
    frames = table["frame"].to_numpy() if name != "frame" else None
    for k in np.flatnonzero(wrong)[:NAMED]:
        what = f"expected a number; got {str(table[name].iloc[k])!r}"
        report.add(int(table.index[k]), name, what, None if frames is None else int(frames[k]), then)
    if wrong.sum() > NAMED:
        report.counts[f"more rows with no number in {name}"] += int(wrong.sum()) - NAMED
    return np.where(wrong, np.nan, numbers), wrong



def _frames(table: Any, report: Report) -> tuple[Any, NDArray[np.int_], Any]:
    """Rows that have a frame; the running number of each one's frame; and the first row of each frame."""
    frame, _ = _numbers(table, "frame", report, "row left out")
    blank = ~np.isfinite(frame)
    if blank.any():
        report.counts["rows without a frame"] += int(blank.sum())
    table = table[~blank].assign(frame=frame[~blank].astype(int))
    if "period" not in table:
        table = table.assign(period=1)
        report.note("no column period: one period taken")
    period, wrong = _numbers(table, "period", report)
    table = table.assign(period=np.where(np.isfinite(period), period, 0).astype(int))
    report.skipped |= set(table["frame"].to_numpy()[wrong | ~(period >= 1)].tolist())
    group = table.groupby(["period", "frame"], sort=False).ngroup().to_numpy()
    first = table.iloc[np.unique(group, return_index=True)[1]]
    if first["frame"].duplicated().any():
        report.note("frame numbers start anew in a later period: frames are numbered by their order")
        report.skipped = set(np.flatnonzero(first["frame"].isin(report.skipped)).tolist())
        first = first.assign(frame=np.arange(len(first)))
        table = table.assign(frame=group)
    return table, group, first


def _sides(table: Any, home: str, away: str, report: Report) -> NDArray[np.int_]:
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


def _flags(table: Any, name: str, report: Report) -> NDArray[np.int_]:
    """1 yes, 0 no, -1 blank or something else."""
    text = table[name].astype(str).str.strip().str.lower()
    flags = np.select([text.isin(YES), text.isin(NO)], [1, 0], -1)
    odd = (flags < 0) & table[name].notna().to_numpy()
    for k in np.flatnonzero(odd)[:NAMED]:
        report.add(int(table.index[k]), name, f"expected 1 or 0; got {str(table[name].iloc[k])!r}",
                   int(table["frame"].iloc[k]))
    report.skipped |= set(table["frame"].to_numpy()[odd].tolist())
    return np.asarray(flags)


def _wrong_places(table: Any, side: NDArray[np.int_], report: Report) -> NDArray[np.bool_]:
    """(n,) rows whose place or time is no number, or only half of one."""
    wrong = np.zeros(len(table), bool)
    values = {}
    for name in ("x", "y", "time"):
        values[name], bad = _numbers(table, name, report)
        table[name] = values[name]
        wrong |= bad
    half = (np.isnan(values["x"]) != np.isnan(values["y"])) & ~wrong
    for k in np.flatnonzero(half)[:NAMED]:
        report.add(int(table.index[k]), "x, y", "only one of the two is given", int(table["frame"].iloc[k]))
    blank = np.isnan(values["time"]) & ~wrong
    for k in np.flatnonzero(blank)[:NAMED]:
        report.add(int(table.index[k]), "time", "expected a number; got nothing", int(table["frame"].iloc[k]))
    return np.asarray((wrong | half | blank) & (side >= 0))


def _moments(table: Any, frame: NDArray[np.int_], first: Any, side: NDArray[np.int_], home: str, away: str,
             report: Report) -> Moments:
    """Clock, ball and what the source says of it, one a frame."""
    rows = table.groupby(frame, sort=True)
    count, balls = len(first), np.flatnonzero(side == THE_BALL)
    ball, height = np.full((count, 2), np.nan), np.zeros(count)
    ball[frame[balls]] = table[["x", "y"]].to_numpy(float)[balls]
    if "z" in table:
        z, _ = _numbers(table, "z", report)
        height[frame[balls]] = np.nan_to_num(z[balls])
    alive = np.ones(count, bool)
    if "alive" in table:
        alive[frame[_flags(table, "alive", report) == 0]] = False
    else:
        report.note("no column alive: the ball is taken as in play throughout")
    return Moments(first["frame"].to_numpy(int), first.index.to_numpy(int), rows["time"].first().to_numpy(float),
                   first["period"].to_numpy(int), ball, height, alive, _given(table, frame, count, home, away))


def _given(table: Any, frame: NDArray[np.int_], count: int, home: str, away: str) -> NDArray[np.int_]:
    given = np.zeros(count, int)
    if "possession" in table:
        who = table["possession"].astype(str).str.strip()
        given[frame[who == home]], given[frame[who == away]] = 1, -1
    return given


def _places(table: Any, frame: NDArray[np.int_], side: NDArray[np.int_], report: Report) -> Places:
    """The players' rows."""
    men = np.flatnonzero((side == HOME) | (side == AWAY))
    text = table["player"].iloc[men].astype(str).str.strip().str.replace(r"\.0$", "", regex=True)
    fits = (text.str.len().between(1, NUMBER_LENGTH) & table["player"].iloc[men].notna()).to_numpy(bool)
    odd = men[~fits]
    for k in odd[:NAMED]:
        report.add(int(table.index[k]), "player", f"expected a number of 1-{NUMBER_LENGTH} characters; got "
                   f"{str(table['player'].iloc[k])[:20]!r}", int(table["frame"].iloc[k]))
    report.skipped |= set(table["frame"].to_numpy()[odd].tolist())
    kept, text = men[fits], text[fits].to_numpy(object)
    return Places(frame[kept], side[kept], text, table[["x", "y"]].to_numpy(float)[kept],
                  table.index.to_numpy(int)[kept])


# -- A match as a plain long table, in the form that `read_long` reads with `METRES`.


WHOSE = np.array(["away", "", "home"])
MILLIMETRES = 3  # decimals kept of a metre


def write_long(match: Tracking, path: str | Path) -> Path:
    """Write a match as `.parquet`, `.csv` or `.csv.gz`: metres, origin at the centre spot, the home side attacking +x.

    Parameters
    ----------
    match : Tracking
    path : str or Path
        An old file is replaced only when the new one is complete.

    Returns
    -------
    Path

    Notes
    -----
    Columns frame, time, period, team (home, away, ball), player, x, y, z, alive, possession. Places are kept to the
    millimetre. Absent players have no row.
    """
    write_table(long_columns(match), Path(path))
    return Path(path)


def long_columns(match: Tracking) -> dict[str, NDArray[Any]]:
    """The columns of the long table, frame by frame: the ball, then home, then away.

    Examples
    --------
    >>> from pressinglib.data.tracking import Team
    >>> from pressinglib.field.pitch import Pitch
    >>> nine = Team(("9",), ("outfield",), np.array([[[1.0, 2]], [[np.nan, np.nan]]]))
    >>> match = Tracking(Pitch(), nine, nine, *map(np.array, ([0, .1], [[0, 0], [1, 0]], [0, 0], [1, 1], [7, 8])))
    >>> columns = long_columns(match)
    >>> columns["team"].tolist(), columns["frame"].tolist()
    (['ball', 'home', 'away', 'ball'], [7, 7, 7, 8])
    """
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
            "alive": match.alive[row].astype(int), "possession": WHOSE[match.given[row] + 1]}
