"""Frames read into a picture: turned to the ball's side, sorted by place, with carrier, state and lines worked out.

So a mirrored picture gets the mirrored plan by construction, and neither order nor names of players change a plan.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from pressinglib.field.formations import infer_lines
from pressinglib.field.frames import Frames
from pressinglib.field.slots import GOALKEEPER, LINE_OF_SLOT, OUTFIELD, WING_BACKS
from pressinglib.roles.picture import ABSENT_LINE, Floats, Ints, Picture, norm
from pressinglib.roles.settings import Settings
from pressinglib.roles.vocabulary import LOOSE, NOBODY, OPEN_PLAY, WON

UNKNOWN_LINE = -2


def picture_of(frames: Frames, settings: Settings) -> Picture:
    """The arrays of some frames, turned to the ball's side and sorted by place."""
    side = _side(frames)
    flip = np.stack([np.ones_like(side), side], axis=-1)[:, None]
    own, opp = frames.pressing_xy * flip, frames.possession_xy * flip
    own_order = _by_place(own, frames.pressing_numbers)
    opp_order = _by_place(opp, frames.possession_numbers)
    carrier, state = _ball_state(frames, settings.control_m)
    theirs = np.array([LINE_OF_SLOT.get(s) == GOALKEEPER for s in frames.possession_slots])
    wings = np.array([s in WING_BACKS for s in frames.pressing_slots])

    def ours(values: NDArray[Any]) -> NDArray[Any]:
        return np.take_along_axis(values, own_order.reshape(*own_order.shape, *[1] * (values.ndim - 2)), 1)

    def others(values: NDArray[Any]) -> NDArray[Any]:
        return np.take_along_axis(values, opp_order.reshape(*opp_order.shape, *[1] * (values.ndim - 2)), 1)

    return Picture(
        frames=frames, pitch=frames.pitch, settings=settings, side=side, own_order=own_order, opp_order=opp_order,
        own=ours(own), own_velocity=ours(frames.pressing_velocity * flip), line=_lines(frames, own_order, ours(own)),
        wing_back=wings[own_order], opp=others(opp), opp_velocity=others(frames.possession_velocity * flip),
        opp_keeper=theirs[opp_order], facing_rad=others(np.radians(frames.facing_deg) * side[:, None]),
        ball=frames.ball_xy * flip[:, 0], ball_velocity=frames.ball_velocity * flip[:, 0],
        ball_height_m=frames.ball_height_m, carrier=_placed(carrier, opp_order),
        receiver=_placed(frames.receiver, opp_order), state=state)


def _side(frames: Frames) -> Floats:
    """+1 where the ball lies on the left, else -1; on the middle line by its way, then by where the teams lean."""
    ours, theirs = frames.pressing_xy, frames.possession_xy
    leans = [frames.ball_xy[:, 1], frames.ball_velocity[:, 1],
             *(np.nansum(xy[..., 1], axis=1) for xy in (ours, theirs)),
             *(np.nansum(xy[..., 0] * xy[..., 1], axis=1) for xy in (ours, theirs)),
             *(np.nansum(xy[..., 1] ** 3, axis=1) for xy in (ours, theirs))]
    sign = np.zeros(len(frames))
    for lean in leans:
        sign = np.where((sign == 0) & (np.abs(lean) > 1e-9), np.sign(lean), sign)
    return np.where(sign < 0, -1.0, 1.0)


def _by_place(xy: Floats, numbers: tuple[str, ...]) -> Ints:
    """(F, N) order by x, then y, then number; absent players (NaN) come last."""
    rank = np.broadcast_to(np.argsort(np.argsort(np.array(numbers))), xy.shape[:2])
    return np.lexsort((rank, xy[..., 1], xy[..., 0]), axis=-1)


def _placed(index: Ints, order: Ints) -> Ints:
    """Where the sheet's player `index` (F,) stands in the sorted order."""
    return np.where(index >= 0, np.argmax(order == index[:, None], axis=1), NOBODY)


def _lines(frames: Frames, order: Ints, own: Floats) -> Ints:
    """(F, N) line of each player as sorted; slots "outfield" get the best-fitting line, absent players -1.

    Fitted on the turned and sorted places, so that neither side nor order of the sheet matters, not even for players
    on one exact point.
    """
    sheet = np.array([UNKNOWN_LINE if s == OUTFIELD else LINE_OF_SLOT[s] for s in frames.pressing_slots])
    here = np.isfinite(own[..., 0])
    lines = np.where(here, sheet[order], ABSENT_LINE)
    if (sheet == UNKNOWN_LINE).any():
        fitted = infer_lines(own, here & (lines != GOALKEEPER))
        lines = np.where(lines == UNKNOWN_LINE, fitted, lines)
    return lines


def _ball_state(frames: Frames, control_m: float) -> tuple[Ints, Ints]:
    """(carrier, state): the carrier given, else the nearest opponent in reach unless a presser is nearer.

    Of several on one point he whose number comes first, as `Situation.on_ball` says.
    """
    theirs = np.nan_to_num(norm(frames.possession_xy - frames.ball_xy[:, None]), nan=np.inf)
    ours = np.nan_to_num(norm(frames.pressing_xy - frames.ball_xy[:, None]), nan=np.inf)
    near, rival = theirs.min(1), ours.min(1)
    by_number = np.argsort(np.array(frames.possession_numbers))
    nearest = by_number[theirs[:, by_number].argmin(1)]
    found = np.where((near <= control_m) & (near <= rival), nearest, NOBODY)
    carrier = np.where(frames.carrier == -2, found, frames.carrier)
    carrier = np.where(frames.receiver >= 0, NOBODY, carrier)
    held = (carrier >= 0) | (frames.receiver >= 0)
    state = np.where(held, OPEN_PLAY, np.where(rival <= control_m, WON, LOOSE))
    return carrier, np.where(frames.restart > 0, frames.restart + 2, state)
