"""A tutor fills in the form under a board, in JupyterLab and without any code; a learner answers, the tutor marks."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from pressinglib.teach.exercise import RIGHT
from pressinglib.teach.lessons.lesson_00 import who_goes
from pressinglib.teach.own_exercise import load_exercise, save_exercise

pytestmark = [pytest.mark.browser, pytest.mark.full]

CELL = "import pressinglib as pl\npl.teach.Desk(pl.scene('worked scene'))"


@pytest.mark.parametrize("host", ["lab", "voila"])
def test_what_is_on_the_screen_is_tried_by_itself_saved_printed_and_shown(page: Any, lab: Any, screenshots: Path,
                                                                          host: str) -> None:
    from playwright.sync_api import expect

    lab.write("form.ipynb", CELL)
    lab.open(page, "form.ipynb", host)
    said = page.locator(".pressing-desk-side .pressing-words").last
    expect(said).to_have_text("Note: It can be solved. Right: 9 and nothing else.")  # nobody has pressed anything
    page.screenshot(path=screenshots / f"desk_{host}.png")
    title = page.get_by_label("Title", exact=True)
    title.fill("")
    expect(said).to_contain_text("the title: expected")  # words, and no lines of code
    title.fill(f"Who goes in {host}?")
    expect(said).to_have_text("Note: It can be solved. Right: 9 and nothing else.")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(said).to_contain_text("Saved as my-exercises")
    for word, ending in (("Print", ".pdf"), ("Slides", "_slides.html")):
        page.get_by_role("button", name=word, exact=True).click()
        expect(said).to_contain_text(f"who_goes_in_{host}{ending}")
    page.screenshot(path=screenshots / f"desk_saved_{host}.png")
    assert "Traceback" not in page.content()
    assert load_exercise(lab.folder / "my-exercises" / f"who_goes_in_{host}.json").check("9").outcome == RIGHT


def test_a_learner_answers_a_tutors_file_and_the_tutor_marks_it(page: Any, lab: Any, screenshots: Path) -> None:
    from playwright.sync_api import expect

    (lab.folder / "my-exercises").mkdir(exist_ok=True)
    save_exercise(who_goes, lab.folder / "my-exercises" / "handed_out.json")
    lab.write("class.ipynb", "from pressinglib.teach.desk import Homework, MarkClass\nHomework()", "MarkClass()")
    lab.open(page, "class.ipynb", "lab")
    page.get_by_label("Your name").fill("Kim")
    page.get_by_label("Exercise", exact=True).select_option("Who goes?")
    page.get_by_role("button", name="Open", exact=True).click()
    page.get_by_label("Answer", exact=True).fill("11")
    page.keyboard.press("Tab")
    page.get_by_role("button", name="Check", exact=True).click()
    expect(page.locator(".pressing-task-side .pressing-words")).to_contain_text("Right: ")
    page.screenshot(path=screenshots / "a_learner_answers.png")
    page.get_by_role("button", name="Mark", exact=True).click()
    expect(page.get_by_role("cell", name="right, try 1")).to_be_visible()
    expect(page.get_by_role("img", name="Who goes? right at once 1")).to_be_visible()
    page.screenshot(path=screenshots / "a_tutor_marks.png")
