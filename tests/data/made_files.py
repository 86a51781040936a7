"""Files of invented matches: the long table, and the Common Data Format (arXiv 2505.15820, draft 0.3)."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pressinglib.data import Team, Tracking
from pressinglib.data.common_tracking import PERIODS
from pressinglib.data.table_files import write_table

WORDS = {code: word for word, code in PERIODS.items()}
WHOSE = {1: "home", -1: "away", 0: None}
POSSESSION = np.array(["away", "", "home"])
START = "2031-05-04T15:30:00+00:00"
MILLIMETRES = 3  # decimals kept of a metre


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
            "alive": match.alive[row].astype(int), "possession": POSSESSION[match.given[row] + 1],
            "clock": np.round(match.clock_s[row], 4)}


def write_long(match: Tracking, path: str | Path) -> Path:
    write_table(long_columns(match), Path(path))
    return Path(path)


def write_common(match: Tracking, folder: Path) -> Path:
    """`tracking.jsonl` and `meta.json`: ids are "home-9", "away-4"; places to the millimetre."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "tracking.jsonl").write_text("".join(json.dumps(frame) + "\n" for frame in _frames(match)))
    (folder / "meta.json").write_text(json.dumps(_meta(match), indent=1))
    return folder


def _frames(match: Tracking) -> Iterator[dict[str, Any]]:
    start = datetime.fromisoformat(START)
    for t in range(len(match)):
        stamp = start + timedelta(seconds=float(match.time_s[t]))
        x, y = (_plain(v) for v in match.ball_xy[t])
        yield {"frame_id": int(match.frame_id[t]), "timestamp": stamp.isoformat(),
               "period": WORDS[int(match.period[t])], "match": {"id": "match"},
               "teams": {"home": _team("home", match.home, t), "away": _team("away", match.away, t)},
               "ball": {"x": x, "y": y, "z": _plain(match.ball_height_m[t]), "status": bool(match.alive[t]),
                        "poss_team_id": WHOSE[int(match.given[t])]}}


def _team(side: str, team: Team, t: int) -> dict[str, Any]:
    here = np.flatnonzero(np.isfinite(team.xy[t, :, 0]))
    return {"id": side, "players": [{"id": f"{side}-{team.numbers[n]}", "x": _plain(team.xy[t, n, 0]),
                                     "y": _plain(team.xy[t, n, 1])} for n in here]}


def _plain(value: Any) -> float | None:
    return round(float(value), 3) if np.isfinite(value) else None


def _meta(match: Tracking) -> dict[str, Any]:
    periods = []
    for k in np.unique(match.period):
        frames = match.frame_id[match.period == k]
        periods.append({"period": WORDS[int(k)], "play_direction": "left_right", "left_team_id": None,
                        "right_team_id": None, "frame_id_start": int(frames[0]), "frame_id_end": int(frames[-1])})
    teams = {side: {"id": side, "players": [{"id": f"{side}-{n}", "jersey_number": n, "is_starter": None}
                                            for n in team.numbers]}
             for side, team in (("home", match.home), ("away", match.away))}
    step_s = float(np.median(np.diff(match.time_s)))
    return {"match": {"id": "match", "kickoff_time": START, "periods": periods}, "teams": teams,
            "venue": {"pitch_length": match.pitch.length_m, "pitch_width": match.pitch.width_m},
            "meta": {"tracking": {"fps": round(1.0 / step_s, 3), "version": "0.3"}}}
