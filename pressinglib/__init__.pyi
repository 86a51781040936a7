from . import data as data
from . import field as field
from . import physics as physics
from . import play as play
from . import roles as roles
from . import show as show
from . import teach as teach
from .errors import PressingError as PressingError
from .field.frames import Frames as Frames
from .field.pitch import Pitch as Pitch
from .field.player import Player as Player
from .field.scene_file import load_situation as load_situation
from .field.scene_file import save_situation as save_situation
from .field.scenes import scene as scene
from .field.scenes import scene_names as scene_names
from .field.situation import Situation as Situation
from .play.actions import Dribble as Dribble
from .play.actions import Pass as Pass
from .play.actions import Run as Run
from .play.actions import Touch as Touch
from .play.sequence import Sequence as Sequence
from .play.simulation import simulate as simulate
from .roles.compare import compare_rulebooks as compare_rulebooks
from .roles.faults import Fault as Fault
from .roles.faults import find_faults as find_faults
from .roles.frame_plans import plan_frames as plan_frames
from .roles.plan import Plan as Plan
from .roles.plan import plan_press as plan_press
from .roles.rule_contract import check_rule as check_rule
from .roles.rulebook import Rulebook as Rulebook
from .roles.settings import Settings as Settings
from .show.board import Board as Board
from .show.export import picture as picture
from .show.export import save_picture as save_picture
from .teach.widget import TryIt as TryIt

__version__: str
__all__: list[str]
