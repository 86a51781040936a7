"""A person opens the first lesson in JupyterLab, drags the ball and a player, reads the plan, and takes it back."""

from __future__ import annotations

import re
from collections.abc import Iterator
from math import dist
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.browser

LESSON = "00_a_full_press_in_five_minutes.ipynb"
PROJECTOR = {"width": 1280, "height": 720}
SLOW_MS = 60_000
SOON_MS = 5_000
HAND_STEPS = 25

IDLE = "() => window.jupyterapp?.shell.currentWidget?.context?.sessionContext.session?.kernel?.status == 'idle'"
RUN_ALL = "() => jupyterapp.commands.execute('notebook:run-all-cells')"
# Bokeh draws on a canvas: where its tokens are on the page, only its own models know. Of several boards the topmost.
TOKENS = """() => {
  const boards = []
  for (const doc of Bokeh.documents) {
    const models = [...doc._all_models.values()]
    const src = models.find(m => m.name == 'tokens'), fig = models.find(m => m.type == 'Figure')
    const view = src && fig && Bokeh.index.find_one(fig)
    const box = view?.canvas_view?.el.getBoundingClientRect()
    if (box?.width) boards.push({src, view, box})
  }
  boards.sort((a, b) => a.box.top - b.box.top)
  if (!boards.length) return []
  const {src, view, box} = boards[0], d = src.data
  return d.x.map((x, i) => ({team: d.team[i], number: d.words[i], x, y: d.y[i],
    px: box.left + view.frame.x_scale.compute(x), py: box.top + view.frame.y_scale.compute(d.y[i])}))
}"""


# Some JupyterLabs do not show a cell before it is scrolled to: find the first cell that answered with a board, and go.
GO_TO_BOARD = """() => {
  const notebook = jupyterapp.shell.currentWidget.content
  const answers = cell => JSON.stringify(cell.model.toJSON().outputs ?? [])
  const index = notebook.widgets.findIndex(cell => answers(cell).includes('Board of'))
  if (index >= 0) notebook.scrollToItem(index, 'start')
  return index >= 0
}"""


class OpenBoard:
    """The first board on a page, as a person sees and handles it."""

    def __init__(self, page: Any) -> None:
        self.page = page
        self.box = page.locator(".pressing-board").first
        self.words = self.box.locator(".pressing-words")
        self.duties = self.box.locator(".pressing-duties")

    def tokens(self) -> list[dict[str, Any]]:
        return self.page.evaluate(TOKENS)

    def token(self, team: str, number: str) -> dict[str, Any]:
        return next(t for t in self.tokens() if (t["team"], t["number"]) == (team, number))

    def presser(self) -> str:
        """The number beside the role P in the table."""
        found = re.search(r"^(\S+)\s+P pressure", self.duties.inner_text(), re.MULTILINE)
        assert found, self.duties.inner_text()
        return found[1]

    def grip(self, token: dict[str, Any], to: tuple[float, float]) -> None:
        """Take a token by the mouse and move it, at the pace of a hand, without letting go."""
        mouse, start = self.page.mouse, (token["px"], token["py"])
        mouse.move(*start)
        mouse.down()
        for step in range(1, HAND_STEPS + 1):
            share = step / HAND_STEPS
            mouse.move(*(a + share * (b - a) for a, b in zip(start, to, strict=True)))

    def drag(self, token: dict[str, Any], to: tuple[float, float]) -> None:
        """Take a token by the mouse, move it and let it go."""
        self.grip(token, to)
        self.page.mouse.up()

    def press(self, name: str) -> None:
        self.box.get_by_role("button", name=name, exact=True).click()
        self.into_view()

    def into_view(self) -> None:
        self.box.evaluate("box => box.scrollIntoView()")
        self.page.wait_for_timeout(400)


@pytest.fixture
def page(chromium: Any) -> Iterator[Any]:
    context = chromium.new_context(viewport=PROJECTOR)
    page = context.new_page()
    page.set_default_timeout(SLOW_MS)
    page.failures, page.strangers = [], []
    page.on("pageerror", lambda error: page.failures.append(str(error)))
    page.on("request", lambda request: "127.0.0.1" not in request.url and request.url.startswith("http")
            and page.strangers.append(request.url))
    yield page
    context.close()


