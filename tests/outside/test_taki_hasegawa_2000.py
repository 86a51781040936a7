"""Dominant regions. For equal players at rest they are the cells of Voronoi: computed by scipy.spatial, bounded by
mirror images of the players in the lines of the pitch. The formula for moving players is from memory.
"""

import numpy as np
import pytest
import shapely
from scipy.spatial import Voronoi

from pressinglib.field.pitch import Pitch
from pressinglib.physics import Running, first_there, grid
from tests.outside.check import Check, value_of

SOURCE = (
    "Taki and Hasegawa 2000, Visualization of dominant region in team games and its application to teamwork "
    "analysis; scipy.spatial.Voronoi"
)

STEP_M = 0.5
PLAYERS = np.random.default_rng(11).uniform((-50, -32), (50, 32), (22, 2))


def voronoi_cells():
    """A polygon a player."""
    corner = np.array(Pitch().corner_xy)
    images = [PLAYERS]
    for axis in (0, 1):
        for sign in (-1.0, 1.0):
            image = PLAYERS.copy()
            image[:, axis] = 2.0 * sign * corner[axis] - image[:, axis]
            images.append(image)
    cells = Voronoi(np.concatenate(images))
    return [shapely.Polygon(cells.vertices[cells.regions[cells.point_region[i]]]) for i in range(len(PLAYERS))]


def regions(law):
    x, y = grid(Pitch(), STEP_M)
    places = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)
    return places, first_there(PLAYERS, np.zeros_like(PLAYERS), places, law)


def agreement(law):
    """Share of the places that lie in the Voronoi cell of the player who is first there."""
    places, first = regions(law)
    points = shapely.points(places)
    inside = np.array([shapely.contains(cell, points) for cell in voronoi_cells()])
    return inside[first, np.arange(len(places))].mean()


def area_of(player):
    """Counted in squares of half a metre: good for one per cent."""
    return (regions(Running())[1] == player).sum() * STEP_M**2


CHECKS = [
    Check("22 players at rest: share of 28,560 places in the right cell", "equal players", "computed", 1.0,
          lambda: agreement(Running())),
    Check("the same with 1.0 /s, 10 m/s", "equal players", "computed", 1.0,
          lambda: agreement(Running(1.0, 10.0))),
    *(Check(f"area of the cell of player {i}, m2", "equal players", "computed", voronoi_cells()[i].area,
            lambda i=i: area_of(i), 0.01 * voronoi_cells()[i].area) for i in (0, 7, 21)),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_against_the_source(check):
    assert value_of(check) == check.expected
