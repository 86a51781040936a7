"""pressinglib: how a football team presses, computed for any picture of 22 players and a ball."""

from pressinglib.errors import PressingError
from pressinglib.field.frames import Frames
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import Player
from pressinglib.field.scene_file import load_situation, save_situation
from pressinglib.field.situation import Situation
from pressinglib.play.sequence import Sequence
from pressinglib.play.simulate import simulate
from pressinglib.roles.faults import Fault, find_faults
from pressinglib.roles.plan import Plan, plan_press
from pressinglib.roles.plan_frames import plan_frames
from pressinglib.roles.rule_contract import check_rule
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import Settings

__version__ = "0.1.0"
__all__ = [
    "Fault", "Frames", "Pitch", "Plan", "Player", "PressingError", "Rulebook", "Sequence", "Settings", "Situation",
    "check_rule", "find_faults", "load_situation", "plan_frames", "plan_press", "save_situation", "simulate",
]
