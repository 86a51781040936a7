"""Pictures for the tests of the room: any two teams, any ball."""

from __future__ import annotations

import pytest
from hypothesis import strategies as st

from pressinglib.field.pitch import Pitch
from pressinglib.field.player import SLOTS, Player
from pressinglib.field.situation import RESTARTS, Situation

PITCHES = [Pitch(), Pitch(90, 45), Pitch(120, 90.0), Pitch.youth("7v7"), Pitch.youth("9v9")]
NUMBERS = st.text(st.characters(categories=["L", "N", "P"]), min_size=1, max_size=8)
SPEEDS = st.floats(-10, 10)


def places(pitch: Pitch) -> st.SearchStrategy[tuple[float, float]]:
    """Places on the pitch or at most 3 m off it."""
    half_x, half_y = (half + 3.0 for half in pitch.corner_xy)
    return st.tuples(st.floats(-half_x, half_x), st.floats(-half_y, half_y))


@st.composite
def teams(draw: st.DrawFn, pitch: Pitch) -> tuple[Player, ...]:
    numbers = draw(st.lists(NUMBERS, min_size=1, max_size=11, unique=True))
    slots = [draw(st.sampled_from(SLOTS)), *(draw(st.sampled_from(SLOTS[1:])) for _ in numbers[1:])]
    facing = st.none() | st.floats(-360, 360)
    return tuple(Player(n, s, draw(places(pitch)), draw(st.tuples(SPEEDS, SPEEDS)), draw(facing))
                 for n, s in zip(numbers, slots, strict=True))


@st.composite
def pictures(draw: st.DrawFn) -> Situation:
    """Sound pictures of every kind: with a carrier, a ball that travels, a restart, a loose ball."""
    pitch = draw(st.sampled_from(PITCHES))
    ours, theirs = draw(teams(pitch)), draw(teams(pitch))
    near = draw(st.sampled_from(theirs))
    ball = draw(st.just(near.xy) | places(pitch))
    receiver = draw(st.none() | st.sampled_from([p.number for p in theirs]))
    carrier = draw(st.none() | st.just(near.number)) if ball == near.xy or receiver else None
    return Situation(pitch, ours, theirs, ball, carrier, receiver, draw(st.tuples(SPEEDS, SPEEDS)),
                     draw(st.floats(0, 20)), draw(st.none() | st.sampled_from(RESTARTS)))


@pytest.fixture(scope="session")
def situations() -> st.SearchStrategy[Situation]:
    """The strategy itself: draw from it in a test that takes `st.data()`."""
    return pictures()
