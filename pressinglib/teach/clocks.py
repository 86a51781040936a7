"""What stopping costs: the clock that runs through, and the clock that stands at the end."""

from __future__ import annotations

from pressinglib.physics.braking import braked_arrival_time, speed_on_arrival
from pressinglib.physics.motion import arrival_time


def both_clocks(metres: float) -> str:
    """From rest: flat out, and with a stop at the end; reaction counted in both.

    Examples
    --------
    >>> both_clocks(8)
    '8 m: flat out 2.0 s, and then 7.0 m/s fast; with a stop 2.5 s'
    >>> both_clocks(0)
    '0 m: flat out 0.0 s, and then 0.0 m/s fast; with a stop 0.0 s'
    """
    rest, end = (0.0, 0.0), (metres, 0.0)
    flat, pace = arrival_time(rest, rest, end, reaction_s=0.3), speed_on_arrival(rest, rest, end, reaction_s=0.3)
    stop = braked_arrival_time(rest, rest, end, reaction_s=0.3)
    return f"{metres:g} m: flat out {flat:.1f} s, and then {pace:.1f} m/s fast; with a stop {stop:.1f} s"
