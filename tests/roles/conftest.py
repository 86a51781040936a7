"""Pictures for the tests of the room: a sound one to spoil, any picture by chance, and a plan carried out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import strategies as st

from pressinglib import Pitch, Player, Rulebook, Situation, plan_press
from pressinglib.field.player import SLOTS, XY
from pressinglib.field.scene_file import scene
from pressinglib.field.situation import RESTARTS

Places = dict[str, XY]
# The worked scene with its plan carried out, written down: 9 on the ball, 10 and 11 cover, 6, 8 and 7 balance.
SOUND: Places = {"1": (-28.5, 2.7), "2": (-5.6, -12.8), "5": (-6.4, -0.9), "4": (-6.4, 10.9), "3": (-5.6, 22.8),
                 "8": (3.6, -8.1), "6": (6.4, 12.4), "7": (23.3, -21.7), "10": (22.2, 2.1), "11": (25.1, 26.9),
                 "9": (34.7, 8.5)}
Squad = dict[str, tuple[Any, ...]]
STILL: XY = (0.0, 0.0)


def sound_but(ours: Places | None = None, theirs: Places | None = None, ball: XY | None = None,
              runs: Places | None = None, our_runs: Places | None = None) -> Situation:
    """The sound picture with some players of ours and theirs, and the ball, elsewhere; `runs` are theirs."""
    worked, runs, our_runs = scene("worked scene"), runs or {}, our_runs or {}
    ours, theirs = {**SOUND, **(ours or {})}, {q.number: q.xy for q in worked.possession} | (theirs or {})
    possession = tuple(replace(q, xy=theirs[q.number], velocity=runs.get(q.number, STILL)) for q in worked.possession)
    pressing = tuple(replace(q, xy=ours[q.number], velocity=our_runs.get(q.number, STILL)) for q in worked.pressing)
    return Situation(worked.pitch, pressing, possession, ball or worked.ball_xy)


def picture_with(ours: Squad, theirs: Squad, ball: XY, pitch: Pitch | None = None, **more: Any) -> Situation:
    """Two small teams: number -> slot, place and, if he runs, velocity."""
    teams = (tuple(Player(number, *rest) for number, rest in team.items()) for team in (ours, theirs))
    return Situation(pitch or Pitch(), *teams, ball, **more)


def carry_out(situation: Situation, rulebook: Rulebook | None = None) -> Situation:
    """Opponents and ball stand still, and everybody has got to where the plan sends him."""
    still = replace(situation, ball_velocity=STILL,
                    possession=tuple(replace(q, velocity=STILL) for q in situation.possession))
    there = plan_press(still, rulebook).assignments
    return replace(still, pressing=tuple(
        replace(q, xy=tuple(map(float, there[q.number].target_xy)), velocity=STILL) for q in still.pressing))


@pytest.fixture(scope="session")
def spoiled() -> Callable[..., Situation]:
    """`sound_but`, for tests."""
    return sound_but


@pytest.fixture(scope="session")
def small() -> Callable[..., Situation]:
    """`picture_with`, for tests."""
    return picture_with


@pytest.fixture(scope="session")
def carried_out() -> Callable[..., Situation]:
    """`carry_out`, for tests."""
    return carry_out


def _centimetres(reach: float) -> st.SearchStrategy[float]:
    """Metres to the centimetre: nobody is measured more finely."""
    return st.integers(-int(100 * reach), int(100 * reach)).map(lambda n: n / 100)


def _places(pitch: Pitch) -> st.SearchStrategy[XY]:
    """Anywhere a player may stand; often in a heap, often on round numbers."""
    x, y = (half + 3.0 for half in pitch.corner_xy)
    anywhere = st.tuples(_centimetres(x), _centimetres(y))
    heap = st.tuples(st.sampled_from([-20.0, 0.0, 15.0]), st.sampled_from([-5.0, 0.0, 10.0]))
    whole = st.tuples(st.integers(-int(x), int(x)).map(float), st.integers(-int(y), int(y)).map(float))
    return anywhere | whole | heap


@st.composite
def _teams(draw: st.DrawFn, pitch: Pitch, apart: bool) -> tuple[Player, ...]:
    """7-11 players, with or without a goalkeeper, running or not; on one point, unless `apart`."""
    keeper, known = draw(st.booleans()), draw(st.booleans())
    where = draw(st.lists(_places(pitch), min_size=7, max_size=11, unique=apart))
    slots = st.sampled_from(SLOTS[1:-1] if apart else SLOTS[1:] if known else ("outfield",))
    run = st.just(STILL) | st.tuples(_centimetres(8), _centimetres(8))
    facing = st.none() | st.integers(-180, 180).map(float)
    return tuple(Player(str(n + 1), "goalkeeper" if keeper and n == 0 else draw(slots), xy, draw(run), draw(facing))
                 for n, xy in enumerate(where))


@st.composite
def _pictures(draw: st.DrawFn, apart: bool) -> Situation:
    """Sound pictures of every state: a carrier, a pass that travels, a loose ball, our ball, a restart."""
    pitch = draw(st.just(Pitch()) | st.sampled_from([Pitch(95, 60), Pitch.youth("9v9")]))
    ours, theirs = draw(_teams(pitch, apart)), draw(_teams(pitch, apart))
    ball = draw(st.sampled_from([q.xy for q in (*theirs, *ours)]) | _places(pitch))
    receiver = draw(st.none() | st.none() | st.sampled_from([q.number for q in theirs]))
    return Situation(pitch, ours, theirs, ball, receiver=receiver, ball_height_m=draw(st.sampled_from([0.0, 0.3, 8.0])),
                     ball_velocity=draw(st.just(STILL) | st.tuples(_centimetres(15), _centimetres(15))),
                     restart=draw(st.none() | st.none() | st.sampled_from(RESTARTS)))


@pytest.fixture(scope="session")
def pictures() -> st.SearchStrategy[Situation]:
    """Any picture: draw from it in a test that takes `st.data()`."""
    return _pictures(apart=False)


@pytest.fixture(scope="session")
def leaning() -> st.SearchStrategy[Situation]:
    """Any picture that leans to a side, by the ball or by a team: one that does not may be its own mirror."""
    return _pictures(apart=False).filter(_leans)


@pytest.fixture(scope="session")
def told_apart() -> st.SearchStrategy[Situation]:
    """The same, and no two of a team stand on one point: where they do, their numbers settle who goes."""
    return _pictures(apart=True).filter(_leans)


def _leans(picture: Situation) -> bool:
    teams = (picture.pressing, picture.possession)
    return picture.ball_xy[1] != 0 or any(abs(sum(q.xy[1] for q in team)) > 1e-6 for team in teams)
