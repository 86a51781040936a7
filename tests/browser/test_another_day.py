"""Another day: a lesson that was answered and shut comes to life when it is opened, with answers and progress."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.browser.conftest import IDLE, PROJECTOR, Lab, served
from tests.browser.open_board import ALL_RUN, DRAWN, GO_TO, SOON_MS, wait_until
from tests.browser.test_answers import END_KERNEL
from tests.browser.test_many_boards import SAVE, SAVED

pytestmark = [pytest.mark.browser, pytest.mark.full]

LESSON = "00_a_full_press_in_five_minutes.ipynb"
TREE = "{0.url}lab/tree/{1}?token={0.token}&reset"
BROKEN = """block => [block, ...block.querySelectorAll('.jupyter-widgets-disconnected')]
  .map(one => getComputedStyle(one, '::before').content)"""
WHO, COVER = "Who goes?", "Where does the cover stand?"


@pytest.fixture
def page(chromium: Any) -> Iterator[Any]:
    """A page of its own: it goes from one server to another."""
    context = chromium.new_context(viewport=PROJECTOR)
    page = context.new_page()
    page.set_default_timeout(SOON_MS)
    page.failures = []
    page.on("pageerror", lambda error: page.failures.append(str(error)))
    yield page
    context.close()


@pytest.fixture(scope="module")
def lessons(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Lab]:
    with served(tmp_path_factory.mktemp("lessons"), as_lessons=True) as server:
        yield server


def opened(page: Any, lab: Lab) -> None:
    """The lesson, opened and nothing pressed, once all of it has run."""
    page.goto(TREE.format(lab, LESSON))
    page.wait_for_function("() => window.jupyterapp?.shell.currentWidget?.content?.widgets?.length > 5")
    page.wait_for_function(ALL_RUN)
    page.wait_for_function(IDLE)


def block(page: Any, title: str) -> Any:
    page.evaluate(GO_TO, f"On the board: {title}")
    found = page.locator(".pressing-task").filter(has=page.get_by_text(title, exact=True))
    found.wait_for()
    found.scroll_into_view_if_needed()
    return found


def test_answers_are_there_the_next_day_and_nothing_has_to_be_pressed(page: Any, lessons: Lab, screenshots: Path
                                                                      ) -> None:
    from playwright.sync_api import expect

    opened(page, lessons)
    who = block(page, WHO)
    who.get_by_role("button", name="3", exact=True).click()
    who.get_by_role("button", name="Check", exact=True).click()
    expect(who).to_contain_text("Not yet")
    who.get_by_role("button", name="11", exact=True).click()
    who.get_by_role("button", name="Check", exact=True).click()
    expect(who).to_contain_text("Right:")
    expect(who).to_contain_text("1 of 5 right")
    page.evaluate(SAVE)
    page.wait_for_function(SAVED)
    lessons.forget()
    page.goto("about:blank")

    kept = json.loads((lessons.folder / LESSON).read_text("utf-8"))
    outputs = [output.get("data", {}) for cell in kept["cells"] for output in cell.get("outputs", ())]
    assert sum("image/png" in data for data in outputs) >= 6
    assert [data for data in outputs if any("widget" in kind for kind in data)] == []
    assert "widgets" not in kept["metadata"]

    opened(page, lessons)
    who = block(page, WHO)
    expect(who).to_contain_text("Right:")
    page.wait_for_function(DRAWN, arg=1)
    page.screenshot(path=screenshots / "another_day.png")
    expect(block(page, COVER)).to_contain_text("1 of 5 right; last time: Who goes?")
    assert page.get_by_text("Error displaying widget").count() == page.get_by_text("model not found").count() == 0
    assert page.failures == []


def test_a_stopped_kernel_is_said_in_the_block_and_its_buttons_rest(page: Any, lessons: Lab, screenshots: Path) -> None:
    from playwright.sync_api import expect

    lessons.forget()
    opened(page, lessons)
    who = block(page, WHO)
    expect(who.locator(".pressing-notice")).to_be_hidden()
    page.evaluate(END_KERNEL)
    expect(who.locator(".pressing-notice")).to_contain_text("menu Run, then Run All Cells")
    page.screenshot(path=screenshots / "another_day_stopped.png")
    expect(who.locator("button", has_text="Check")).to_have_css("pointer-events", "none")
    assert set(who.evaluate(BROKEN)) == {"none"}


def test_in_notebook_it_comes_to_life_as_well(page: Any, lessons: Lab, screenshots: Path) -> None:
    lessons.forget()
    page.goto(f"{lessons.url}notebooks/{LESSON}?token={lessons.token}")
    page.locator(".jp-Notebook").hover()
    wait_until(page, lambda: page.mouse.wheel(0, 100) or page.locator(".pressing-task").count())
    page.locator(".pressing-task").first.wait_for()
    page.screenshot(path=screenshots / "another_day_notebook.png")
    assert page.get_by_text("Error displaying widget").count() == 0


def test_an_edited_lesson_waits_with_its_pictures_and_no_error(page: Any, lessons: Lab, screenshots: Path) -> None:
    lessons.forget()
    path = lessons.folder / LESSON
    kept = json.loads(path.read_text("utf-8"))
    code = next(cell for cell in kept["cells"] if "TryIt" in "".join(cell["source"]))
    code["source"] = "".join(code["source"]) + "  # mine"
    (lessons.folder / "edited.ipynb").write_text(json.dumps(kept), "utf-8")
    page.goto(TREE.format(lessons, "edited.ipynb"))
    page.wait_for_function(IDLE)
    page.wait_for_timeout(3_000)  # time for what must not happen
    page.evaluate(GO_TO, f"On the board: {WHO}")
    page.locator(".jp-OutputArea-output img").first.wait_for()
    assert page.locator(".pressing-task").count() == 0
    page.screenshot(path=screenshots / "another_day_edited.png")
    assert page.get_by_text("Error displaying widget").count() == 0
