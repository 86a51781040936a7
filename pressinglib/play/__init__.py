"""Time: passes, dribbles and runs, and the press that answers them."""

from pressinglib.doors import doors

__getattr__, __dir__, __all__ = doors(__name__, __file__)
