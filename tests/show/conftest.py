"""Pictures that the tests of the drawings share."""

from __future__ import annotations

import pytest

from pressinglib import Pitch, Plan, Player, Situation, plan_press
from pressinglib.field.scene_file import scene


@pytest.fixture(scope="session")
def worked() -> Situation:
    return scene("worked scene")


@pytest.fixture(scope="session")
def worked_plan(worked: Situation) -> Plan:
    return plan_press(worked)


@pytest.fixture
def hostile() -> Situation:
    """Numbers that try to be markup, a formula and a format."""
    ours = (Player("<b>9", "centre-forward", (20, 0)), Player("$x_1$", "central midfielder", (5, 5)),
            Player("{0}%s", "right back", (-20, -9)), Player("--><!", "goalkeeper", (-45, 0)))
    theirs = (Player("&lt;5", "centre-back", (30, 0)), Player("</svg>", "right winger", (0, 20)))
    return Situation(Pitch(), ours, theirs, (30, 0))
