"""The zonal block: where each line stands for a ball, before anyone is given a duty."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pressinglib.field.pitch import Pitch
from pressinglib.field.player import ATTACKING, BACK, FORWARD, GOALKEEPER, LINE_OF_SLOT, MIDFIELD

Floats = NDArray[np.float64]
STANDARD_M = (105.0, 68.0)
MARGIN_M = 2.0  # from the goal lines (own choice)
WIDE_M = 5.0  # from the touchlines: with the ball out there ball-side backs who do not press stand 5 to 7 m inside (D)
HALFWAY_M = 0.5  # a back line stays behind it, even the two of a small side (D)
BOW_M = 1.0  # the ends of the back line stand this much higher than its middle (own choice)
# Width of a line as a share of the block's width, by line (rows) and number of players 0 .. 5, more as 5.
WIDTH_SHARE = np.array([
    [0.0, 0.0, 0.00, 0.00, 0.00, 0.00], [0.0, 0.0, 0.35, 0.62, 0.95, 1.12], [0.0, 0.0, 0.38, 0.70, 1.00, 1.12],
    [0.0, 0.0, 0.40, 0.72, 1.00, 1.12], [0.0, 0.0, 0.75, 0.97, 1.00, 1.12], [0.0, 0.0, 0.32, 0.90, 1.00, 1.12],
])


def block_xy(line: ArrayLike, y: ArrayLike, ball_xy: ArrayLike, length_m: float, width_m: float, *,
             block_length_m: float = 32.0, block_width_m: float = 38.0, back_gap_m: float = 10.0,
             front_gap_m: float = 13.0, shift: float = 0.5, confrontation_x: ArrayLike | None = None) -> Floats:
    """Reference places (F, N, 2) of a team in its block, from lines and ball alone; NaN if absent.

    `line` (F, N): 0 goalkeeper .. 5 forwards, -1 absent; `y` (F, N): where the players are now, only the order inside a
    line counts; `ball_xy` (F, 2). Depth follows the ball by a smooth curve; the block is shorter and narrower near its
    own goal, shifts across with the ball by `shift` of its y (P) and keeps 5 m to the touchlines. Four or more lines
    fill `block_length_m`; three keep their gaps, widened by at most 15 %. With the ball beyond `confrontation_x` it
    stays as deep as for a ball there. The goalkeeper stands by `keeper_xy`.

    Length and width 32.5 +- 8.7 by 37.3 +- 4.8 m, measured over players (A: Forcher et al. 2024,
    10.1177/17479541231172695); defence to midfield 10.2 +- 3.8 and midfield to forwards 13.3 +- 4.2 (same source);
    attackers behind a centre-forward at 0.7 of the front gap (D).

    Depth is our own curve (D). Against 1,031 frames of one match (defending team, ball held by the other side;
    Bassek et al. 2025, 10.1038/s41597-025-04505-y) the medians of the back line's x with the ball at x = 35 / 15 /
    -5 / -25 are -2.5 / -10.8 / -18.6 / -32.2 m; here (4-2-3-1) -6.6 / -15.1 / -27.1 / -37.8, deeper, as a set block
    is than one on the move. Forwards: 22.7 / 7.5 / 2.3 / -9.8; here 24.6 / 14.6 / 0.3 / -12.3. Width: in 52 frames
    of the same match, ball within 8 m of a touchline, the ball-side back who is more than 12 m from it has his
    median 27.5 m and his upper quartile 29 m from the middle; the line's middle is at 0.33 of the ball's y.
    """
    line, y, ball = np.asarray(line, int), np.asarray(y, float), np.asarray(ball_xy, float)
    reach_x = ball[:, 0] if confrontation_x is None else np.minimum(ball[:, 0], confrontation_x)
    upfield = _upfield(reach_x, length_m)[:, None]
    lines = np.maximum(line, 0)
    across, share = _across(line, y)
    wide = np.minimum((0.76 + 0.26 * upfield) * block_width_m * share, width_m - 2 * WIDE_M)
    room = width_m / 2 - WIDE_M - wide / 2
    spot_y = np.clip(shift * ball[:, 1, None], -room, room) + across * wide / 2
    heights = _heights(block_length_m, back_gap_m, front_gap_m)[_lines_present(line)]
    squeeze = 0.74 + 0.28 * upfield
    lift = np.minimum((block_length_m - heights[:, FORWARD + 1 :]) / 2, 3.0)
    back = np.minimum(back_line_x(reach_x, length_m)[:, None] + lift * squeeze, 0.0)
    bow = np.where(line == BACK, BOW_M * (across**2 - 0.4), 0.0)
    spot_x = back + squeeze * np.take_along_axis(heights, lines, axis=1) + bow
    spot_x = np.where(line == BACK, np.minimum(spot_x, HALFWAY_M), spot_x)
    spots = np.stack([np.clip(spot_x, MARGIN_M - length_m / 2, length_m / 2 - MARGIN_M), spot_y], axis=-1)
    spots = np.where((line == GOALKEEPER)[..., None], keeper_xy(ball, length_m)[:, None], spots)
    return np.asarray(np.where((line < 0)[..., None], np.nan, spots))


def back_line_x(ball_x: ArrayLike, length_m: float) -> Floats:
    """Depth of the back line for a ball at `ball_x` (any shape), m: rising, short of halfway, 7 m off the goal line."""
    return np.asarray(-0.46 * length_m * (1 - _upfield(ball_x, length_m)))


def _upfield(ball_x: ArrayLike, length_m: float) -> Floats:
    return np.asarray(0.5 + 0.5 * np.tanh(1.36 * np.asarray(ball_x, float) / (length_m / 2)))


def keeper_xy(ball_xy: ArrayLike, length_m: float) -> Floats:
    """The goalkeeper's place on the ball-goal line for balls (..., 2), m.

    Height above the goal 0.06 d^1.3 m for a ball d m away (D: fits the medians of 1,031 frames of one match within 2 m,
    23 m at d = 98, 6 m at d = 38; Bassek et al. 2025, 10.1038/s41597-025-04505-y).
    """
    goal = np.array([-length_m / 2, 0.0])
    to_ball = np.asarray(ball_xy, float) - goal
    away = np.linalg.norm(to_ball, axis=-1, keepdims=True)
    spot = goal + to_ball / np.maximum(away, 1e-9) * np.minimum(0.06 * away**1.3, 0.5 * away)
    return np.asarray(np.maximum(spot, [goal[0] + 0.5, -np.inf]))


def _across(line: NDArray[np.int_], y: Floats) -> tuple[Floats, Floats]:
    """Place inside the line from -1 (right end) to 1 (left end), and the line's share of the block's width."""
    same = line[:, :, None] == line[:, None, :]
    index = np.arange(line.shape[1])
    left_of = (y[:, :, None] > y[:, None, :]) | ((y[:, :, None] == y[:, None, :]) & (index[:, None] > index))
    count, rank = same.sum(2), (same & left_of).sum(2)
    across = (2 * rank - (count - 1)) / np.maximum(count - 1, 1)
    return across, WIDTH_SHARE[np.maximum(line, 0), np.minimum(count, 5)]


def _lines_present(line: NDArray[np.int_]) -> NDArray[np.int_]:
    """One number a frame for the set of outfield lines that have a player: a bit for each line."""
    has = (line[:, :, None] == np.arange(BACK, FORWARD + 1)).any(axis=1)
    return np.asarray(has @ (1 << np.arange(FORWARD)))


@lru_cache(maxsize=64)
def _heights(length_m: float, back_gap_m: float, front_gap_m: float) -> Floats:
    """Height of each line above the lowest, (set of lines, 6 lines + the block's length), m."""
    table = np.zeros((1 << FORWARD, FORWARD + 2))
    for lines in range(len(table)):
        present = [k for k in range(BACK, FORWARD + 1) if lines >> (k - 1) & 1]
        steps = _steps(present, length_m, back_gap_m, front_gap_m)
        table[lines, present] = np.concatenate([[0.0], np.cumsum(steps)])[: len(present)]
        table[lines, -1] = sum(steps)
    table.flags.writeable = False
    return table


def _steps(present: Sequence[int], length_m: float, back_gap_m: float, front_gap_m: float) -> list[float]:
    """The gaps between the lines present, from the lowest up, m."""
    if len(present) < 2:
        return []
    if len(present) == 2:
        gaps = [back_gap_m + front_gap_m if present == [BACK, FORWARD] else back_gap_m]
    else:
        top = front_gap_m * (0.7 if present[-2] == ATTACKING and present[-1] == FORWARD else 1.0)
        middle = len(present) - 3
        gaps = [back_gap_m, *[max(4.0, (length_m - back_gap_m - top) / max(middle, 1))] * middle, top]
    whole = sum(gaps)
    wanted = length_m if len(present) > 3 else min(length_m, 1.15 * whole)
    return [gap * wanted / whole for gap in gaps]


def side_hint(slot: str) -> float:
    """How far left a slot stands: -2 wide right .. 2 wide left; left is +y for the pressing team."""
    side, _, rest = slot.partition(" ")
    far = 2.0 if rest in ("back", "wing-back", "wide midfielder", "winger") else 1.0
    return {"left": far, "right": -far}.get(side, 0.0)


def lined_up_xy(slots: Sequence[str], ball_xy: tuple[float, float], pitch: Pitch) -> list[tuple[float, float]]:
    """Places of a pressing team with these slots in its block, left slots at +y, in the order of `slots`.

    Block sizes shrink with the pitch. Players with the slot "outfield" stand in midfield.
    """
    line = np.array([[LINE_OF_SLOT.get(s, MIDFIELD) for s in slots]])
    order = np.array([[side_hint(s) + 1e-3 * i for i, s in enumerate(slots)]])
    long, wide = (min(1.0, size / full) for size, full in zip((pitch.length_m, pitch.width_m), STANDARD_M, strict=True))
    spots = block_xy(line, order, [ball_xy], pitch.length_m, pitch.width_m, block_length_m=32 * long,
                     block_width_m=38 * wide, back_gap_m=10 * long, front_gap_m=13 * long)[0]
    return [(float(x), float(y)) for x, y in spots]
