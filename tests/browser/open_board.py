"""A board on a page, as a person sees and handles it."""

from __future__ import annotations

import re
from collections.abc import Callable
from math import dist
from time import monotonic
from typing import Any

import numpy as np

HAND_STEPS = 25
SOON_MS, LOOK_MS = 120_000, 200  # how long a slow and busy machine may take; it costs a quick one nothing

# Where the tokens of the boards are on the page; boards from top to bottom.
BOARDS = """() => [...document.querySelectorAll('.pressing-figure svg')]
  .map(svg => ({svg, box: svg.getBoundingClientRect()})).filter(({box}) => box.width)
  .sort((a, b) => a.box.top - b.box.top)
  .map(({svg, box}) => [...svg.querySelectorAll('.tokens > g')].map(token => {
    const {e: x, f} = token.transform.baseVal[0].matrix, {x: left, y: top, width} = svg.viewBox.baseVal
    const px = box.width / width
    return {team: token.dataset.team, number: token.dataset.number, x, y: -f, px: box.left + (x - left) * px,
      py: box.top + (f - top) * px}
  }))"""
DRAWN = f"n => ({BOARDS})().filter(tokens => tokens.length).length >= n"

ALL_RUN = """() => jupyterapp.shell.currentWidget.content.widgets.filter(c => c.model.type == 'code')
  .every(c => c.model.executionCount)"""
# Some JupyterLabs do not show a cell before it is scrolled to: go to the first that answered with these words.
GO_TO = """words => {
  const notebook = jupyterapp.shell.currentWidget.content
  const answers = cell => JSON.stringify(cell.model.toJSON().outputs ?? [])
  const index = notebook.widgets.findIndex(cell => answers(cell).includes(words))
  if (index >= 0) notebook.scrollToItem(index, 'start')
  return index >= 0
}"""


def wait_until(page: Any, holds: Callable[[], Any]) -> None:
    """Until something holds, which is said to be soon; it is asked at once, and once more at the end."""
    end = monotonic() + SOON_MS / 1000
    while not holds():
        assert monotonic() < end, "it does not hold in time"
        page.wait_for_timeout(LOOK_MS)


def steady(page: Any, look: Callable[[], Any]) -> Any:
    """What is looked at, once it is there and stays the same."""
    seen: list[Any] = [None]

    def stays() -> Any:
        seen.append(look())
        return seen[-1] and seen[-1] == seen[-2]

    wait_until(page, stays)
    return seen[-1]


class OpenBoard:
    """A board on a page: the nth of those in sight, or one that is named, whatever the page hides beside it."""

    def __init__(self, page: Any, which: Any = 0) -> None:
        self.page = page
        self.box = page.locator(".pressing-board:visible").nth(which) if isinstance(which, int) else which
        self.words = self.box.locator(":not(.pressing-quiet) > .pressing-words")
        self.complaint = self.box.locator(".pressing-complaint")
        self.duties = self.box.locator(".pressing-duties")
        self.picture = self.box.locator(".pressing-figure")

    def tokens(self) -> list[dict[str, Any]]:
        """Its tokens; none while it is not drawn."""
        if not (box := self.box.bounding_box()):
            return []
        right, bottom = box["x"] + box["width"], box["y"] + box["height"]
        return next((tokens for tokens in self.page.evaluate(BOARDS) if tokens
                     and box["x"] <= tokens[0]["px"] <= right and box["y"] <= tokens[0]["py"] <= bottom), [])

    def wait_until(self, holds: Callable[[], Any]) -> None:
        """Until something holds of it, which is said to be soon."""
        wait_until(self.page, holds)

    def token(self, team: str, number: str) -> dict[str, Any]:
        return next(t for t in self.tokens() if (t["team"], t["number"]) == (team, number))

    def place(self, team: str, number: str) -> tuple[float, float]:
        """Where the picture shows a token, metres."""
        token = self.token(team, number)
        return token["x"], token["y"]

    def known_place(self) -> tuple[float, float]:
        """Where Python knows whoever is chosen, by the number boxes."""
        x, y = (float(self.box.get_by_label(f"{axis} (m)").input_value()) for axis in "xy")
        return x, y

    def wait_until_at(self, team: str, number: str, xy: tuple[float, float], within_m: float = 0.02) -> None:
        """Until the picture shows somebody at a place."""
        self.wait_until(lambda: dist(self.place(team, number), xy) < within_m)

    def wait_until_known(self, xy: tuple[float, float], within_m: float = 0.5) -> None:
        """Until Python, too, has whoever is chosen at a place."""
        self.wait_until(lambda: dist(self.known_place(), xy) < within_m)

    def presser(self) -> str:
        """The number beside the role P in the table."""
        found = re.search(r"^(\S+)\s+P pressure", self.duties.inner_text(), re.MULTILINE)
        assert found, self.duties.inner_text()
        return found[1]

    def grip(self, token: dict[str, Any], to: tuple[float, float], steps: int = HAND_STEPS) -> None:
        """Take a token by the mouse and move it, at the pace of a hand, without letting go."""
        mouse, start = self.page.mouse, (token["px"], token["py"])
        mouse.move(*start)
        mouse.down()
        for step in range(1, steps + 1):
            share = step / steps
            mouse.move(*(a + share * (b - a) for a, b in zip(start, to, strict=True)))

    def drag(self, token: dict[str, Any], to: tuple[float, float], steps: int = HAND_STEPS) -> None:
        """Take a token by the mouse, move it and let it go."""
        self.grip(token, to, steps)
        self.page.mouse.up()

    def drag_to(self, number: str, xy: tuple[float, float], drag: Callable[..., None] | None = None) -> None:
        """Take one of ours to a place of the pitch; again if the page was pushed on before the hand had him."""
        before = self.place("pressing", number)

        def moved() -> bool:
            self.into_view()
            (drag or self.drag)(self.token("pressing", number), self.on_page(xy))
            return self.place("pressing", number) != before

        self.wait_until(moved)

    def on_page(self, place: tuple[float, float]) -> tuple[float, float]:
        """A place of the pitch in pixels: the tokens tell the scale."""
        tokens = self.tokens()
        scales = [np.polyfit([t[metre] for t in tokens], [t[pixel] for t in tokens], 1)
                  for metre, pixel in (("x", "px"), ("y", "py"))]
        x, y = (float(np.polyval(scale, metre)) for scale, metre in zip(scales, place, strict=True))
        return x, y

    def press(self, name: str) -> None:
        self.box.get_by_role("button", name=name, exact=True).click()
        self.into_view()

    def into_view(self) -> None:
        """Scroll to it, and wait until it is drawn and nothing on the page pushes it about any more."""
        def place() -> Any:
            self.box.evaluate("box => box.scrollIntoView()")
            return self.tokens() and self.box.bounding_box()

        steady(self.page, place)
