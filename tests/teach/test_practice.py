"""Practices for the grass: the thirteen of the lessons as cards, and those that a tutor makes."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from pressinglib import PressingError
from pressinglib.errors import BadInput, PracticeFileError
from pressinglib.field.scene_file import OwnMark
from pressinglib.show.marks import Arrow, Label, Token
from pressinglib.teach.handout import CAUTION
from pressinglib.teach.practice import HEADS, PRACTICE, Practice, PracticeCard, PracticeDesk, lesson_practice, started
from tests.teach.kept import kept
from tests.teach.test_handout import LONG, off_the_page, words

NUMBERS = [f"{n:02}" for n in range(13)]
PRACTICE_00 = lesson_practice("00")
PLAIN = Practice("Four against three", "25 by 20 m", "7", "45 s play, 90 s rest", ("One goes.", "One covers."),
                 "15 m wide", "five against three", started(4, 3))


@pytest.mark.parametrize("number", NUMBERS)
def test_each_lesson_has_a_card_of_one_page_with_all_that_a_session_needs(number: str) -> None:
    card = lesson_practice(number)
    pages = card.pages()
    said = " ".join(words(pages))
    assert len(pages) == 1 and off_the_page(pages) == []
    assert all(getattr(card, name) for name in HEADS) and CAUTION[:60] in said and "common practice" in said.casefold()
    assert all(head.split()[0] in said for head in HEADS.values())


@pytest.mark.parametrize("number", NUMBERS)
def test_the_picture_of_a_card_is_what_its_words_say(number: str) -> None:
    card = lesson_practice(number)
    length_m, width_m = map(float, re.search(r"(\d+) by (\d+) m", card.area).groups())  # type: ignore[union-attr]
    [zone] = [mark for mark in card.marks if mark.kind == "zone"]
    assert sorted(np.ptp(zone.points, axis=0)) == sorted((length_m, width_m))
    drawing = card.drawing
    labels = {mark.words for mark in drawing.marks if isinstance(mark, Label)}
    assert {f"{length_m:g} m", f"{width_m:g} m"} <= labels
    kinds = {mark.style for mark in drawing.marks if isinstance(mark, Arrow)}
    assert {"own run", "own pass"} <= kinds
    steps = {mark.words for mark in card.marks if mark.kind in ("arrow", "pass", "dribble") and mark.words}
    assert steps <= {str(n) for n in range(1, len(card.steps) + 1)} and {"1", "2"} <= steps
    x0, x1, y0, y1 = card.part
    assert all(x0 < mark.xy[0] < x1 and y0 < mark.xy[1] < y1 for mark in drawing.marks if isinstance(mark, Token))


@pytest.mark.parametrize("number", NUMBERS)
def test_a_card_says_what_its_lesson_says(number: str) -> None:
    [grass] = [cell.source for cell in kept(number).cells if "For the grass" in cell.source]
    size = re.search(r"\d+ by \d+ m", grass)
    assert size is None or size[0] in lesson_practice(number).area


def test_run_pass_and_dribble_are_told_apart_by_form_alone() -> None:
    card = replace(PRACTICE_00, marks=tuple(OwnMark(kind, [(-9, y), (9, y)], "1")
                                            for kind, y in (("arrow", -5), ("pass", 0), ("dribble", 5))))
    ways = {mark.style: np.array(mark.points) for mark in card.drawing.marks if isinstance(mark, Arrow)}
    swing = {style: float(np.ptp(way[:, 1])) for style, way in ways.items()}
    assert swing["own run"] == swing["own pass"] == 0.0 < 0.5 < swing["own dribble"]
    from pressinglib.show.style import PENS

    assert PENS["own pass"].dash and not PENS["own run"].dash


@pytest.mark.parametrize("change", [{"title": ""}, {"points": ()}, {"points": ("",)}, {"timing": " "}, {"area": 3},
                                    {"harder": "x" * 601}, {"steps": ("go",) * 13}, {"marks": ("arrow",)}])
def test_a_practice_with_a_hole_in_it_is_refused(change: dict[str, object]) -> None:
    with pytest.raises(BadInput, match="of the practice"):
        replace(PLAIN, **change)  # type: ignore[arg-type]


@pytest.mark.parametrize("text", [LONG, "W" * 100, "$\\frac{1}{2}$ <b>x</b> & \"quotes\""])
def test_long_and_odd_words_fit_and_are_no_markup(text: str) -> None:
    practice = replace(PRACTICE_00, title=text, area=text, points=(text, text))
    assert off_the_page(practice.pages()) == []
    assert "<b>" not in practice._repr_html_().replace("<br>", "")


def test_a_practice_reads_as_text_and_needs_no_picture() -> None:
    assert repr(PLAIN).splitlines()[-1] == f"Caution: {CAUTION}"
    assert len(PLAIN.pages("Letter", grey=True)) == 1


@pytest.mark.parametrize("number", NUMBERS)
def test_a_card_goes_into_a_file_and_comes_back(number: str, tmp_path: Path) -> None:
    card = lesson_practice(number)
    assert PRACTICE.load(card.save(tmp_path / "card.json")) == card


@pytest.mark.parametrize("change", [{"title": ""}, {"steps": "go"}, {"steps": [3]}, {"scene": {}}, {"scene": 3},
                                    {"more": 1}, {"version": 2}, {"area": None}, {"points": [""]}])
def test_a_damaged_card_is_a_sentence(change: dict[str, object], tmp_path: Path) -> None:
    path = PRACTICE_00.save(tmp_path / "card.json")
    path.write_text(json.dumps(json.loads(path.read_text("utf-8")) | change))
    with pytest.raises(PracticeFileError, match="practice file"):
        PRACTICE.load(path)


def test_a_button_prints_a_lessons_card(tmp_path: Path) -> None:
    card = PracticeCard("05", str(tmp_path))
    card.buttons["PDF"].click()
    assert card.words.text == f"Note: Saved as {tmp_path / 'close_the_gap.pdf'}."
    assert (tmp_path / "close_the_gap.pdf").read_bytes()[:4] == b"%PDF"
    with pytest.raises(PressingError, match="one of 00, 01"):
        PracticeCard("13")


def test_a_tutor_makes_a_practice_by_dragging_drawing_and_writing(tmp_path: Path) -> None:
    desk = PracticeDesk("00", str(tmp_path))
    desk.fields["They are"].value = 5
    assert len(desk.board.situation.possession) == 5
    desk.board.move("pressing", "1", (-8, 3))
    while desk.board.state.marks:
        desk.board.erase(0)
    desk.board.draw_freehand("zone", [(-15, -10), (15, 10)])
    desk.board.draw_freehand("cone", [(0, 0)])
    desk.board.draw_freehand("dribble", [(5, 0), (9, 4)], "1")
    for field, text in {"Title": "Five against four", "Area": "30 by 20 m",
                        "How it goes": "One dribbles.\n\nOne goes. "}.items():
        desk.fields[field].value = text
    made = desk.made()
    assert (made.steps, made.title) == (("One dribbles.", "One goes."), "Five against four")
    assert [mark.kind for mark in made.marks] == ["zone", "cone", "dribble"]
    for word, ending in (("Print", "pdf"), ("Save", "json")):
        desk.buttons[word].click()
        assert desk.words.text == f"Note: Saved as {tmp_path / f'five_against_four.{ending}'}."
    again = PracticeDesk("03", str(tmp_path))
    again.fields["Begin"].value = "Five against four"
    assert again.made() == made
    again.fields["Look for"].value = ""
    again.buttons["Print"].click()
    assert "points of the practice" in again.words.text
