from .formations import formation_slots as formation_slots
from .formations import slot_numbers as slot_numbers
from .frames import Frames as Frames
from .pitch import Pitch as Pitch
from .player import Player as Player
from .scene_file import OwnMark as OwnMark
from .scene_file import SceneFile as SceneFile
from .scene_file import load_scene as load_scene
from .scene_file import load_session as load_session
from .scene_file import load_situation as load_situation
from .scene_file import save_session as save_session
from .scene_file import save_situation as save_situation
from .scene_file import scene as scene
from .scene_file import scene_names as scene_names
from .situation import Situation as Situation

__all__: list[str]