@pytest.fixture
def board(page: Any, lab: Any) -> OpenBoard:
    """The lesson with all its cells run."""
    page.goto(lab.address(LESSON))
    page.wait_for_function(IDLE)
    page.evaluate(RUN_ALL)
    board = OpenBoard(page)
    page.wait_for_function(GO_TO_BOARD)
    board.box.wait_for()
    board.into_view()
    page.wait_for_function(f"() => window.Bokeh && ({TOKENS})().length > 0")
    board.into_view()
    return board


def test_a_lesson_board_follows_the_hand_and_takes_it_back(board: OpenBoard, page: Any, screenshots: Path) -> None:
    from playwright.sync_api import expect

    expect.set_options(timeout=SOON_MS)
    first_words, first_duties = board.words.inner_text(), board.duties.inner_text()
    page.screenshot(path=screenshots / "lesson_00_first.png")

    ball = board.token("ball", "")
    opponents = [token for token in board.tokens() if token["team"] == "possession"]
    far = max(opponents, key=lambda token: dist((token["x"], token["y"]), (ball["x"], ball["y"])))
    board.drag(ball, (far["px"] + 2, far["py"] + 2))
    expect(board.words).not_to_have_text(first_words)
    expect(board.duties).not_to_have_text(first_duties)
    page.screenshot(path=screenshots / "lesson_00_ball_dragged.png")
    board.press("Undo")
    expect(board.words).to_have_text(first_words)
    assert board.duties.inner_text() == first_duties
    assert board.token("ball", "") | {"px": 0, "py": 0} == ball | {"px": 0, "py": 0}

    presser = board.token("pressing", board.presser())
    keeper_side = min(board.tokens(), key=lambda t: t["x"])
    board.drag(presser, (keeper_side["px"], keeper_side["py"] + 60))
    expect(board.duties).not_to_have_text(first_duties)
    assert board.presser() != presser["number"]
    page.screenshot(path=screenshots / "lesson_00_presser_dragged.png")
    board.press("Undo")
    expect(board.words).to_have_text(first_words)
    assert board.presser() == presser["number"]
    assert page.failures == [] and page.strangers == []


def test_a_token_stays_in_the_hand_while_the_plan_follows(board: OpenBoard, page: Any) -> None:
    from playwright.sync_api import expect

    duties = board.duties.inner_text()
    presser = board.token("pressing", board.presser())
    there = (presser["px"] - 200, presser["py"] + 80)
    board.grip(presser, there)
    expect(board.duties).not_to_have_text(duties, timeout=SOON_MS)
    page.wait_for_timeout(300)  # every answer to the way has arrived
    held = board.token("pressing", presser["number"])
    page.mouse.up()
    assert (held["px"], held["py"]) == pytest.approx(there, abs=1.0)


def test_a_player_can_be_moved_without_a_mouse(board: OpenBoard, page: Any) -> None:
    from playwright.sync_api import expect

    number = board.presser()
    before = board.token("pressing", number)
    board.box.get_by_label("Move").select_option(label=f"pressing {number}")
    field = board.box.get_by_label("x (m)")
    expect(field).to_have_value(re.compile(r"-?\d"), timeout=SOON_MS)
    field.fill(str(round(before["x"] - 12.0, 2)))
    field.press("Enter")
    page.wait_for_function(f"x => ({TOKENS})().some(t => t.number == '{number}' && Math.abs(t.x - x) < 0.01)",
                           arg=before["x"] - 12.0, timeout=SOON_MS)
    board.box.get_by_role("button", name="\N{UPWARDS ARROW}", exact=True).press("Enter")
    page.wait_for_function(f"y => ({TOKENS})().some(t => t.number == '{number}' && Math.abs(t.y - y) < 0.01)",
                           arg=before["y"] + 0.5, timeout=SOON_MS)
