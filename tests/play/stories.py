"""Invented sequences on the worked scene, each told once and looked at from several sides."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from pressinglib.field.scene_file import scene
from pressinglib.play import Dribble, Event, Pass, Run, Sequence, simulate
from pressinglib.play.actions import Action

# A presser who dives in: he runs at the ball as fast as he can and cannot turn.
DIVE = Run("pressing", "9", to_xy=(37.0, 10.0), until_s=2.2)
DIVE_OUTSIDE = Run("pressing", "9", to_xy=(35.0, 12.0), until_s=2.4)
STORIES: dict[str, list[Action]] = {
    "into midfield": [Pass("8", speed_mps=20, at_s=0.5)],
    "past him inside": [DIVE, Dribble(way="inside", at_s=1.5, speed_mps=6)],
    "past him straight": [Dribble(way="straight", at_s=2.0)],
    "past him outside": [DIVE_OUTSIDE, Dribble(way="outside", at_s=1.7, speed_mps=6)],
    "switch": [Pass("3", kind="lofted", at_s=0.5)],
    "over the top": [Run("possession", "9", to_xy=(-30, 6), at_s=0.5),
                     Pass("9", kind="lofted", at_s=0.7, to_xy=(-27, 5))],
    "over the full-back": [Run("possession", "7", to_xy=(-32, 22), at_s=0.5),
                           Pass("7", kind="lofted", at_s=1.3, to_xy=(-24, 26))],
    "round the back": [Pass("4", at_s=0.5), Pass("5", at_s=2.6), Pass("2", at_s=4.8)],
    "to the full-back and back": [Pass("2", at_s=0.5), Pass("5", at_s=2.5)],
}


EVENT_KINDS = " ".join(str(Event.__doc__).split()).partition("Kinds: ")[2].rstrip(".").split(", ")  # as users read them


@lru_cache
def story(name: str) -> Sequence:
    """One of the stories, 7 s of it."""
    return simulate(scene("worked scene"), STORIES[name], duration_s=7)


def happened(sequence: Sequence, kind: str) -> list[Event]:
    """The events of one kind."""
    return [e for e in sequence.events if e.kind == kind]


def when(sequence: Sequence, kind: str) -> float:
    """The first time something happened."""
    return next(e.time_s for e in sequence.events if e.kind == kind)


def place(sequence: Sequence, number: str, time_s: float) -> np.ndarray:
    """Where one of us is at a time."""
    return np.array(sequence.at(time_s).situation.player("pressing", number).xy)


def duty(sequence: Sequence, number: str, time_s: float) -> tuple[str, str]:
    """Role and duty of one of us at a time."""
    job = sequence.at(time_s).plan.assignments[number]
    return job.role, job.duty


def failure(sequence: Sequence) -> Event | None:
    """The first event that shows the press fail."""
    return next((e for e in sequence.events if e.kind in ("receiver free", "nobody takes over", "press broken")), None)
