"""The team in possession around a ball: build-up shape, width, and the player on the ball."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pressinglib.errors import BadInput, shown
from pressinglib.field.pitch import PENALTY_AREA_M, Pitch
from pressinglib.field.player import FORWARD, LINE_OF_SLOT
from pressinglib.field.zonal_block import STANDARD_M, back_line_x, keeper_xy, side_hint

Floats = NDArray[np.float64]
APART_M = 7.0  # team-mates make room until they are this far apart, smaller on smaller pitches (own choice)
ROOM_M, LEAST_ROOM_M = 5.0, 4.0  # nobody but the carrier stands nearer to the ball; not even where it is crowded
EDGE_M = 1.0
TOUCHLINE_M = 4.5  # wide players hold the width this far inside the line
ONSIDE_M = 3.2  # forwards stand this far short of `back_line_x`: short of the line of any formation
KEEPER_M = 5.0  # how far off his line a goalkeeper offers himself for the back pass
FIRST, SECOND, BESIDE, WIDE, MIDDLE, WING, HOLE, TOP = range(8)
# Height of each job between the first line (0) and the forwards (1), and metres between neighbours in it.
HEIGHT = np.array([0.0, 0.33, 0.20, 0.58, 0.68, 0.92, 0.78, 1.0])
SPACING_M = np.array([18.0, 17.0, 0.0, 0.0, 21.0, 0.0, 18.0, 13.0])


def build_up_xy(slots: Sequence[str], ball_xy: tuple[float, float], pitch: Pitch,
                build_up: str | None = None) -> list[tuple[float, float]]:
    """Places of the team in possession, attacking -x (its left is -y), in the order of `slots`.

    `build_up` "a+b": a players (2-4) in the first line, b (1-3) in the second; default "3+2" with three centre-backs,
    else "2+3": two centre-backs, and a holding midfielder between the full-backs. The first line stands behind the
    ball, the second in front of it; wide players hold the width, forwards stand against the block of `back_line_x`,
    onside. The nearest player is put on the ball, the others make room. Places are our own (D), shapes and heights
    common practice.
    """
    usual = (3, 2) if sum("centre-back" in s for s in slots) >= 3 else (2, 3)
    first, second = usual if build_up is None else build_up_counts(build_up)
    ball = -np.asarray(ball_xy, float)  # from here on the team attacks +x, as the pressing team does elsewhere
    jobs = _jobs(slots, first, second, float(ball[1]))
    spots = _shape(jobs, slots, ball, pitch)
    if len(slots):
        spots = _around_carrier(spots, _carrier(spots, slots, ball, pitch), slots, ball, pitch)
    return [(float(x), float(y)) for x, y in 0.0 - spots]


def build_up_counts(build_up: object) -> tuple[int, int]:
    """The two counts of a build-up shape, else BadInput."""
    first, _, second = build_up.partition("+") if isinstance(build_up, str) else ("", "", "")
    if first not in ("2", "3", "4") or second not in ("1", "2", "3"):
        raise BadInput("build_up", expected="two counts such as '2+3', first 2-4, second 1-3", got=shown(build_up),
                       todo="count the first and the second line of the build-up")
    return int(first), int(second)


# -- Who stands in which line.


def _jobs(slots: Sequence[str], first: int, second: int, ball_y: float) -> dict[int, int]:
    """Job of each outfield player, by index into `slots`."""
    field = [i for i, s in enumerate(slots) if s != "goalkeeper"]
    back = sorted(field, key=lambda i: _stays_back(slots[i], ball_y))[:first]
    rest = [i for i in field if i not in back]
    beside = [i for i in rest if slots[i] in ("left back", "right back")]
    central = [i for i in rest if abs(side_hint(slots[i])) < 2 and LINE_OF_SLOT.get(slots[i]) != FORWARD]
    pivots = sorted(central, key=lambda i: _drops(slots[i], ball_y))
    if second == 3 and len(beside) == 2:
        front = dict.fromkeys(pivots[:1], SECOND) | dict.fromkeys(beside, BESIDE)
    else:
        front = dict.fromkeys(pivots[:second], SECOND)
    others = {i: _usual_job(slots[i]) for i in rest if i not in front}
    return dict.fromkeys(back, FIRST) | front | others


def _stays_back(slot: str, ball_y: float) -> float:
    """Order in which slots fill the first line: centre-backs, the far full-back, the near one, then the deepest."""
    if "centre-back" in slot:
        return 0.0 if side_hint(slot) else 1.0
    if slot in ("left back", "right back"):
        return 2.0 if side_hint(slot) * ball_y <= 0 else 2.5
    return 3.0 + _drops(slot, ball_y)


def _drops(slot: str, ball_y: float) -> float:
    """Order in which slots fill the second line: holding midfielders first, of a pair the one on the ball's side."""
    holding, wide = "holding" in slot, abs(side_hint(slot)) == 2
    line = LINE_OF_SLOT.get(slot, 3)
    off_centre = 4.0 if wide else 0.1 * abs(side_hint(slot)) - 0.01 * side_hint(slot) * float(np.sign(ball_y))
    return (0.0 if holding else 1.0 if slot == "centre-back" else line) + off_centre


