"""A match written in the Common Data Format (arXiv 2505.15820, draft 0.3): tracking.jsonl and meta.json."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import numpy as np

from pressinglib.data.common_format import PERIODS
from pressinglib.data.tracking import Team, Tracking
from pressinglib.field.plain_file import replace_whole

MILLIMETRES = 3
NO_DATE = "2000-01-01T00:00:00+00:00"  # the format wants a date where the source gave none
WORDS = {code: word for word, code in PERIODS.items()}
WHOSE = {1: "home", -1: "away", 0: None}


def write_common(match: Tracking, folder: str | Path) -> Path:
    """Write `tracking.jsonl` and `meta.json` into a folder; `read_common` reads them.

    Parameters
    ----------
    match : Tracking
    folder : str or Path
        Made if it is not there. Old files are replaced only when the new ones are complete.

    Returns
    -------
    Path
        The folder.

    Notes
    -----
    Numbers only: ids are "home-9", "away-4". Places to the millimetre; the home side plays left to right in all
    periods; which side of the ground it really was is not known any more, so left_team_id is null.
    """
    place = Path(folder)
    place.mkdir(parents=True, exist_ok=True)
    text = "".join(json.dumps(frame, allow_nan=False) + "\n" for frame in _frames(match))
    replace_whole(place / "tracking.jsonl", text.encode())
    replace_whole(place / "meta.json", json.dumps(_meta(match), indent=1, allow_nan=False).encode())
    return place


def _frames(match: Tracking) -> Iterator[dict[str, Any]]:
    start = datetime.fromisoformat(match.start_utc or NO_DATE)
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
    return round(float(value), MILLIMETRES) if np.isfinite(value) else None


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
    return {"match": {"id": "match", "kickoff_time": match.start_utc or None, "periods": periods}, "teams": teams,
            "venue": {"pitch_length": match.pitch.length_m, "pitch_width": match.pitch.width_m},
            "meta": {"tracking": {"fps": round(1.0 / step_s, 3), "version": "0.3", "name": "pressinglib"}}}
