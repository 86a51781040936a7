"""Times of a drag in a real browser: from the move of the mouse to the redrawn plan, against the bare echo.

Run by hand, with the host's name if it is not JupyterLab: python -m tests.benchmarks.bench_drag [lab|notebook|voila]

The echo is the same figure on the same canvas: Python sends it back as it stands, without planning or drawing anything.
Both boards are on one page and take turns, so that what slows the machine slows both.
"""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np

from tests.browser.conftest import PROJECTOR, served
from tests.browser.open_board import BOARDS, DRAWN, SOON_MS
from tests.conftest import QUIET, chromium_path

CELLS = ("""
import json
from pressinglib.field.scene_file import scene
from pressinglib.show.board import Board
from pressinglib.show.canvas import Canvas
board = Board(scene("worked scene"), width_px=560)
""", "board.canvas", """
picture = json.loads(board.canvas.picture)

def echo(words):
    bare.picture = json.dumps({**picture, "answers": dict([words[-1].turn])})

bare = Canvas(echo, print, width_px=560)
bare.ground, bare.picture = board.canvas.ground, board.canvas.picture
bare
""")
ROUNDS, MOVES, APART_MS = 16, 12, 170
WATCH = """n => {
  const drawn = [...document.querySelectorAll('.pressing-figure .fills')]
  window.moves = [], window.redraws = [], window.frames = []
  addEventListener('pointermove', () => moves.push(performance.now()), true)
  for (const fills of drawn)
    new MutationObserver(() => requestAnimationFrame(() => setTimeout(() => redraws.push(performance.now()), 0)))
      .observe(fills, {childList: true})
  const frame = now => { frames.push(now); requestAnimationFrame(frame) }
  requestAnimationFrame(frame)
}"""


def times(page: Any, nth: int, way: int) -> list[float]:
    """Milliseconds from each move of one drag to the next redraw."""
    token = next(t for t in page.evaluate(BOARDS)[nth] if (t["team"], t["number"]) == ("pressing", "9"))
    page.mouse.move(token["px"], token["py"])
    page.mouse.down()
    page.wait_for_timeout(APART_MS)
    page.evaluate("() => { moves.length = redraws.length = 0 }")
    for step in range(1, MOVES + 1):
        page.mouse.move(token["px"] + way * 5 * step, token["py"] + way * 2 * step)
        page.wait_for_timeout(APART_MS)
    moves, redraws = page.evaluate("() => [moves, redraws]")
    page.mouse.up()
    page.wait_for_timeout(2 * APART_MS)
    return [min((r for r in redraws if r > move), default=np.nan) - move for move in moves]


def frame_gaps(page: Any, nth: int) -> list[float]:
    """Milliseconds between frames while a hand drags at full pace."""
    token = next(t for t in page.evaluate(BOARDS)[nth] if (t["team"], t["number"]) == ("pressing", "9"))
    page.mouse.move(token["px"], token["py"])
    page.mouse.down()
    page.evaluate("() => { frames.length = 0 }")
    for step in range(90):
        page.mouse.move(token["px"] - 2 * step, token["py"] + 40 * np.sin(step / 8))
    frames = page.evaluate("() => frames")
    page.mouse.up()
    return list(np.diff(frames))


def show(name: str, values: list[float]) -> float:
    median, late = np.nanquantile(values, [0.5, 0.95])
    lost = int(np.isnan(values).sum())
    print(f"{name:44s} {median:7.1f} ms median {late:7.1f} ms p95   {len(values)} times, {lost} without answer")
    return float(late)


def measure(page: Any) -> None:
    page.evaluate(WATCH, 2)
    found: dict[int, list[float]] = {0: [], 1: []}
    for turn in range(ROUNDS):
        for nth in (0, 1):
            found[nth] += times(page, nth, -1 if turn % 2 == 0 else 1)
    plan, echo = (show(name, found[nth]) for nth, name in enumerate(("move to redrawn plan", "move to bare echo")))
    print(f"{'ratio of the p95':44s} {plan / echo:7.2f}")
    print(f"{'ratio of the medians':44s} {np.nanmedian(found[0]) / np.nanmedian(found[1]):7.2f}")
    show("between two frames of a drag at full pace", frame_gaps(page, 0))


def main(host: str = "lab") -> None:
    from playwright.sync_api import sync_playwright

    with TemporaryDirectory() as folder, served(Path(folder)) as server, sync_playwright() as play:
        page = play.chromium.launch(executable_path=chromium_path(), args=QUIET).new_page(
            viewport={**PROJECTOR, "height": 1400})
        page.set_default_timeout(SOON_MS)
        server.write("drag.ipynb", *CELLS)
        server.open(page, "drag.ipynb", host)
        page.wait_for_function(DRAWN, arg=2)
        page.wait_for_timeout(2_000)
        print(f"Drag in {host}")
        measure(page)


if __name__ == "__main__":
    main(*sys.argv[1:])
