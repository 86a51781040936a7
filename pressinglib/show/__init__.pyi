from .board import Board as Board
from .drawing import LAYERS as LAYERS
from .drawing import Drawing as Drawing
from .drawing import draw_compared as draw_compared
from .drawing import draw_plan as draw_plan
from .drawing import draw_situation as draw_situation
from .export import film as film
from .export import picture as picture
from .export import save_picture as save_picture
from .labels import Labels as Labels
from .pages import Pages as Pages
from .pages import sheet as sheet
from .pages import strip as strip
from .sequence_board import SequenceBoard as SequenceBoard

def picture_html(what: object) -> str | None: ...

__all__: list[str]
