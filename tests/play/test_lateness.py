"""How late is too late, how far is too far: the same sequence again and again, one thing changed a little more."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from pressinglib import PressingError, Sequence, Situation, simulate
from pressinglib.field.scene_file import scene
from pressinglib.play import Action, Dribble, Pass, Run
from tests.play.stories import DIVE, failure, happened

WORKED = scene("worked scene")


def how_late(situation: Situation, actions: list[Action], late_s: tuple[float, ...], **how: Any) -> list[Sequence]:
    """The sequence with the presser starting later and later."""
    return [simulate(situation, actions, late_s=late, **how) for late in late_s]


def how_far(actions: list[Action], number: str, to_xy: tuple[float, float], metres: tuple[float, ...],
            until_s: float, **how: Any) -> list[Sequence]:
    """The sequence with one of ours standing further and further from his place, and staying there for a while."""
    start = np.array(WORKED.player("pressing", number).xy)
    way = (np.array(to_xy) - start) / np.hypot(*(np.array(to_xy) - start))
    places = [tuple((start + m * way).tolist()) for m in metres]
    return [simulate(WORKED.moved("pressing", number, xy), [*actions, Run("pressing", number, xy, until_s=until_s)],
                     **how) for xy in places]


def fails(sequences: list[Sequence]) -> list[str | None]:
    return [failed and failed.kind for failed in map(failure, sequences)]


def pressure_s(q: Sequence) -> float:
    """The time of the first of us to the ball as the first touch of a receiver ends."""
    touch_s = q.rulebook.settings.control_time_s
    return max(float(q.pressure_s[q.index(e.time_s + touch_s)]) for e in happened(q, "pass received"))


def test_a_late_presser_finds_the_receiver_free() -> None:
    """In time there is somebody on him as the first touch ends; 0.4 s late there is not; later is never better."""
    played = how_late(WORKED, [Pass("4", at_s=0.5)], (0.0, 0.2, 0.4, 0.6, 0.8, 1.0), duration_s=4)
    assert fails(played)[0] is None and fails(played)[2:] == ["receiver free"] * 4
    assert len({round(failed.time_s, 2) for failed in map(failure, played) if failed}) == 1  # as the touch ends
    pressure = [round(pressure_s(q), 2) for q in played]
    assert pressure == sorted(pressure) and pressure[-1] > pressure[0] + 0.1


def test_the_whole_team_is_not_late() -> None:
    """Only the presser starts late: whom a cover has already is not free, and who presses him is hardly later."""
    played = how_late(WORKED, [Pass("2", at_s=0.5)], (0.0, 1.0), duration_s=4)
    assert fails(played) == [None, None]
    there = [happened(q, "carrier contained")[0] for q in played]
    assert {one.pressing for one in there} == {("11",)} and there[1].time_s - there[0].time_s < 0.3


def test_tucked_in_too_far_the_switch_finds_a_free_man() -> None:
    """The far-side player holds his place until the ball is played: 4 m further in he is there, 8 m he is not."""
    played = how_far([Pass("3", kind="lofted", at_s=1.0)], "7", (15, 0), (0.0, 4.0, 8.0, 12.0), 1.0, duration_s=5)
    assert fails(played) == [None, None, "receiver free", "receiver free"]
    times = [failed.time_s for failed in map(failure, played) if failed]
    assert times[0] == pytest.approx(times[1]) and times[0] > 3.0
    pressure = [round(pressure_s(q), 2) for q in played]
    assert pressure == sorted(pressure)


def test_a_cover_too_far_off_takes_over_too_late() -> None:
    """The presser dives in and is dribbled: 3 m deeper the cover still takes over in time, 6 m deeper nobody does."""
    played = how_far([DIVE, Dribble(way="inside", at_s=1.5, speed_mps=6)], "10", (-7, 1), (0, 3, 6, 9), 1.5,
                     duration_s=6.5)
    assert fails(played) == [None, None, "nobody takes over", "nobody takes over"]
    danger = [q.danger.mean() for q in played]
    assert danger[0] < danger[1] < danger[2]


def test_a_time_must_be_a_number() -> None:
    with pytest.raises(PressingError, match="late_s"):
        simulate(WORKED, late_s="late")  # type: ignore[arg-type]