def _usual_job(slot: str) -> int:
    if abs(side_hint(slot)) == 2:
        return WIDE if slot.endswith("back") else WING
    return {1: MIDDLE, 2: MIDDLE, 4: HOLE, 5: TOP}.get(LINE_OF_SLOT.get(slot, 3), MIDDLE)


# -- Where they stand.


def _shape(jobs: dict[int, int], slots: Sequence[str], ball: Floats, pitch: Pitch) -> Floats:
    """Places before anyone is put on the ball, (N, 2); the goalkeeper offers himself behind his line."""
    low, top = _ends_x(ball, pitch)
    keeper = np.maximum(keeper_xy(ball, pitch.length_m), [KEEPER_M - pitch.length_m / 2, -np.inf])
    spots = np.repeat(keeper[None], len(slots), axis=0)
    for i, job in jobs.items():
        spots[i] = low + HEIGHT[job] * (top - low), _row_y(i, jobs, slots, ball, pitch)
    return spots


def _ends_x(ball: Floats, pitch: Pitch) -> tuple[float, float]:
    """Height of the first line and of the forwards, m."""
    scale = pitch.length_m / STANDARD_M[0]
    low = scale * np.interp(ball[0] / scale, [-52.5, -35, 0, 30, 52.5], [-42, -35.5, -17, -3, 3])
    return float(low), float(-back_line_x(-ball[0], pitch.length_m) - ONSIDE_M * scale)


def _row_y(i: int, jobs: dict[int, int], slots: Sequence[str], ball: Floats, pitch: Pitch) -> float:
    """Across the pitch: wide players on the line, the others evenly, a little towards the ball."""
    job, scale, edge = jobs[i], pitch.width_m / STANDARD_M[1], pitch.width_m / 2 - TOUCHLINE_M
    side = float(np.sign(side_hint(slots[i])))
    if job in (BESIDE, WIDE, WING):
        behind = any(j == WIDE and side_hint(slots[k]) * side > 0 for k, j in jobs.items() if k != i)
        return side * (15.0 * scale if job == WING and behind else edge)
    row = sorted((k for k in jobs if jobs[k] == job), key=lambda k: (side_hint(slots[k]), k))
    place = row.index(i) - (len(row) - 1) / 2 if len(row) > 1 else side / 2
    spacing = min(SPACING_M[job] * scale, 2 * edge / max(len(row) - 1, 1))
    return float(np.clip(place * spacing + 0.25 * ball[1], -edge, edge))


# -- The player on the ball.


def _carrier(spots: Floats, slots: Sequence[str], ball: Floats, pitch: Pitch) -> int:
    """The nearest to the ball; the goalkeeper only in his penalty area, or alone."""
    away = np.linalg.norm(spots - ball, axis=1)
    in_area = ball[0] < PENALTY_AREA_M - pitch.length_m / 2
    keeper = np.array([s == "goalkeeper" for s in slots])
    return int(np.argmin(away + np.where(keeper & ~in_area, 1e3, 0.0)))


def _around_carrier(spots: Floats, carrier: int, slots: Sequence[str], ball: Floats, pitch: Pitch) -> Floats:
    """The carrier on the ball, the others moved apart a little at a time, onside and inside the pitch."""
    spots = spots.copy()
    spots[carrier] = ball
    free = np.array([i != carrier for i in range(len(slots))])
    apart = np.full((len(slots), len(slots)), APART_M * min(1.0, pitch.width_m / STANDARD_M[1]))
    apart[carrier] = apart[:, carrier] = np.maximum(apart[carrier], ROOM_M)
    corner = np.subtract(pitch.corner_xy, EDGE_M)
    ahead = [max(_ends_x(ball, pitch)[1], ball[0], 0.0), np.inf]
    for _ in range(60):
        spots[free] = np.clip(spots + _push(spots, apart), -corner, np.minimum(corner, ahead))[free]
    dx, dy = (spots - ball).T
    held = free & (np.hypot(dx, dy) < LEAST_ROOM_M)  # between the ball and the offside line: he makes room across
    spots[held, 1] = (ball[1] + np.copysign(np.sqrt(np.maximum(ROOM_M**2 - dx**2, 0.0)), dy))[held]
    return spots


def _push(spots: Floats, apart: Floats) -> Floats:
    """Half the missing distance to every team-mate who is too near, (N, 2) m."""
    off = spots[:, None] - spots[None]
    away = np.linalg.norm(off, axis=-1)
    turn = np.arange(len(spots)) * 2.4  # who stands on one point leaves it in a direction of his own
    off = np.where((away < 1e-6)[..., None], np.stack([np.cos(turn), np.sin(turn)], -1)[:, None], off)
    missing = np.maximum(apart - away, 0.0)
    np.fill_diagonal(missing, 0.0)
    return np.asarray((off / np.maximum(np.linalg.norm(off, axis=-1), 1e-6)[..., None] * missing[..., None] / 2).sum(1))
