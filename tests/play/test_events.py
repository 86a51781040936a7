"""Every kind of event has a sequence that shows it, and says whom it concerns."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from pressinglib import Rulebook, Sequence, simulate
from pressinglib.field.scene_file import scene
from pressinglib.play import Dribble, Pass, Run, Touch
from pressinglib.play.game_state import OURS
from tests.play.stories import DIVE_OUTSIDE, EVENT_KINDS, failure, happened, story

WORKED = scene("worked scene")


def late() -> Sequence:
    return simulate(WORKED, [Pass("4", at_s=0.5)], duration_s=3, late_s=0.6)


def forced_long() -> Sequence:
    """9 is beside him as he lifts it to their forward, 40 m off."""
    return simulate(WORKED, [Pass("9", kind="lofted", at_s=2.6)], duration_s=3)


def away() -> Sequence:
    """A heavy touch inside, 9 m: our 9 is there first."""
    return simulate(WORKED, [Touch(by_m=9, angle_deg=235, at_s=1.0)], duration_s=4)


def out() -> Sequence:
    return simulate(WORKED, [Pass("2", to_xy=(45, 33.9), speed_mps=35, at_s=0.3)], duration_s=3)


def offside() -> Sequence:
    run = Run("possession", "7", to_xy=(-25, 29), at_s=0.0)
    return simulate(WORKED, [run, Pass("7", kind="lofted", at_s=2.5)], duration_s=4)


def lost() -> Sequence:
    return simulate(WORKED, [], Rulebook().with_settings(confrontation_x_m=0), duration_s=6, just_lost=True)


def trapped() -> Sequence:
    return simulate(WORKED, [Pass("2", speed_mps=20, at_s=2.5)], duration_s=8, trap="2")


def broken() -> Sequence:
    return simulate(scene("full-back on the ball"), [Pass(at_s=0.5)], duration_s=4)


def alone() -> Sequence:
    """11 has been drawn away, and 9 dives in."""
    away = Run("pressing", "11", to_xy=(24, 30), until_s=4)
    return simulate(WORKED, [DIVE_OUTSIDE, away, Dribble(way="outside", at_s=1.7, speed_mps=6)], duration_s=7)


def not_now() -> Sequence:
    return simulate(scene("throw-in"), [Dribble(way="inside")], duration_s=0.3)


SHOWN: dict[str, Callable[[], Sequence]] = {
    "pass played": lambda: story("switch"), "pass received": lambda: story("switch"),
    "pass forced back": lambda: story("to the full-back and back"), "pass forced long": forced_long,
    "receiver free": late, "dribble": lambda: story("past him straight"), "heavy touch": away, "trigger seen": away,
    "trap closed": trapped, "carrier contained": lambda: story("into midfield"),
    "presser beaten": lambda: story("past him inside"), "taken over": lambda: story("past him inside"),
    "nobody takes over": alone, "press broken": broken, "recovered": broken,
    "counter-press started": lost, "counter-press aborted": lost,
    "pass intercepted": lambda: story("over the top"), "ball won": away, "offside": offside, "out of play": out,
    "action left out": not_now,
}


@pytest.mark.parametrize("kind", EVENT_KINDS)
def test_each_kind_happens(kind: str) -> None:
    sequence = SHOWN[kind]()
    event = happened(sequence, kind)[0]
    assert event.words.endswith(".")
    assert all(number in event.words for number in event.pressing)


@pytest.mark.parametrize("kind", ["pass intercepted", "ball won", "offside", "out of play"])
def test_the_sequence_ends_there(kind: str) -> None:
    sequence = SHOWN[kind]()
    end = happened(sequence, kind)[-1].time_s
    assert end <= sequence.times[-1] + 1e-9 < end + 0.2
    assert any(event.kind in OURS for event in sequence.events) is (kind != "out of play")


def test_failures_are_named() -> None:
    failed = failure(late())
    assert failed is not None and failed.kind == "receiver free"
    assert failure(story("switch")) is None
