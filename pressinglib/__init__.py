"""pressinglib: how a football team presses, computed for any picture of 22 players and a ball.

The names are listed in the stub beside this file, for editors and type checkers too; each is loaded when first asked
for.
"""

import sys

import lazy_loader

__version__ = "0.1.0"
__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)


def _show_in_notebooks() -> None:
    """Situations and plans as pictures, where a notebook runs already; nothing of the pictures is loaded yet."""
    if "IPython" in sys.modules and (shell := sys.modules["IPython"].get_ipython()) is not None:
        from pressinglib.show import show_pictures

        show_pictures(shell)


_show_in_notebooks()
