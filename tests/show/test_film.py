"""Films and strips: true time, the players where the runs say, the page that follows."""

from __future__ import annotations

from io import BytesIO
from math import dist
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from pressinglib import Plan, PressingError, Situation, simulate
from pressinglib.play.actions import Pass
from pressinglib.show.drawing import Drawing, draw_plan, draw_situation
from pressinglib.show.export import film_bytes, save_film
from pressinglib.show.marks import Token
from pressinglib.show.playback import Runs
from pressinglib.show.sequence_drawings import at_time, run_drawings, sequence_drawings
from pressinglib.show.sheets import picked, strip

STEP_S = 0.5


@pytest.fixture(scope="module")
def moments(worked: Situation, worked_plan: Plan) -> list[tuple[float, Drawing]]:
    return list(run_drawings(draw_plan(worked, worked_plan), Runs(worked_plan), STEP_S))


def places(drawing: Drawing) -> dict[tuple[str, str], tuple[float, float]]:
    return {(mark.style, mark.number): mark.xy for mark in drawing.marks if isinstance(mark, Token)}


def test_a_run_ends_on_the_spots(moments: list[tuple[float, Drawing]], worked: Situation, worked_plan: Plan) -> None:
    first, last = places(moments[0][1]), places(moments[-1][1])
    for number, job in worked_plan.assignments.items():
        assert first["pressing", number] == worked.player("pressing", number).xy
        assert dist(last["pressing", number], job.target_xy) < 0.02
    assert {who: xy for who, xy in first.items() if who[0] == "possession"} == {
        who: xy for who, xy in last.items() if who[0] == "possession"}


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
    film = Image.open(BytesIO(film_bytes(moments, 240, last_s=2.0)))
    stays = []
    for frame in range(film.n_frames):
        film.seek(frame)
        stays.append(film.info["duration"])
    assert stays[:-1] == [1000 * STEP_S] * (len(moments) - 1) and stays[-1] == 2000
    assert film.size[0] == 240 and film.info["loop"] == 0


def test_a_film_shows_another_picture_at_every_step(moments: list[tuple[float, Drawing]]) -> None:
    film = Image.open(BytesIO(film_bytes(moments[:4], 240)))
    seen = set()
    for frame in range(film.n_frames):
        film.seek(frame)
        seen.add(film.convert("RGB").tobytes())
    assert len(seen) == 4


def test_pictures_of_several_heights_share_a_frame(worked: Situation, worked_plan: Plan) -> None:
    film = Image.open(BytesIO(film_bytes([(0, draw_situation(worked)), (1, draw_plan(worked, worked_plan))], 240)))
    assert film.n_frames == 2


@pytest.mark.parametrize("times", [(0.0, 0.0), (1.0, 0.5), (0.0, float("nan")), (0.0,), ()])
def test_times_must_grow(worked: Situation, times: tuple[float, ...]) -> None:
    with pytest.raises(PressingError):
        film_bytes([(time, draw_situation(worked)) for time in times], 240)


def test_a_film_is_a_gif(tmp_path: Path, worked: Situation) -> None:
    still = [(0.0, draw_situation(worked)), (1.0, at_time(draw_situation(worked), worked, 1.0))]
    assert save_film(still, tmp_path / "run.gif", 200).read_bytes().startswith(b"GIF89a")
    with pytest.raises(PressingError, match="ends in .gif"):
        save_film(still, tmp_path / "run.mp4", 200)
    assert [path.name for path in tmp_path.iterdir()] == ["run.gif"]


def test_a_strip_tells_time_and_what_is_new(moments: list[tuple[float, Drawing]]) -> None:
    pages = strip(picked(moments, 4), "To the plan")
    assert len(pages) == 1
    drawn = [text.get_text() for axes in pages._figures[0].axes for text in axes.texts]
    assert sum(text.startswith(tuple(f"{time:.1f} s: " for time, _ in moments)) for text in drawn) == 4
    assert sum(text.startswith("9 presses") for text in drawn) == 1


def test_a_sequence_becomes_pictures(worked: Situation) -> None:
    sequence = simulate(worked, [Pass("4")])
    shown = list(sequence_drawings(sequence, ["roles"], 0.4))
    assert [time for time, _ in shown] == sorted({time for time, _ in shown})
    assert min(b - a for (a, _), (b, _) in zip(shown, shown[1:], strict=False)) >= 0.4 - 1e-9
    for time, drawing in shown:
        situation = sequence.at(time).situation
        assert places(drawing)["pressing", "9"] == situation.player("pressing", "9").xy
    assert len(list(sequence_drawings(sequence, ["roles"]))) == len(sequence)
