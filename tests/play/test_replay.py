"""A sequence taken up again: as it was it goes on as it did; with somebody elsewhere it goes another way."""

from __future__ import annotations

import numpy as np
import pytest

from pressinglib import PressingError, simulate
from pressinglib.field.scene_file import scene
from pressinglib.play import Dribble, Pass, Run, replay
from tests.play.stories import happened, story


@pytest.mark.parametrize(("name", "time_s"), [("into midfield", 2.7), ("past him inside", 4.0), ("switch", 0.3),
                                              ("to the full-back and back", 4.9)])
def test_taken_up_unchanged_it_goes_on_much_as_it_did(name: str, time_s: float) -> None:
    """What is in a picture is all that is handed over: memory of roles and reactions begins anew, so one may differ."""
    whole = story(name)
    rest = replay(whole, time_s)
    assert rest.times[-1] == pytest.approx(whole.times[-1] - whole.times[whole.index(time_s)], abs=0.11)
    k = whole.index(time_s) + 10
    off = np.hypot(*np.moveaxis(rest.frames.pressing_xy[10] - whole.frames.pressing_xy[k], -1, 0))
    assert np.sort(off)[-2] < 2.0 and np.median(off) < 0.5
    np.testing.assert_allclose(rest.frames.ball_xy[10], whole.frames.ball_xy[k], atol=0.8)


def test_somebody_moved_changes_what_comes() -> None:
    """Our 7 stands at the touchline as the switch is played: he cuts it out, or is there at once."""
    whole = story("switch")
    moved = whole.at(1.0).situation.moved("pressing", "7", (26.0, -27.0))
    rest = replay(whole, 1.0, moved)
    assert rest.situations[0].player("pressing", "7").xy == (26.0, -27.0)
    assert [e.pressing for e in happened(rest, "pass intercepted")] == [("7",)]


def test_later_actions_are_still_to_come_and_those_under_way_go_on() -> None:
    actions = [Run("possession", "9", (-30, 6), at_s=0.2), Dribble(to_xy=(25, 10), at_s=0.5),
               Pass("6", at_s=3.0)]
    sequence = simulate(scene("build-up left"), actions, duration_s=5)
    left = sequence.left[sequence.index(2.2)]
    assert [type(a) for a in left] == [Run, Dribble, Pass]
    assert left[0].to_xy == (-30, 6) and left[0].at_s == left[1].at_s == 0.0
    assert left[2].at_s == pytest.approx(0.8)
    assert sorted(a.at_s for a in sequence.left[sequence.index(0.1)]) == pytest.approx([0.1, 0.4, 2.9])


def test_a_run_that_ends_at_a_time_ends_at_that_time() -> None:
    whole = simulate(scene("worked scene"), [Run("pressing", "7", (15, -10), until_s=2.0)], duration_s=3)
    rest = whole.left[whole.index(0.5)]
    assert isinstance(rest[0], Run) and rest[0].until_s == pytest.approx(1.5)


def test_other_rules_from_a_moment_on() -> None:
    rest = replay(story("switch"), 0.0, late_s=1.0)
    assert rest.options.late_s == 1.0 and rest.actions


def test_bad_questions() -> None:
    with pytest.raises(PressingError, match="Sequence"):
        replay("switch", 1.0)  # type: ignore[arg-type]
    with pytest.raises(PressingError):
        replay(story("switch"), "late")  # type: ignore[arg-type]
