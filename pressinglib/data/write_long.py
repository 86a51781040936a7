"""A match as a plain long table, in the form that `read_long` reads with `METRES`."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pressinglib.data.tables import write_table
from pressinglib.data.tracking import Tracking

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
