"""Reading a match as it is kept: what is wrong is said with its place."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from pressinglib.data import open_match
from pressinglib.data.match_folder import VERSION
from pressinglib.errors import BadInput

TABLE = "frames-0123456789abcdef.csv"
FRAMES = "t,alive,ball_x,ball_y,ball_z,h9_x,h9_y,a4_x,a4_y\n0,1,52.5,34,0,50,34,60,34\n0.1,1,52.5,34,0,50,35,,\n"
PLAYERS = [{"code": "h9", "side": "home", "shirt": "9", "position": "centre-forward", "id": "<b>x</b>"},
           {"code": "a4", "side": "away", "shirt": "4", "position": "??", "id": "y"}]


def folder(place: Path, frames: str = FRAMES, **change: Any) -> Path:
    (place / TABLE).write_text(frames, "utf-8")
    sheet = {"version": VERSION, "table": TABLE, "pitch": {}, "players": PLAYERS, **change}
    (place / "match.json").write_text(json.dumps(sheet), "utf-8")
    return place


def test_the_tables_are_read(tmp_path: Path) -> None:
    match = open_match(folder(tmp_path))
    assert match.home.xy[1].tolist() == [[-2.5, 1.0]] and np.isnan(match.away.xy[1]).all()
    assert match.home.slots + match.away.slots == ("centre-forward", "outfield")
    assert match.away.numbers == ("4",) and match.frame_id.tolist() == [0, 1]


@pytest.mark.parametrize(("frames", "message"), [
    (FRAMES.replace("ball_z", "z"), "table frames.*: expected columns .*; got none called ball_z"),
    (FRAMES.replace("0.1,1,52.5", "0.1,1,here"), "column ball_x, row 2: expected a finite number; got 'here'"),
    (FRAMES.replace("0.1,1,52.5", "0.1,,52.5"), "column alive, row 2: expected a finite number; got 'nan'"),
    (FRAMES.replace("50,35", "50,left"), "column h9_y, row 2: expected a finite number; got 'left'"),
    (FRAMES.replace("50,35", "50,inf"), "column h9_y, row 2: expected a finite number; got .*inf"),
    (FRAMES.replace("h9_x", "h8_x"), "table frames.*: expected columns .*; got none called h9_x"),
    (FRAMES[:-9], "table frames.*, row 2: expected 9 fields; got 5"),
    ("", "table frames.*: expected a readable table; got an empty file"),
])
def test_what_is_wrong_is_said_with_its_place(tmp_path: Path, frames: str, message: str) -> None:
    with pytest.raises(BadInput, match=message):
        open_match(folder(tmp_path, frames))


@pytest.mark.parametrize(("change", "message"), [
    ({"players": [{**man, "side": "hosts"} for man in PLAYERS]}, "expected what the command import writes; got a part"),
    ({"players": PLAYERS[:1] * 2 + PLAYERS[1:]}, "expected a shirt number each, every one once; got 9, 9"),
    ({"players": [{"side": "home"}]}, "a part is missing or wrong: 'code'"),
    ({"table": "../frames.csv"}, "a part is missing or wrong: version"),
    ({"pitch": {"length_m": 1}}, "a part is missing or wrong: pitch"),
])
def test_a_sheet_that_is_wrong_is_named(tmp_path: Path, change: dict[str, Any], message: str) -> None:
    with pytest.raises(BadInput, match=f"match.json: .*{message}|match.json: {message}"):
        open_match(folder(tmp_path, **change))


def test_bytes_that_are_no_text_are_refused(tmp_path: Path) -> None:
    (folder(tmp_path) / TABLE).write_bytes(b"\xff\xfe\x00code")
    with pytest.raises(BadInput, match="table frames.*: expected a readable table; got text in UTF-16"):
        open_match(tmp_path)
