"""An invented match: eleven a side with numbers only, two halves, both teams in possession, a dead ball in between."""

from __future__ import annotations

import numpy as np
import pytest

from pressinglib.data import Team, Tracking
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import OUTFIELD
from pressinglib.field.situation import Situation

STEP_S, SPELL = 0.1, 40
DRIFT_MPS = (1.0, 0.5)
BALLS = [(20.0, 10.0), (-12.0, -14.0)]


def half(spell: int) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Places of home, away and ball, and alive, over one half: home has the ball for a spell, it dies, away has it."""
    home, away, ball = [], [], []
    for k, ball_xy in enumerate(BALLS):
        s = Situation.line_up(pressing="4-4-2", possession="4-3-3", ball_xy=ball_xy)
        ours, theirs = (np.array([p.xy for p in team]) for team in (s.pressing, s.possession))
        first, second = (-theirs, -ours) if k == 0 else (ours, theirs)  # home attacks +x
        drift = np.arange(spell)[:, None] * STEP_S * np.array(DRIFT_MPS)
        home.append(first + drift[:, None])
        away.append(second + drift[:, None])
        ball.append((-1 if k == 0 else 1) * np.array(s.ball_xy) + drift)
    alive = np.ones(2 * spell, bool)
    alive[spell - 5 : spell] = False
    return np.concatenate(home), np.concatenate(away), np.concatenate(ball), alive


@pytest.fixture(scope="session")
def invented() -> Tracking:
    return invented_match()


def invented_match(spell: int = SPELL) -> Tracking:
    """The match; `spell` frames of each side in each half."""
    parts = [half(spell) for _ in (1, 2)]
    home, away, ball, alive = (np.concatenate(values) for values in zip(*parts, strict=True))
    count = len(ball)
    numbers = tuple(str(n) for n in range(1, 12))
    t = np.arange(count) * STEP_S + np.where(np.arange(count) < count // 2, 0.0, 900.0)
    teams = (Team(numbers, (OUTFIELD,) * 11, xy) for xy in (home, away))
    return Tracking(Pitch(), *teams, np.round(t, 4), ball, np.zeros(count), alive, np.arange(count) + 100,
                    np.where(np.arange(count) < count // 2, 1, 2), np.zeros(count))
