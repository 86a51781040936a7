"""Films and strips: true time, the players where the runs say, the page that follows."""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from io import BytesIO
from math import dist
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from pressinglib import Plan, PressingError, Situation, simulate
from pressinglib.play.actions import Pass
from pressinglib.show.drawing import Drawing, draw_plan, draw_situation, timed_drawings
from pressinglib.show.export import film, film_bytes, save_picture
from pressinglib.show.marks import Token
from pressinglib.show.pages import sheet, strip
from pressinglib.show.playback import Runs

STEP_S = 0.5


@pytest.fixture(scope="module")
def moments(worked_plan: Plan) -> list[tuple[float, Drawing]]:
    return list(timed_drawings(worked_plan, STEP_S))


def places(drawing: Drawing) -> dict[tuple[str, str], tuple[float, float]]:
    return {(mark.style, mark.number): mark.xy for mark in drawing.marks if isinstance(mark, Token)}


def test_a_run_ends_on_the_spots(moments: list[tuple[float, Drawing]], worked: Situation, worked_plan: Plan) -> None:
    end = Runs(worked_plan).at(99.0)
    assert places(moments[0][1]) == places(draw_situation(worked))
    assert places(moments[-1][1]) == places(draw_situation(end)) and end.possession == worked.possession
    for number, job in worked_plan.assignments.items():
        assert dist(end.player("pressing", number).xy, job.target_xy) < 0.02


def test_what_the_plan_says_stays_while_the_players_run(moments: list[tuple[float, Drawing]]) -> None:
    kept = [{mark for mark in drawing.marks if mark.layer in ("roles", "shadow", "pitch")} for _, drawing in moments]
    assert all(marks == kept[0] for marks in kept) and len({drawing.words for _, drawing in moments}) == 1


def test_players_have_the_speed_that_they_run_at(worked_plan: Plan) -> None:
    """Places 0.1 s apart against the speeds given."""
    runs = Runs(worked_plan)
    for time_s in (0.8, 1.5, 2.2):
        now, later = runs.at(time_s), runs.at(time_s + 0.1)
        for a, b in zip(now.pressing, later.pressing, strict=True):
            mean = (np.array(a.velocity) + b.velocity) / 2
            np.testing.assert_allclose(np.subtract(b.xy, a.xy) / 0.1, mean, atol=0.7)


def test_a_film_lasts_as_long_as_the_run(moments: list[tuple[float, Drawing]]) -> None:
    gif = Image.open(BytesIO(film_bytes(moments, 240)))
    stays = []
    for frame in range(gif.n_frames):
        gif.seek(frame)
        stays.append(gif.info["duration"])
    assert stays[:-1] == [1000 * STEP_S] * (len(moments) - 1) and stays[-1] == 2000
    assert gif.size[0] == 240 and gif.info["loop"] == 0


def test_a_film_shows_another_picture_at_every_step(moments: list[tuple[float, Drawing]]) -> None:
    gif = Image.open(BytesIO(film_bytes(moments[:4], 240)))
    seen = set()
    for frame in range(gif.n_frames):
        gif.seek(frame)
        seen.add(gif.convert("RGB").tobytes())
    assert len(seen) == 4


def test_pictures_of_several_heights_share_a_frame(worked: Situation, worked_plan: Plan) -> None:
    gif = Image.open(BytesIO(film_bytes([(0, draw_situation(worked)), (1, draw_plan(worked, worked_plan))], 240)))
    assert gif.n_frames == 2


@pytest.mark.parametrize("bad", [{"step_s": 0.0}, {"step_s": float("nan")}, {"width_px": 20}, {"layers": ["roads"]}])
def test_a_film_that_cannot_be_is_refused(tmp_path: Path, worked_plan: Plan, bad: dict[str, Any]) -> None:
    with pytest.raises(PressingError):
        film(worked_plan, tmp_path / "run.gif", **bad)
    assert not list(tmp_path.iterdir())


def test_a_film_is_a_gif(tmp_path: Path, worked: Situation, worked_plan: Plan) -> None:
    assert film(worked_plan, tmp_path / "run.gif", 200, step_s=1.0).read_bytes().startswith(b"GIF89a")
    with pytest.raises(PressingError, match="one of .gif"):
        film(worked_plan, tmp_path / "run.mp4", 200)
    with pytest.raises(PressingError, match="a Plan, for the run to its spots, or a Sequence; got Situation"):
        film(worked, tmp_path / "still.gif")
    with pytest.raises(PressingError, match="choose a folder|Choose a folder"):
        film(worked_plan, tmp_path / "none" / "run.gif", 200, step_s=2.0)
    assert [path.name for path in tmp_path.iterdir()] == ["run.gif"]


WRITERS: dict[str, Callable[[Plan, Path], Path]] = {
    "picture.png": save_picture, "picture.svg": save_picture, "picture.pdf": save_picture,
    "film.gif": lambda plan, path: film(plan, path, 200, step_s=2.0),
    "strip.pdf": lambda plan, path: strip(plan, 2).save(path, 60),
    "strip.png": lambda plan, path: strip(plan, 2).save(path, 60),
    "sheet.pdf": lambda plan, path: sheet(plan).save(path, 60),
}


@pytest.mark.parametrize("name", WRITERS)
def test_what_is_written_has_the_users_rights_and_goes_through_a_link(tmp_path: Path, worked_plan: Plan, name: str
                                                                      ) -> None:
    target, link, before = tmp_path / f"real_{name}", tmp_path / name, os.umask(0o027)
    try:
        link.symlink_to(target)  # nothing there yet
        WRITERS[name](worked_plan, link)
    finally:
        os.umask(before)
    assert link.is_symlink() and target.stat().st_mode & 0o777 == 0o640
    target.write_bytes(b"old")
    target.chmod(0o664)
    WRITERS[name](worked_plan, link)
    assert link.is_symlink() and target.stat().st_mode & 0o777 == 0o664 and len(target.read_bytes()) > 3
    assert {path.name for path in tmp_path.iterdir()} == {target.name, link.name}


def test_a_strip_tells_time_and_what_is_new(worked_plan: Plan) -> None:
    pages = strip(worked_plan, 4, title="To the plan")
    assert len(pages) == 1
    drawn = [text.get_text() for axes in pages._figures[0].axes for text in axes.texts]
    assert sum(bool(re.match(r"\d\.\d s: ", text)) for text in drawn) == 4
    assert sum(text.startswith("9 presses") for text in drawn) == 1
    with pytest.raises(PressingError):
        strip(worked_plan, 1)


def test_a_sequence_becomes_pictures(worked: Situation) -> None:
    sequence = simulate(worked, [Pass("4")])
    shown = list(timed_drawings(sequence, 0.4, ["roles"]))
    assert [time for time, _ in shown] == sorted({time for time, _ in shown})
    assert min(b - a for (a, _), (b, _) in zip(shown, shown[1:], strict=False)) >= 0.4 - 1e-9
    for time, drawing in shown:
        situation = sequence.at(time).situation
        assert places(drawing) == places(draw_situation(situation))
    assert len(list(timed_drawings(sequence, 0.04, ["roles"]))) == len(sequence)
