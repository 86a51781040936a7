"""Top speeds of players in matches, 8.3 to 8.9 m/s by position (second-hand). The top speed of our law is what a player
tends to and never quite reaches; a band for plausibility, not a fit: the default is a rather slow player.
"""

import pytest

from pressinglib.physics import Running
from tests.outside.check import Check, value_of

SOURCE = (
    "Lampre-Ezquerra et al. 2026, Biol Sport, match top speeds by position"
)

CHECKS = [
    Check("top speed of the default law against the middle of the positions, m/s", "top speeds", "second-hand", 8.6,
          lambda: Running().top_speed_mps, 1.0, band=True),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_against_the_source(check):
    assert value_of(check) == check.expected
