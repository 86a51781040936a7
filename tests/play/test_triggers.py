"""Triggers: each with a picture that shows it, a near miss, and the mirror of both; and what a team does then."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from pressinglib import PressingError, Rulebook, Situation, simulate
from pressinglib.field.scene_file import scene
from pressinglib.play import TRIGGERS, Pass, Touch, find_triggers, tactics
from tests.play.stories import happened

WORKED = scene("worked scene")
WAITS = Rulebook().with_settings(confrontation_x_m=17)  # a mid block: their centre-backs are left alone


def travelling(to: str, speed: float = 15.0, height_m: float = 0.0, start: tuple[float, float] = (35.0, 10.0),
               facing_deg: float | None = None) -> Situation:
    """The worked scene with the ball on its way to one of theirs."""
    him = WORKED.player("possession", to)
    way = np.subtract(him.xy, start)
    velocity = tuple(map(float, way / np.hypot(*way) * speed))
    possession = tuple(replace(q, facing_deg=facing_deg) if q.number == to else q for q in WORKED.possession)
    return replace(WORKED, possession=possession, carrier=None, receiver=to, ball_xy=start, ball_velocity=velocity,
                   ball_height_m=height_m)


def loose(off_m: float) -> Situation:
    """The ball has rolled away from their 5 towards our 9."""
    way = np.subtract((27.0, -2.0), (35.0, 10.0))
    x, y = np.array([35.0, 10.0]) + way / np.hypot(*way) * off_m
    return replace(WORKED, carrier=None, ball_xy=(float(x), float(y)), ball_velocity=(-2.0, -3.0))


CASES = {
    "heavy touch": (loose(3.0), loose(9.0)),  # nearer to our 9: not his any more
    "back pass": (travelling("1"), travelling("1", start=(45.0, 0.5))),  # 2 m back
    "slow square pass": (travelling("4", 12.0), travelling("4", 15.0)),
    "receiver facing own goal": (travelling("6"), travelling("6", facing_deg=180.0)),
    "ball to the full-back": (travelling("2"), travelling("2", start=(20.0, 31.0))),  # from further out
    "lofted ball": (travelling("10", height_m=4.0), travelling("10", height_m=1.0)),
}


@pytest.mark.parametrize("name", TRIGGERS)
def test_each_is_seen_and_its_near_miss_is_not(name: str) -> None:
    shows, misses = CASES[name]
    for picture in (shows, shows.mirrored()):
        assert name in find_triggers(picture)
    for picture in (misses, misses.mirrored()):
        assert name not in find_triggers(picture)


def test_nothing_is_seen_while_a_carrier_has_the_ball() -> None:
    assert find_triggers(WORKED) == ()


def test_only_pictures_have_triggers() -> None:
    with pytest.raises(PressingError, match="Situation"):
        find_triggers("worked scene")  # type: ignore[arg-type]


ACTS = {
    "heavy touch": [Touch(by_m=5, angle_deg=180, at_s=1)],
    "back pass": [Pass("1", at_s=1)],
    "slow square pass": [Pass("4", speed_mps=11, at_s=1)],
    "ball to the full-back": [Pass("2", at_s=1)],
    "lofted ball": [Pass("3", kind="lofted", at_s=1)],
}


@pytest.mark.parametrize("name", ACTS)
def test_a_team_that_waits_goes_on_a_trigger(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Before it nobody presses; with it one goes; when the team does not see it, nobody does."""
    heeds = simulate(WORKED, ACTS[name], WAITS, duration_s=3)
    monkeypatch.setattr(tactics, "find_triggers", lambda *asked: ())
    waits = simulate(WORKED, ACTS[name], WAITS, duration_s=3)
    seen = happened(heeds, "trigger seen")
    assert any(name in event.words and event.time_s <= 1.5 for event in seen)
    assert all(plan.presser is None for plan in heeds.plans[:10])
    assert heeds.at(seen[0].time_s + 0.2).plan.presser is not None
    assert all(plan.presser is None for t, plan in zip(waits.times, waits.plans, strict=True)
               if waits.at(float(t)).situation.ball_xy[0] > 18 and waits.at(float(t)).plan.state != "won")
    assert not happened(waits, "trigger seen")


def test_the_team_waits_again_when_nothing_came_of_it() -> None:
    """Their goalkeeper has the ball at his feet, 3 s after the back pass."""
    sequence = simulate(WORKED, [Pass("1", at_s=0.5)], WAITS, duration_s=6)
    assert sequence.at(2.0).plan.presser is not None
    assert sequence.at(5.5).plan.presser is None


def test_a_press_that_does_not_wait_needs_no_trigger(monkeypatch: pytest.MonkeyPatch) -> None:
    one = simulate(WORKED, [Pass("2", at_s=0.5)], duration_s=2)
    monkeypatch.setattr(tactics, "find_triggers", lambda *asked: ())
    other = simulate(WORKED, [Pass("2", at_s=0.5)], duration_s=2)
    np.testing.assert_array_equal(one.frames.pressing_xy, other.frames.pressing_xy)
