"""Runs by chance, of any teams and any ball, in any manner: none ends in an error; 24 of them, 2,000 with --full."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from pressinglib import Pitch, Player, Rulebook, Settings, Situation, find_faults, simulate
from pressinglib.field.player import SLOTS, TOP_SPEED_MPS
from pressinglib.field.situation import BALL_TOP_MPS, RESTARTS
from pressinglib.play import Action, Dribble, Pass, Run, Touch
from pressinglib.roles.faults import faults_in_frames
from tests.play.test_laws import check_always

FEW, MANY, PARTS = 24, 2000, 8
PITCHES = (Pitch(), Pitch(90, 45), Pitch(120, 90), Pitch.youth("7v7"), Pitch.youth(22, 20))
SIZES = (1, 1, 2, 3, 7, 10, 11, 11, 11)
STEPS = (0.05, 0.1, 0.5, 0.5, 0.5)
Chance = np.random.Generator


def one_of(chance: Chance, values: Any) -> Any:
    return values[int(chance.integers(len(values)))]


def place(chance: Chance, pitch: Pitch) -> tuple[float, float]:
    """Anywhere a player may stand, often on the lines or in a heap."""
    reach = np.add(pitch.corner_xy, 3.0)
    xy = one_of(chance, (chance.uniform(-reach, reach), chance.normal(0, 3, 2), np.round(chance.uniform(-reach, reach)),
                         np.array(pitch.corner_xy), np.zeros(2)))
    return tuple(np.clip(xy, -reach, reach).tolist())


def velocity(chance: Chance, top_mps: float) -> tuple[float, float]:
    """At rest, running, or as fast as is let in."""
    speed, angle = top_mps * one_of(chance, (0.0, 0.0, chance.random(), 1.0)), chance.uniform(0, 2 * np.pi)
    return float(speed * np.cos(angle)), float(speed * np.sin(angle))


def team(chance: Chance, pitch: Pitch, slots: tuple[str, ...]) -> tuple[Player, ...]:
    """1-11 players; alone he may be the goalkeeper."""
    first = one_of(chance, ("goalkeeper", *slots))
    return tuple(Player(str(n + 1), one_of(chance, slots) if n else first, place(chance, pitch),
                        velocity(chance, TOP_SPEED_MPS), one_of(chance, (None, chance.uniform(-180, 180))))
                 for n in range(one_of(chance, SIZES)))


def picture(chance: Chance) -> Situation:
    """Any picture in any state."""
    pitch, slots = one_of(chance, PITCHES), one_of(chance, (SLOTS[1:], SLOTS[1:], ("outfield",)))
    ours, theirs = team(chance, pitch, slots), team(chance, pitch, slots)
    ball = one_of(chance, (one_of(chance, theirs).xy, one_of(chance, theirs).xy, one_of(chance, ours).xy,
                           place(chance, pitch)))
    return Situation(pitch, ours, theirs, ball, receiver=one_of(chance, (None, None, one_of(chance, theirs).number)),
                     ball_velocity=velocity(chance, BALL_TOP_MPS), ball_height_m=one_of(chance, (0.0, 0.3, 8.0, 100.0)),
                     restart=one_of(chance, (None, None, None, *RESTARTS)))


def action(chance: Chance, s: Situation) -> Action:
    """Anything by anybody."""
    aim, at_s, him = place(chance, s.pitch), float(chance.uniform(0, 1.5)), one_of(chance, s.possession).number
    runner = one_of(chance, (("pressing", one_of(chance, s.pressing).number), ("possession", him)))
    make = one_of(chance, (
        lambda: Pass(him, one_of(chance, ("ground", "lofted")), one_of(chance, (None, 4.0, 40.0)), at_s,
                     one_of(chance, (None, aim))),
        lambda: Pass(at_s=at_s), lambda: Dribble(aim, at_s=at_s, speed_mps=one_of(chance, (0.5, 10.0))),
        lambda: Dribble(way=one_of(chance, ("outside", "straight", "inside")), at_s=at_s),
        lambda: Touch(float(chance.uniform(1, 15)), one_of(chance, (None, 90.0)), at_s),
        lambda: Run(*runner, place(chance, s.pitch), at_s=at_s, until_s=one_of(chance, (None, 0.5))),
        lambda: Run(*runner, aim, at_s=at_s, speed_mps=one_of(chance, (None, 0.5, 10.0)))))
    return make()


def manner(chance: Chance, s: Situation) -> dict[str, Any]:
    """Any other arguments of `simulate`."""
    settings = one_of(chance, ({}, {}, {"pressers": "anyone"}, {"steering": "inside"}, {"confrontation_x_m": 0.0},
                               {"count_goalkeeper": "yes"}))
    return {"rulebook": Rulebook(Settings(**settings)), "step_s": one_of(chance, STEPS), "duration_s": 2.0,
            "late_s": one_of(chance, (0.0, 0.4, 3.0)), "seed": one_of(chance, (None, 7)),
            "attackers": one_of(chance, ("stay", "seek")),
            "trap": one_of(chance, (None, None, one_of(chance, s.possession).number)),
            "just_lost": bool(chance.integers(2))}


def check_run(seed: int) -> None:
    """A run and the faults in it, those that need two moments too."""
    chance = np.random.default_rng(seed)
    s = picture(chance)
    how = manner(chance, s)
    sequence = simulate(s, [action(chance, s) for _ in range(int(chance.integers(4)))], **how)
    check_always(sequence)
    moments = sequence.situations
    find_faults(moments[0], how["rulebook"], trap=how["trap"])
    find_faults(moments[-1], how["rulebook"], moments[0], before_s=float(np.clip(sequence.times[-1], 0.2, 3.0)))
    faults_in_frames(sequence.frames, how["rulebook"])


@pytest.mark.parametrize("part", range(PARTS))
def test_no_run_ends_in_an_error(part: int, full: bool) -> None:
    for seed in range(part, MANY if full else FEW, PARTS):
        try:
            check_run(seed)
        except Exception as error:
            error.add_note(f"run {seed}")
            raise
