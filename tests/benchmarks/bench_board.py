"""Times of one round of the board, without a browser. Run by hand: python tests/benchmarks/bench_board.py"""

from collections.abc import Callable
from time import perf_counter

import numpy as np

from pressinglib import plan_press
from pressinglib.field.scene_file import scene
from pressinglib.show.board import Board
from pressinglib.show.drawing import LAYERS, draw_plan
from pressinglib.show.export import picture_bytes
from pressinglib.show.primitives import primitives_of

SCENE = scene("worked scene")
STEPS = 200


def show(name: str, call: Callable[[int], object], repeats: int = STEPS) -> None:
    call(0)
    times = []
    for step in range(1, repeats + 1):
        start = perf_counter()
        call(step)
        times.append(perf_counter() - start)
    median, late = np.quantile(times, [0.5, 0.95]) * 1e3
    print(f"{name:58s} {median:7.2f} ms median {late:7.2f} ms p95")


def main() -> None:
    plan = plan_press(SCENE)
    _ = plan.words, plan.lanes, plan.gaps
    board, busy = Board(SCENE), Board(SCENE, layers=LAYERS)
    ball = [(35.0 - 0.1 * step, 10.0 - 0.1 * step) for step in range(STEPS + 1)]
    show("plan of a new picture", lambda i: plan_press(SCENE.with_ball(ball[i])).words)
    show("drawing of a plan, roles and shadow", lambda i: draw_plan(SCENE, plan))
    show("drawing of a plan, all layers", lambda i: draw_plan(SCENE, plan, LAYERS))
    drawing = draw_plan(SCENE, plan, LAYERS)
    show("ink of a drawing, all layers", lambda i: primitives_of(drawing))
    show("board: a move of the ball, plan to canvas", lambda i: board.move("ball", "", ball[i]))
    show("the same with all layers", lambda i: busy.move("ball", "", ball[i]))
    show("PNG of 18 cm at 200 dots per inch", lambda i: picture_bytes(drawing), repeats=5)


if __name__ == "__main__":
    main()
