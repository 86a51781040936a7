"""The counter-press: some seconds after a loss everybody near goes, wherever the ball is; then back into the block."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pressinglib import Rulebook, Situation, simulate
from pressinglib.field.scene_file import scene
from pressinglib.play import Dribble, Pass, tactics
from tests.play.stories import happened

WAITS = Rulebook().with_settings(confrontation_x_m=0)  # a low block by rule


def ours() -> Situation:
    """We have the ball high up: our 10 at their penalty box."""
    return replace(scene("worked scene"), carrier=None, ball_xy=scene("worked scene").player("pressing", "10").xy)


def test_a_bad_pass_of_ours_starts_it() -> None:
    sequence = simulate(ours(), [Pass("5", at_s=0.5)], WAITS, duration_s=6)
    started = happened(sequence, "counter-press started")
    assert started and started[0].time_s == pytest.approx(happened(sequence, "pass received")[0].time_s, abs=0.11)
    after = started[0].time_s + 0.8
    assert sequence.at(after).plan.presser is not None, "though the ball is far beyond the line of confrontation"


@pytest.mark.parametrize("window_s", [3.0, 5.0])
def test_when_its_time_is_over_the_team_goes_back(window_s: float, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tactics, "COUNTER_PRESS_S", window_s)
    sequence = simulate(scene("worked scene"), [], WAITS, duration_s=window_s + 1.5, just_lost=True)
    assert [e.kind for e in sequence.events if e.kind.startswith("counter")] == [
        "counter-press started", "counter-press aborted"]
    assert happened(sequence, "counter-press aborted")[0].time_s == pytest.approx(window_s, abs=0.11)
    assert sequence.at(window_s - 0.3).plan.presser is not None
    assert sequence.at(window_s + 0.3).plan.presser is None


def test_it_is_aborted_when_they_have_played_out_of_it() -> None:
    sequence = simulate(scene("worked scene"), [Pass("8", speed_mps=20, at_s=0.3), Dribble(way="straight", at_s=2.5)],
                        WAITS, duration_s=5, just_lost=True)
    aborted, broken = happened(sequence, "counter-press aborted"), happened(sequence, "press broken")
    assert aborted and broken and aborted[0].time_s == pytest.approx(broken[0].time_s)
    assert "played out" in aborted[0].words.lower()


def test_who_has_just_lost_the_ball_is_slower_to_react() -> None:
    """0.7 s against none: what the first second shows of it."""
    lost, set_ = (simulate(scene("worked scene"), [], duration_s=1, just_lost=lost) for lost in (True, False))
    for number in ("9", "10", "11"):
        start, late, early = (s.at(t).situation.player("pressing", number).xy
                              for s, t in ((set_, 0.0), (lost, 0.6), (set_, 0.6)))
        assert late == start != early
