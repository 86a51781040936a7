"""Does a plan flicker? One player moves by 5 cm: how often does any spot move by more than 1 m?"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from pressinglib.field.frames import Frames
from pressinglib.field.situation import Situation
from pressinglib.roles.pipeline import plan_frames
from tests.judge.frames import defending_frames

STEP_M, JUMP_M = 0.05, 1.0
SHAPES = (("4-2-3-1", "4-3-3"), ("4-4-2", "3-4-3"), ("4-3-3", "4-2-3-1"), ("5-3-2", "4-4-2"))
SCATTER_M, PACE_MPS = 3.0, 2.0
Floats = NDArray[np.float64]


def random_frames(each: int, random: np.random.Generator) -> list[Frames]:
    """Line-ups around a random ball, everybody some metres off his place and on the move; one Frames a shape."""
    return [_scattered(ours, theirs, each, random) for ours, theirs in SHAPES]


def _scattered(ours: str, theirs: str, each: int, random: np.random.Generator) -> Frames:
    balls = random.uniform((-40, -31), (45, 31), (each, 2))
    frames = Frames.of([Situation.line_up(ours, theirs, (float(x), float(y))) for x, y in balls])
    changes = {}
    for team in ("pressing", "possession"):
        xy = getattr(frames, f"{team}_xy")
        changes[f"{team}_xy"] = frames.pitch.inside(xy + random.normal(0, SCATTER_M, xy.shape))
        changes[f"{team}_velocity"] = random.normal(0, PACE_MPS, xy.shape)
    rows = np.arange(each)
    changes["ball_xy"] = changes["possession_xy"][rows, frames.carrier] + random.uniform(-0.5, 0.5, (each, 2))
    return Frames(**{**vars(frames), **changes, "ball_xy": frames.pitch.inside(changes["ball_xy"])})


def nudged(frames: Frames, random: np.random.Generator) -> Frames:
    """One player of each frame 5 cm off, any direction; the carrier takes the ball along."""
    ours, theirs = np.array(frames.pressing_xy), np.array(frames.possession_xy)
    count, rows = ours.shape[1], np.arange(len(frames))
    who = random.integers(0, count + theirs.shape[1], len(frames))
    angle = random.uniform(0, 2 * np.pi, len(frames))
    step = STEP_M * np.stack([np.cos(angle), np.sin(angle)], axis=-1)
    for xy, mine, index in ((ours, who < count, who), (theirs, who >= count, who - count)):
        xy[rows[mine], index[mine]] += step[mine]
    along = (who - count == frames.carrier)[:, None] * step
    inside = frames.pitch.inside
    return Frames(**{**vars(frames), "pressing_xy": inside(ours, -3.0), "possession_xy": inside(theirs, -3.0),
                     "ball_xy": inside(frames.ball_xy + along, -3.0)})


def furthest_jump_m(frames: Frames, random: np.random.Generator) -> Floats:
    """(F,) how far the spot that moves most moves."""
    before, after = (plan_frames(f)["target_xy"] for f in (frames, nudged(frames, random)))
    return np.nanmax(np.hypot(*np.moveaxis(after - before, -1, 0)), axis=1)


def steady_share(many: list[Frames], random: np.random.Generator) -> tuple[float, int]:
    """Share of frames in which no spot moves by more than 1 m, and how many frames."""
    jumps = np.concatenate([furthest_jump_m(frames, random) for frames in many])
    return float(np.mean(jumps <= JUMP_M)), len(jumps)


def print_table(show: Callable[[str], None] = print) -> None:
    random = np.random.default_rng(5)
    show(f"\none player {100 * STEP_M:.0f} cm off: share of pictures in which no spot moves by more than {JUMP_M:g} m")
    for name, many in (("random pictures", random_frames(250, random)), ("match frames", defending_frames(900))):
        share, count = steady_share(many, random)
        show(f"{name:<20}{share:7.3f} of {count}")
