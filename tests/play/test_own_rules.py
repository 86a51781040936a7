"""An analyst's rule and other settings work in time as they do in a picture."""

from __future__ import annotations

import numpy as np
import pytest

from pressinglib import Rulebook, Settings, Situation, simulate
from pressinglib.errors import RuleError
from pressinglib.field.scene_file import scene
from pressinglib.play import Dribble, Pass
from tests.play.stories import DIVE


def ten_goes(situation: Situation) -> str:
    """Whatever happens, our 10 presses."""
    return "10"


def test_an_own_rule_is_asked_at_every_moment() -> None:
    rules = Rulebook().with_rules(choose_presser=ten_goes)
    q = simulate(scene("worked scene"), [Pass("4", at_s=0.5)], rules, duration_s=2)
    assert {plan.presser for plan in q.plans} == {"10"}
    to_4 = [np.hypot(*np.subtract(q.at(t).situation.player("pressing", "10").xy, (36, -8))) for t in (0.8, 2.0)]
    assert to_4[1] < to_4[0] - 3


def test_a_rule_that_fails_says_which() -> None:
    def no_rule(situation: Situation) -> str:
        return "9" if situation.receiver is None else "99"

    with pytest.raises(RuleError, match="99"):
        simulate(scene("worked scene"), [Pass("4", at_s=0.2)], Rulebook().with_rules(choose_presser=no_rule))


def test_with_anyone_the_nearest_of_all_takes_over() -> None:
    """A ball into their forward: who is nearest goes, though he is of the back line."""
    acts = [DIVE, Pass("9", at_s=1.0, speed_mps=20), Dribble(way="straight", at_s=3.2)]
    anyone = simulate(scene("worked scene"), acts, Rulebook(Settings(pressers="anyone")), duration_s=3)
    assert anyone.at(2.0).plan.presser in ("4", "5")


def test_slower_players_come_later() -> None:
    slow = simulate(scene("worked scene"), [], Rulebook(Settings(top_speed_mps=6.0)), duration_s=2)
    fast = simulate(scene("worked scene"), [], duration_s=2)
    for q, most in ((slow, 6.0), (fast, 7.8)):
        speed = np.hypot(*np.moveaxis(q.frames.pressing_velocity, -1, 0))
        assert most - 3.0 < speed.max() <= most + 1e-9
