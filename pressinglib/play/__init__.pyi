from .actions import Action as Action
from .actions import Dribble as Dribble
from .actions import Pass as Pass
from .actions import Run as Run
from .actions import Touch as Touch
from .events import Event as Event
from .sequence import Sequence as Sequence
from .simulation import replay as replay
from .simulation import simulate as simulate
from .triggers import TRIGGERS as TRIGGERS
from .triggers import find_triggers as find_triggers

__all__: list[str]
