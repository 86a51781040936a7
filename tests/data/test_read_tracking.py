"""Reading tables: what is wrong is said with its place."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from pressinglib.data import read_tracking
from pressinglib.errors import BadInput

FRAMES = "t,alive,ball_x,ball_y,ball_z,h9_x,h9_y,a4_x,a4_y\n0,1,52.5,34,0,50,34,60,34\n0.1,1,52.5,34,0,50,35,,\n"
PLAYERS = ("code,side,shirt,position,name\nh9,home,9,centre-forward,<b>x</b>\na4,away,4,??,y\n"
           "a5,away,5,goalkeeper,not in the frames\n")


def folder(place: Path, frames: str = FRAMES, players: str | None = PLAYERS) -> Path:
    (place / "frames.csv").write_text(frames, "utf-8")
    if players is not None:
        (place / "players.csv").write_text(players, "utf-8")
    return place


def test_the_tables_are_read(tmp_path: Path) -> None:
    match = read_tracking(folder(tmp_path))
    assert match.home.xy[1].tolist() == [[-2.5, 1.0]] and np.isnan(match.away.xy[1]).all()
    assert match.home.slots + match.away.slots == ("centre-forward", "outfield")
    assert match.away.numbers == ("4",) and match.frame_id.tolist() == [0, 1]


@pytest.mark.parametrize(("frames", "players", "message"), [
    (FRAMES.replace("ball_z", "z"), PLAYERS, "table frames.csv: expected columns .*; got none called ball_z"),
    (FRAMES.replace("0.1,1,52.5", "0.1,1,here"), PLAYERS, "column ball_x, row 2: expected a finite number; got 'here'"),
    (FRAMES.replace("0.1,1,52.5", "0.1,,52.5"), PLAYERS, "column alive, row 2: expected a finite number; got 'nan'"),
    (FRAMES.replace("50,35", "50,left"), PLAYERS, "column h9_y, row 2: expected a finite number; got 'left'"),
    (FRAMES.replace("50,35", "50,inf"), PLAYERS, "column h9_y, row 2: expected a finite number; got .*inf"),
    (FRAMES, PLAYERS.replace("home", "hosts"), "home side: expected players whose"),
    (FRAMES, PLAYERS.replace("h9,home,9", "h9,home,"), "home side: expected a shirt number each"),
    (FRAMES, None, "table players.csv: expected a readable table; got No such file"),
    ("", PLAYERS, "table frames.csv: expected a readable table; got an empty file"),
])
def test_what_is_wrong_is_said_with_its_place(tmp_path: Path, frames: str, players: str | None, message: str) -> None:
    with pytest.raises(BadInput, match=message):
        read_tracking(folder(tmp_path, frames, players))


def test_one_file_of_frames_is_asked_for(tmp_path: Path) -> None:
    folder(tmp_path)
    (tmp_path / "frames_2.csv.gz").write_bytes(b"")
    with pytest.raises(BadInput, match=r"expected one file frames\*.csv or frames\*.csv.gz; got 2"):
        read_tracking(tmp_path)


def test_bytes_that_are_no_text_are_refused(tmp_path: Path) -> None:
    folder(tmp_path)
    (tmp_path / "players.csv").write_bytes(b"\xff\xfe\x00code")
    with pytest.raises(BadInput, match="table players.csv: expected a readable table; got text in UTF-16"):
        read_tracking(tmp_path)
