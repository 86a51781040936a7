"""A run of a player of either team."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import ClassVar

from pressinglib.errors import BadInput
from pressinglib.field.player import XY, as_xy
from pressinglib.play.plain import Plain, either, flipped, one_of, place_of, put, shirt_number, speed_of, time_of

SLOWEST_RUN_MPS, FASTEST_RUN_MPS = 0.5, 10.0


@dataclass(frozen=True)
class Run(Plain):
    """A player of either team runs to a place or along a path, whatever the plan would have him do.

    Parameters
    ----------
    team : "pressing" or "possession"
    number : str
    to_xy : tuple of float, optional
    path : tuple of points, optional
        Places to be passed one after another.
    speed_mps : float, optional
        Default: as fast as he can.
    at_s : float
    until_s : float, optional
        When it is over. Default: one of us goes back to the plan when he is there; one of theirs stays there.

    Raises
    ------
    BadInput

    Examples
    --------
    >>> Run("possession", "9", path=[(-10, 0), (-30, 5)]).path
    ((-10.0, 0.0), (-30.0, 5.0))
    >>> Run("home", "9", (0, 0))
    Traceback (most recent call last):
    pressinglib.errors.BadInput: team of the run: expected one of pressing, possession; got 'home'. ...
    """

    word: ClassVar[str] = "run"
    team: str
    number: str
    to_xy: XY | None = None
    path: tuple[XY, ...] | None = None
    speed_mps: float | None = None
    at_s: float = 0.0
    until_s: float | None = None

    def __post_init__(self) -> None:
        one_of(self.team, ("pressing", "possession"), "team of the run")
        shirt_number(self.number, "number of the run")
        either("run", to_xy=self.to_xy, path=self.path)
        put(self, to_xy=place_of(self.to_xy, "end of the run"), path=self._points(),
            speed_mps=speed_of(self.speed_mps, "run", SLOWEST_RUN_MPS, FASTEST_RUN_MPS), at_s=time_of(self.at_s, "run"),
            until_s=None if self.until_s is None else time_of(self.until_s, "end of the run"))

    def _points(self) -> tuple[XY, ...] | None:
        if self.path is None:
            return None
        try:
            points = tuple(self.path)
        except TypeError:
            points = ()
        if not points:
            raise BadInput("path of the run", expected="places (x, y)", got=repr(self.path), todo="give at least one")
        return tuple(as_xy(xy, "path of the run") for xy in points)

    @property
    def places(self) -> tuple[XY, ...]:
        """Places to be passed one after another."""
        return self.path if self.path is not None else (self.to_xy,) if self.to_xy is not None else ()

    def mirrored(self) -> Run:
        """Left and right swapped."""
        path = None if self.path is None else tuple((x, -y) for x, y in self.path)
        return replace(self, to_xy=flipped(self.to_xy), path=path)
