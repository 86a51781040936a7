"""How players and the ball move: the law of running, passes, lanes, shadows, control of space, offside; other models.

What is published and only compared with stands in `published`. The names are listed in the stub beside this file.
"""

from pressinglib.doors import doors

__getattr__, __dir__, __all__ = doors(__name__, __file__)
