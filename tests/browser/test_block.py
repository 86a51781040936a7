"""An exercise answered as a learner does: wrong, right, and by keys alone; what is asked decides how."""

from __future__ import annotations

import re
from math import dist
from pathlib import Path
from typing import Any

import pytest

from pressinglib.teach.exercise import Exercise
from tests.browser.open_board import DRAWN, OpenBoard
from tests.teach.lessons import exercises_of, keys_of, lesson_modules

pytestmark = pytest.mark.browser

CELL = """import pressinglib as pl
from pressinglib.teach.lessons import {0} as lesson
pl.TryIt(lesson.{1})"""
LAPTOP, NARROW = {"width": 1280, "height": 720}, {"width": 820, "height": 1180}
MOST_PX = 560  # of height, so that all of it is in view on a laptop
# One of every way to answer: players of either team, several in order, words, a number, gaps, a place.
FIRST = [("lesson_00", "who_goes"), ("lesson_05", "hunt"), ("lesson_00", "place_the_cover")]
OTHERS = [("lesson_00", "which_side"), ("lesson_01", "how_far"), ("lesson_02", "in_order"),
          ("lesson_03", "who_is_hidden"), ("lesson_05", "repair"), ("lesson_02", "how_far_off")]


class Block:
    """The only block on a page, and the exercise in it."""

    def __init__(self, page: Any, exercise: Exercise) -> None:
        self.page, self.exercise, self.form = page, exercise, exercise.form
        self.box, self.board = page.locator(".pressing-task"), OpenBoard(page)
        self.words = self.box.locator(".pressing-task-side .pressing-words")
        self.field = self.box.get_by_role("textbox", name="Answer")

    def button(self, name: str) -> Any:
        return self.box.get_by_role("button", name=re.compile(rf"^\W*(\d\.)?\s*{name}$"))

    def says(self, head: str, tone: str) -> None:
        from playwright.sync_api import expect

        expect(self.words).to_have_attribute("data-tone", tone)
        expect(self.words).to_contain_text(head)

    def by_hand(self, answer: Any) -> None:
        """Answer in the picture where that can be done, else by the buttons or the slider."""
        if self.form.placed:
            places = answer if isinstance(answer, dict) else {self.form.placed[0]: answer}
            for number, place in places.items():
                self.board.drag_to(number, place, self.drag)
        elif self.form.slider:
            self.slide_to(float(answer))
        else:
            for name in self.names(answer):
                self.click(name)

    def drag(self, token: dict[str, Any], to: tuple[float, float]) -> None:
        self.board.drag(token, to)

    def point(self, x: float, y: float) -> None:
        self.page.mouse.click(x, y)

    def press(self, name: str) -> None:
        self.button(name).click()

    def names(self, answer: Any) -> list[str]:
        judge = self.exercise.judge
        return judge.named(judge.read(answer, self.exercise.plan))

    def click(self, name: str) -> None:
        ends = name.split("-") if name in self.form.gaps else [name]
        if not (self.form.team or self.form.gaps):
            return self.press(name)
        spots = [self.board.token(self.form.team or "pressing", end) for end in ends]
        self.point(*(sum(spot[axis] for spot in spots) / len(spots) for axis in ("px", "py")))
        self.page.wait_for_function("name => [...document.querySelectorAll('.pressing-options [aria-pressed=true]')]"
                                    ".some(b => b.textContent == name)", arg=name)

    def slide_to(self, value: float) -> None:
        low, high = self.form.slider or (0.0, 1.0)
        track = self.box.locator(".noUi-target").bounding_box()
        share = (value - low) / (high - low)
        self.point(track["x"] + share * track["width"], track["y"] + track["height"] / 2)

    def by_keys(self, answer: Any) -> None:
        """Answer and check with the keyboard alone."""
        if self.form.placed:
            places = answer if isinstance(answer, dict) else {self.form.placed[0]: answer}
            for number, place in places.items():
                self.box.get_by_label("Move", exact=True).select_option(label=f"pressing {number}")
                self.board.wait_until_known(self.board.place("pressing", number), 0.05)  # the fields are his now
                for axis, metres in zip("xy", place, strict=True):
                    field, before = self.box.get_by_label(f"{axis} (m)"), self.board.place("pressing", number)
                    if float(field.input_value()) != metres:
                        field.fill(str(metres))
                        field.press("Enter")
                        # The answer to the one field fills the other anew.
                        self.board.wait_until(lambda n=number, was=before: self.board.place("pressing", n) != was)
                self.board.wait_until_known(place)
        else:
            self.field.fill(str(answer))
            self.field.press("Enter")
        self.button("Check").press("Enter")


