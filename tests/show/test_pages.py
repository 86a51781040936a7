"""Printed pages: paper, sheets; and black and white."""

from __future__ import annotations

import re
from dataclasses import replace
from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from pressinglib import Plan, PressingError, Situation, plan_press
from pressinglib.field.scene_file import scene, scene_names
from pressinglib.show.drawing import LAYERS, draw_plan, draw_situation
from pressinglib.show.export import picture_bytes
from pressinglib.show.labels import Labels
from pressinglib.show.matplotlib_view import width_of, wrapped
from pressinglib.show.pages import PAPERS, Pages, sheet
from pressinglib.show.style import PENS, TOKENS, in_grey


def pixels(png: bytes) -> np.ndarray:
    return np.asarray(Image.open(BytesIO(png)).convert("RGB")).astype(int)


def light(grey: str) -> float:
    value = int(grey[1:3], 16) / 255
    return value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4


@pytest.mark.parametrize(("paper", "size"), [("A4", (210, 297)), ("Letter", (215.9, 279.4))])
def test_a_page_is_as_large_as_its_paper(paper: str, size: tuple[float, float]) -> None:
    """ISO 216 and ANSI/ASME Y14.1, in mm."""
    image = Image.open(BytesIO(Pages("A title", paper).bytes("png", dpi=100)))
    assert np.array(image.size) / 100 * 25.4 == pytest.approx(size, abs=0.3)


def test_what_does_not_fit_goes_on_to_the_next_page() -> None:
    pages = Pages("Notes")
    pages.lines(80)
    assert len(pages) == 3
    assert pages.bytes("pdf").count(b"/Type /Page\n") == 3 or b"/Count 3" in pages.bytes("pdf")
    with pytest.raises(PressingError, match="several pages"):
        pages.bytes("png")


def test_the_same_sheet_gives_the_same_bytes(worked_plan: Plan) -> None:
    one, other = (sheet(worked_plan).bytes() for _ in range(2))
    assert one == other


@pytest.mark.parametrize("name", scene_names())
def test_a_sheet_is_one_page(name: str) -> None:
    plan = plan_press(scene(name))
    assert len(sheet(plan, foot="Warm up first.")) == len(sheet(plan, paper="Letter")) == 1


def test_a_sheet_says_all_that_the_plan_says(worked_plan: Plan) -> None:
    pages = sheet(worked_plan, foot="Warm up first.")
    (page,) = pages._figures
    words = set(re.findall(r"\w+", " ".join(text.get_text() for text in page.texts)))
    assert set(re.findall(r"\w+", worked_plan.words)) <= words
    for job in worked_plan.assignments.values():
        assert set(re.findall(r"\w+", f"{job.number} {job.duty} {job.reason}")) <= words
    assert {"Warm", "up", "first"} <= words


def test_a_sheet_in_yards_says_no_metres(worked_plan: Plan) -> None:
    pages = sheet(worked_plan, labels=Labels(unit="yards"))
    said = " ".join(text.get_text() for text in pages._figures[0].texts)
    assert "yd" in said and "9 presses" in said and not re.search(r"\d m\b", said)


def test_a_sheet_that_cannot_be_is_refused(worked_plan: Plan) -> None:
    for bad in ({"paper": "A5"}, {"lines": -1}, {"layers": ["roads"]}):
        with pytest.raises(PressingError):
            sheet(worked_plan, **bad)


def test_words_of_small_pictures_can_be_read(worked: Situation, worked_plan: Plan) -> None:
    """In three columns, where a picture in its usual proportions would have words of 2.5 points."""
    pages = Pages()
    pages.beside([draw_plan(worked, worked_plan)] * 3, 3, words=True)
    words = [text for axes in pages._figures[0].axes for text in axes.texts if text.get_text().startswith("9 presses")]
    assert len(words) == 3 and all(text.get_fontsize() == pytest.approx(6.5) for text in words)


def test_papers_are_named() -> None:
    assert set(PAPERS) == {"A4", "Letter", "Slide"}


def test_lines_of_type_fit_their_width() -> None:
    words = "Their 6 is an easy short pass: be with him when it comes. " + "W" * 40
    for width in (3.0, 7.5, 20.0):
        lines = wrapped(words, width, 1.0)
        assert max(width_of(line, 1.0) for line in lines) <= width
        assert "".join("".join(lines).split()) == "".join(words.split())


def test_black_and_white_has_no_colour_and_keeps_its_contrast(worked: Situation, worked_plan: Plan) -> None:
    """WCAG 2.2, 1.4.6: 7 to 1 for type."""
    drawing = draw_plan(worked, worked_plan, LAYERS)
    seen = pixels(picture_bytes(drawing, dpi=60, grey=True))
    assert np.ptp(seen, axis=2).max() == 0
    assert np.ptp(pixels(picture_bytes(drawing, dpi=60)), axis=2).max() > 100
    assert {name: pen for name, pen in PENS.items() if 1.05 / (light(in_grey(pen.colour)) + 0.05) < 7
            and name != "marking"} == {}
    assert in_grey(TOKENS["pressing"].fill) < "#303030" and in_grey(TOKENS["possession"].fill) == "#ffffff"


def test_a_name_in_letters_that_the_face_has_not_is_no_failure(worked: Situation) -> None:
    strange = replace(worked.player("pressing", "9"), number="\u4e5d\u53f7")
    others = tuple(strange if p.number == "9" else p for p in worked.pressing)
    drawing = draw_situation(replace(worked, pressing=others), title="\u4e5d\u53f7")
    assert "\u4e5d\u53f7" in picture_bytes(drawing, "svg").decode()
    pages = Pages()
    pages.picture(drawing)
    assert len(pages.bytes()) > 1000


def test_a_picture_that_no_memory_holds_is_refused(worked: Situation) -> None:
    with pytest.raises(PressingError, match="dots"):
        picture_bytes(draw_situation(worked), width_cm=200, dpi=600)
