"""The printed picture: PNG, SVG and PDF of one drawing."""

from __future__ import annotations

import subprocess
import sys
from io import BytesIO
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from PIL import Image

from pressinglib import Pitch, Plan, PressingError, Situation, plan_press, simulate
from pressinglib.show.drawing import LAYERS, draw_plan, draw_situation
from pressinglib.show.export import (
    SCREEN_DPI,
    TYPE_PX,
    WIDTH_CM,
    Picture,
    composed,
    picture,
    picture_bytes,
    save_picture,
)
from pressinglib.show.labels import Labels
from pressinglib.show.style import TOKENS

STARTS = {"png": b"\x89PNG", "svg": b"<?xml", "pdf": b"%PDF"}


@pytest.mark.parametrize("format", STARTS)
def test_a_picture_is_a_file_of_its_kind(tmp_path: Path, worked: Situation, worked_plan: Plan, format: str) -> None:
    path = save_picture(draw_plan(worked, worked_plan, LAYERS), tmp_path / f"scene.{format}")
    assert path.read_bytes().startswith(STARTS[format])
    assert [p.name for p in tmp_path.iterdir()] == [f"scene.{format}"]


@pytest.mark.parametrize("format", STARTS)
def test_the_same_drawing_gives_the_same_bytes(worked: Situation, format: str) -> None:
    one, other = (picture_bytes(draw_situation(worked), format) for _ in range(2))
    assert one == other


def test_width_and_dots_are_as_asked(worked: Situation) -> None:
    image = Image.open(BytesIO(picture_bytes(draw_situation(worked), width_cm=10, dpi=127)))
    assert image.width == 500
    upright = draw_situation(worked, labels=Labels(upright=True))
    tall = Image.open(BytesIO(picture_bytes(upright, width_cm=10, dpi=127)))
    assert tall.height > tall.width == 500


def test_the_tokens_are_where_the_players_are(worked: Situation) -> None:
    """The left edge of a square has the team's colour: the picture is neither turned over nor shifted."""
    image = Image.open(BytesIO(picture_bytes(draw_situation(worked), width_cm=40, dpi=127))).convert("RGB")
    pixels, per_m = np.asarray(image), image.width / 112.2
    top = 37.6 + 2.5 * 1.5  # margin and title above the pitch's middle
    for number in ("2", "11"):
        x, y = worked.player("possession", number).xy
        row, column = (top - y) * per_m, (x - 0.94 * 1.6 + 56.1) * per_m
        seen = pixels[int(row), int(column) - 1 : int(column) + 2].astype(int)
        wanted = [int(TOKENS["possession"].edge[i : i + 2], 16) for i in (1, 3, 5)]
        assert np.abs(seen - wanted).sum(axis=1).min() < 12


@pytest.mark.parametrize("bad", [{"format": "gif"}, {"width_cm": 1}, {"width_cm": "wide"}, {"dpi": 5000}])
def test_what_cannot_be_printed_is_refused(worked: Situation, bad: dict[str, object]) -> None:
    with pytest.raises(PressingError):
        picture_bytes(draw_situation(worked), **bad)


def test_an_old_picture_stays_when_the_new_one_fails(
    tmp_path: Path, worked: Situation, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = save_picture(draw_situation(worked), tmp_path / "scene.png")
    old = path.read_bytes()

    def full(handle: int) -> None:
        raise OSError(28, "no space left")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(PressingError, match="no space"):
        save_picture(draw_situation(worked.with_ball((0, 0))), path)
    assert path.read_bytes() == old
    assert len(list(tmp_path.iterdir())) == 1


def test_whatever_has_a_picture_is_saved_by_one_door(tmp_path: Path, worked: Situation, worked_plan: Plan) -> None:
    moment = simulate(worked, [], duration_s=0.2).at(0.1)
    for what in (worked, worked_plan, moment, Pitch(), draw_situation(worked), Picture(draw_situation(worked))):
        assert save_picture(what, tmp_path / "one.png", 5, 30).read_bytes().startswith(STARTS["png"])
    assert picture(worked_plan, title="Here").drawing.title == "Here"
    with pytest.raises(PressingError, match="a Situation, a Plan"):
        save_picture(worked.pressing, tmp_path / "none.png")


def test_hostile_numbers_are_text_and_nothing_else(hostile: Situation) -> None:
    drawing = draw_plan(hostile, plan_press(hostile), LAYERS, title="<script>alert(1)</script> $\\alpha$")
    svg = picture_bytes(drawing, "svg").decode()
    names = [element.tag for element in ElementTree.fromstring(svg).iter() if isinstance(element.tag, str)]
    tags = {name.rpartition("}")[2] for name in names}
    assert not {"b", "script"} & tags and "<script>" not in svg
    assert len(picture_bytes(drawing, "pdf")) > 1000


def test_every_picture_carries_its_words(worked: Situation, worked_plan: Plan) -> None:
    drawing = draw_plan(worked, worked_plan)
    assert Image.open(BytesIO(picture_bytes(drawing))).text["Description"] == worked_plan.words
    page = ElementTree.fromstring(picture_bytes(draw_plan(worked, worked_plan, title="<Left> & right"), "svg"))
    read = {element.tag.rpartition("}")[2]: element.text for element in page}
    assert (page.get("role"), read["title"], read["desc"]) == ("img", "<Left> & right", worked_plan.words)
    assert repr(Picture(drawing)) == f"Picture: {drawing.title}; {worked_plan.words}"
    assert Picture(drawing)._repr_png_().startswith(STARTS["png"])


def test_key_and_words_of_a_picture_on_the_screen_are_eleven_dots_high(worked: Situation, worked_plan: Plan) -> None:
    across_px = WIDTH_CM / 2.54 * SCREEN_DPI
    for part in ("whole", "attacking half"):
        shapes = composed(draw_plan(worked, worked_plan), part=part, least=TYPE_PX / across_px)
        left, right, low, _ = shapes.frame
        below = [line for line in shapes.groups["type"] if line.y < -37.6]
        assert len(below) > 10 and min(line.type_m for line in below) * across_px / (right - left) >= 11 - 1e-6
        assert all(left < line.x < right and low < line.y for line in below)


def test_printing_leaves_pyplot_alone() -> None:
    code = ("import sys; from pressinglib import Situation; from pressinglib.show.drawing import draw_situation;"
            "from pressinglib.show.export import picture_bytes; early = 'matplotlib' in sys.modules;"
            "picture_bytes(draw_situation(Situation.line_up())); print(early, 'matplotlib.pyplot' in sys.modules)")
    answer = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert answer.stdout.split() == ["False", "False"]