@pytest.fixture
def block(page: Any, lab: Any, request: pytest.FixtureRequest) -> Block:
    lesson, name = request.param
    lab.write("block.ipynb", CELL.format(lesson, name))
    lab.open(page, "block.ipynb")
    page.wait_for_function(DRAWN, arg=1)
    block = Block(page, exercises_of(lesson_modules()[lesson])[name])
    block.key = keys_of(lesson)[name]  # type: ignore[attr-defined]
    block.board.into_view()
    return block


@pytest.mark.parametrize("block", [*FIRST, *(pytest.param(one, marks=pytest.mark.full) for one in OTHERS)],
                         indirect=True, ids="-".join)
def test_it_is_answered_wrong_and_right_by_hand_and_by_keys(block: Block, request: pytest.FixtureRequest, page: Any,
                                                            screenshots: Path) -> None:
    name = request.node.callspec.id
    assert block.box.bounding_box()["height"] <= MOST_PX
    block.by_hand(block.key.wrong[0])
    block.button("Check").click()
    block.says("Not yet", "wrong")
    page.screenshot(path=screenshots / f"block_{name}_wrong.png")
    assert block.box.bounding_box()["height"] <= MOST_PX
    if block.form.placed:
        block.button("Reset").press("Enter")  # whoever was moved for nothing goes back
        for number in block.form.placed:  # the answer to it fills the fields anew
            block.box.get_by_label("Move", exact=True).select_option(label=f"pressing {number}")
            block.board.wait_until_known(block.exercise.situation.player("pressing", number).xy)
    block.by_keys(block.key.right[0])
    block.says("Right", "right")
    page.screenshot(path=screenshots / f"block_{name}_right.png")
    for n in (1, 2, 3):
        block.button("Hint").press("Enter")
        block.says(f"Hint {n} of 3", "note")
    block.button("Show").press("Enter")
    block.says("Solution", "note")
    block.button("Another").press("Enter")
    block.says("Picture 1", "note")
    page.wait_for_function(DRAWN, arg=1)
    block.button("Check").press("Enter")
    block.says("Not attempted", "open")
    assert page.failures == []


@pytest.mark.parametrize("block", [("lesson_00", "who_goes")], indirect=True)
def test_arrows_go_from_player_to_player_and_enter_picks(block: Block, page: Any) -> None:
    from playwright.sync_api import expect

    tokens = {t["number"]: (t["px"], t["py"]) for t in block.board.tokens() if t["team"] == "pressing"}
    ball = block.board.token("ball", "")
    nearest = min(tokens, key=lambda number: dist(tokens[number], (ball["px"], ball["py"])))
    block.board.picture.press("ArrowLeft")
    block.board.picture.press("Enter")
    expect(block.field).to_have_value(nearest)
    block.board.picture.press("ArrowDown")
    block.board.picture.press("Enter")
    expect(block.field).not_to_have_value(nearest)
    below = block.field.input_value()
    assert tokens[below][1] > tokens[nearest][1]


@pytest.mark.full
@pytest.mark.parametrize("block", [("lesson_00", "who_goes")], indirect=True)
def test_on_a_narrow_page_the_words_stand_under_the_picture(block: Block, page: Any, screenshots: Path) -> None:
    page.set_viewport_size(NARROW)
    page.keyboard.press("Control+b")  # the list of files shuts

    def stacked() -> bool:
        picture, side = (block.box.locator(part).bounding_box() for part in (".pressing-figure", ".pressing-task-side"))
        return bool(side["y"] >= picture["y"] + picture["height"] and 400 < picture["width"] <= 541)

    block.board.wait_until(stacked)
    page.screenshot(path=screenshots / "block_narrow.png")
