"""How players and the ball move: the law of running, passes, lanes, shadows, control of space, offside; other models.

What is published and only compared with stands in `published`. The names are listed in the stub beside this file.
"""

from typing import Any

import lazy_loader

from pressinglib.errors import formula

_found, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)


def __getattr__(name: str) -> Any:
    """What is asked for; of arguments that do not fit a formula says what it expects."""
    found = _found(name)
    globals()[name] = formula(found) if hasattr(found, "__code__") else found  # the next time this is found at once
    return globals()[name]
