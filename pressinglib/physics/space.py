"""Space on the pitch: who is first at each place, and which team would get control of a ball played there.

Places form a grid of cells: x and y hold the middles of columns and rows, values have shape (rows, columns).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pressinglib.field.pitch import Pitch
from pressinglib.field.player import Player
from pressinglib.field.situation import Situation
from pressinglib.physics.ball import ball_time
from pressinglib.physics.control import control_shares
from pressinglib.physics.motion_models import MotionModel, drive_minus_drag
from pressinglib.physics.named import NamedArray, named
from pressinglib.physics.offside import offside_line_m
from pressinglib.physics.parameters import above_zero

Array = NDArray[np.float64]
Ints = NDArray[np.intp]

REACTION_S = 0.3
FREE_OF_OFFSIDE = ("throw-in", "goal kick")  # Law 11


class ControlField(NamedTuple):
    """x (columns,), y (rows,), share (rows, columns) of the pressing team, 0 to 1; `model` names the law of running."""

    x: Array
    y: Array
    share: NamedArray

    @property
    def model(self) -> str:
        return self.share.model


def grid(pitch: Pitch, step_m: float = 1.0) -> tuple[Array, Array]:
    """Middles of the cells of a grid that covers the pitch.

    Parameters
    ----------
    pitch : Pitch
    step_m : float
        Wanted size of a cell; cells are stretched or shrunk a little so that whole ones fit.

    Returns
    -------
    x, y : ndarray, (columns,) and (rows,)

    Examples
    --------
    >>> x, y = grid(Pitch())
    >>> len(x), len(y), float(x[0]), float(y[-1])
    (105, 68, -52.0, 33.5)
    >>> grid(Pitch(), 500.0)
    (array([0.]), array([0.]))
    """
    above_zero(step_m=step_m)
    return _middles(pitch.length_m, step_m), _middles(pitch.width_m, step_m)


def _middles(size_m: float, step_m: float) -> Array:
    count = max(round(size_m / step_m), 1)
    return np.asarray((np.arange(count) + 0.5) * (size_m / count) - size_m / 2.0)


def first_there(xy: ArrayLike, velocity: ArrayLike, places_xy: ArrayLike, motion: MotionModel | None = None) -> Ints:
    """Dominant regions: which player reaches each place first.

    Parameters
    ----------
    xy, velocity : array_like, shape (..., N, 2)
        The players.
    places_xy : array_like, shape (..., P, 2)
        The places, for instance of a `grid`.
    motion : MotionModel, optional
        Default: `drive_minus_drag()`.

    Returns
    -------
    ndarray of int, shape (..., P)
        Index of the player; of equals the first, -1 where nobody is there at all. `model` names the law of running.

    Notes
    -----
    Taki and Hasegawa 2000, Visualization of dominant region in team games (grade A; formula from memory). For equal
    players at rest these are the cells of Voronoi.

    Examples
    --------
    >>> first_there([(0, 0), (10, 0)], [(0, 0), (0, 0)], [(4, 0), (6, 0)])
    array([0, 1])
    >>> first_there([(float("nan"), 0)], [(0, 0)], [(4, 0)])
    array([-1])
    """
    places = np.asarray(places_xy, dtype=float)[..., :, None, :]
    players, paces = (np.asarray(points, dtype=float)[..., None, :, :] for points in (xy, velocity))
    motion = motion or drive_minus_drag()
    time = motion.clock(players, paces, places)
    time = np.where(np.isnan(time), np.inf, time)
    return named(np.where(np.isfinite(time.min(axis=-1)), time.argmin(axis=-1), -1), motion.name)


def control_at(
    places_xy: ArrayLike,
    own_xy: ArrayLike,
    own_velocity: ArrayLike,
    opponent_xy: ArrayLike,
    opponent_velocity: ArrayLike,
    ball_xy: ArrayLike,
    motion: MotionModel | None = None,
) -> Any:
    """Chance that the pressing team gets control of a ball played along the ground to each place.

    Parameters
    ----------
    places_xy : array_like, shape (..., P, 2)
        The places.
    own_xy, own_velocity : array_like, shape (..., N, 2)
        The pressing team; NaN for absent players.
    opponent_xy, opponent_velocity : array_like, shape (..., M, 2)
        The team in possession; NaN for absent players and for those who are offside.
    ball_xy : array_like, shape (..., 2)
        The ball.
    motion : MotionModel, optional
        Law of running of all players. Default: drive minus drag (1.3 /s, 7.8 m/s), reaction 0.3 s.

    Returns
    -------
    ndarray, shape (..., P)
        0 to 1. `model` names the law of running.

    Notes
    -----
    Spearman 2018, Beyond expected goals (grade A): the race of `control_shares` at each place, from the moment the ball
    is there (15 m/s with drag).

    Examples
    --------
    >>> control_at([(10, 0)], [(20, 0)], [(0, 0)], [(0, 0)], [(0, 0)], (0, 0)).round(3)
    array([0.632])
    >>> control_at([(10, 0)], [(20, 0)], [(0, 0)], [(float("nan"), 0)], [(0, 0)], (0, 0)).round(3)
    array([1.])
    """
    places, motion = np.asarray(places_xy, dtype=float), motion or drive_minus_drag(reaction_s=REACTION_S)
    own, own_pace, opponents, opponent_pace = (
        np.asarray(points, dtype=float)[..., None, :, :]
        for points in (own_xy, own_velocity, opponent_xy, opponent_velocity)
    )
    way = places - np.asarray(ball_xy, dtype=float)[..., None, :]
    attack = motion.clock(opponents, opponent_pace, places[..., :, None, :])
    defence = motion.clock(own, own_pace, places[..., :, None, :])
    return named(control_shares(attack, defence, ball_time(np.hypot(way[..., 0], way[..., 1])))[1], motion.name)


def control_field(situation: Situation, step_m: float = 1.0, motion: MotionModel | None = None) -> ControlField:
    """`control_at` for every cell of a grid.

    Parameters
    ----------
    situation : Situation
        The picture.
    step_m : float
        Size of the cells of the grid.
    motion : MotionModel, optional
        As in `control_at`.

    Returns
    -------
    x, y, share : ndarray, (columns,), (rows,) and (rows, columns)
        As a `ControlField`, whose `model` names the law of running.

    Notes
    -----
    Opponents in an offside position take no part, except from a throw-in or goal kick (Law 11).

    Examples
    --------
    >>> field = control_field(Situation.line_up(ball_xy=(30.0, 10.0)), step_m=5.0)
    >>> x, y, share = field
    >>> share.shape, field.model
    ((14, 21), 'drive minus drag, 1.3 /s, 7.8 m/s, reaction 0.3 s')
    >>> bool((share >= 0).all() and (share <= 1).all())
    True
    """
    x, y = grid(situation.pitch, step_m)
    places = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    onside = [player for player in situation.possession if not _offside(situation, player)]
    share = control_at(places, *_arrays(situation.pressing), *_arrays(onside), situation.ball_xy, motion)
    return ControlField(x, y, share.reshape(len(y), len(x)))


def _arrays(players: Sequence[Player]) -> tuple[Array, Array]:
    """Places and velocities, (players, 2) each, also of nobody."""
    places, paces = ([getattr(player, name) for player in players] for name in ("xy", "velocity"))
    return np.reshape(places, (-1, 2)), np.reshape(paces, (-1, 2))


def _offside(situation: Situation, player: Player) -> bool:
    """Whether an opponent is in an offside position that counts; whoever has the ball is not."""
    free = situation.restart in FREE_OF_OFFSIDE or player.number == situation.on_ball
    return not free and player.xy[0] < offside_line_m(situation) - 1e-9
