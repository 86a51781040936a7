"""Pictures that the tests of the drawings share."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from typing import Any

import pytest

from pressinglib import Pitch, Plan, Player, Situation, plan_press
from pressinglib.field.scene_file import scene


class Clock(asyncio.SelectorEventLoop):
    """A loop whose time passes only while nothing is to be done: a busy machine is as quick as any."""

    now_s = 0.0

    def time(self) -> float:
        return self.now_s

    def _run_once(self) -> None:
        if not self._ready and self._scheduled:
            self.now_s = max(self.now_s, self._scheduled[0].when())
        super()._run_once()


def clocked(watch: Coroutine[Any, Any, Any]) -> Any:
    """What comes of it in true time, at once."""
    with asyncio.Runner(loop_factory=Clock) as runner:
        return runner.run(watch)


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
