"""Pictures and actions for the tests of the room."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from hypothesis import strategies as st

from pressinglib.field.situation import Situation
from pressinglib.play.actions import Action, Dribble, Pass, Run, Touch
from tests.roles.conftest import pictures, told_apart  # noqa: F401

centimetres = st.integers(-4000, 4000).map(lambda n: n / 100)
times = st.integers(0, 20).map(lambda n: n / 10)
speeds = st.none() | st.integers(6, 30).map(float)


@st.composite
def actions_in(draw: st.DrawFn, situation: Situation) -> list[Action]:
    """Up to four actions of any kind by anybody in the picture."""
    theirs = st.sampled_from([q.number for q in situation.possession])
    ours = st.sampled_from([q.number for q in situation.pressing])
    place = st.tuples(centimetres, centimetres.map(lambda y: 0.8 * y))
    aimed = st.builds(Pass, to=theirs, kind=st.sampled_from(["ground", "lofted"]), speed_mps=speeds, at_s=times,
                      to_xy=st.none() | place)
    chosen = st.builds(Pass, at_s=times)
    way = st.builds(Dribble, way=st.sampled_from(["outside", "straight", "inside"]), at_s=times)
    dribble = st.builds(Dribble, to_xy=place, speed_mps=st.floats(1, 8), at_s=times)
    touch = st.builds(Touch, by_m=st.floats(1, 8), at_s=times)
    run = st.builds(Run, team=st.just("possession"), number=theirs, to_xy=place, at_s=times)
    our_run = st.builds(Run, team=st.just("pressing"), number=ours, to_xy=place, at_s=times)
    return draw(st.lists(aimed | chosen | way | dribble | touch | run | our_run, max_size=4))


def mirrored(action: Any) -> Any:
    """The action with left and right swapped."""
    if isinstance(action, Touch):
        return replace(action, angle_deg=None if action.angle_deg is None else -action.angle_deg)
    return replace(action, to_xy=action.to_xy and (action.to_xy[0], -action.to_xy[1]))
