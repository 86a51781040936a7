"""Pictures: what to draw as data, the printed picture, pages and films, and the board."""

from __future__ import annotations

from base64 import b64encode
from html import escape
from typing import Any

from pressinglib.doors import doors

__getattr__, __dir__, __all__ = doors(__name__, __file__)

# What a notebook shows of a value of the model, which knows no view: one table joins them.
PICTURES = (("pressinglib.field.situation", "Situation"), ("pressinglib.roles.plan", "Plan"))


def show_pictures(shell: Any) -> None:
    """Let a running IPython show situations and plans as pictures; in a terminal they stay words."""
    for module, name in PICTURES:
        shell.display_formatter.formatters["text/html"].for_type_by_name(module, name, picture_html)


def picture_html(what: Any) -> str | None:
    """The picture, with its words for those who do not see it; nothing where matplotlib is not installed."""
    from pressinglib.show.export import picture

    shown = what if hasattr(what, "_repr_png_") else picture(what)
    try:
        png = b64encode(shown._repr_png_()).decode()
    except ImportError:
        return None
    words = escape(repr(shown).removeprefix("Picture: "))
    return f'<img alt="{words}" style="max-width:100%" src="data:image/png;base64,{png}">'
