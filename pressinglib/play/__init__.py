"""Time: passes, dribbles and runs, and the press that answers them."""

from pressinglib.play.actions import Action, Dribble, Pass, Run, Touch, action_from_dict
from pressinglib.play.events import Event
from pressinglib.play.sequence import Sequence
from pressinglib.play.simulate import how_far, how_late, replay, simulate
from pressinglib.play.tactics import TRIGGERS, find_triggers

__all__ = [
    "Action", "Dribble", "Event", "Pass", "Run", "Sequence", "TRIGGERS", "Touch", "action_from_dict", "find_triggers",
    "how_far", "how_late", "replay", "simulate",
]
