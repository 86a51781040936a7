from .actions import TRIGGERS as TRIGGERS
from .actions import Action as Action
from .actions import Dribble as Dribble
from .actions import Pass as Pass
from .actions import Run as Run
from .actions import Touch as Touch
from .game_state import Event as Event
from .price import choices as choices
from .price import improve as improve
from .price import traps as traps
from .sequence import Sequence as Sequence
from .sequence import replay as replay
from .sequence import simulate as simulate
from .tactics import find_triggers as find_triggers

__all__: list[str]
