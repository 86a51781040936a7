"""A page for a browser or to print: headings, words, tables, pictures beside each other; all in one file."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterable
from html import escape
from pathlib import Path

from pressinglib.files import write_file
from pressinglib.show.style import INK, PAPER
from pressinglib.tables import Table

STYLE = f"""body {{ font: 16px/1.5 Georgia, serif; color: {INK}; background: {PAPER}; max-width: 64rem;
margin: 2rem auto; padding: 0 1rem }} table {{ border-collapse: collapse; font: 14px/1.4 sans-serif; margin: .5rem 0 }}
th, td {{ border-bottom: 1px solid #bbb; padding: .25rem .9rem .25rem 0 }} caption {{ font-weight: bold }}
.side {{ display: flex; flex-wrap: wrap; gap: 1rem }} figure {{ flex: 1 1 26rem; margin: .5rem 0; break-inside: avoid }}
img {{ max-width: 100% }} figcaption {{ font: 14px/1.4 sans-serif }} .wide {{ overflow-x: auto }}"""


class Page:
    """Fills from the top; whatever words it is given, none becomes a tag.

    Examples
    --------
    >>> page = Page("<b>Report</b>")
    >>> page.words("What a team did.")
    >>> "<b>" in page.html(), page.html().count("What a team did.")
    (False, 1)
    """

    def __init__(self, title: str) -> None:
        self.title, self._parts = title, [f"<h1>{escape(title)}</h1>"]

    def heading(self, words: str) -> None:
        """Begins a part."""
        self._parts.append(f"<h2>{escape(words)}</h2>")

    def smaller(self, words: str) -> None:
        """Begins a part of a part."""
        self._parts.append(f"<h3>{escape(words)}</h3>")

    def words(self, *paragraphs: str) -> None:
        """Each a paragraph."""
        self._parts += [f"<p>{escape(words)}</p>" for words in paragraphs]

    def points(self, words: Iterable[str]) -> None:
        """A list."""
        self._parts.append("<ul>" + "".join(f"<li>{escape(one)}</li>" for one in words) + "</ul>")

    def table(self, table: Table) -> None:
        """A table with its title and notes."""
        self._parts.append(f'<div class="wide">{table._repr_html_()}</div>')

    def pictures(self, pictures: Iterable[tuple[bytes, str, str]]) -> None:
        """PNGs beside each other, each with its text alternative and its caption."""
        figures = "".join(f'<figure><img src="data:image/png;base64,{b64encode(png).decode()}" alt="{escape(alt)}">'
                          f"<figcaption>{escape(caption)}</figcaption></figure>" for png, alt, caption in pictures)
        self._parts.append(f'<div class="side">{figures}</div>')

    def html(self) -> str:
        """The whole page."""
        return (f'<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8"><title>{escape(self.title)}</title>'
                '<meta name="viewport" content="width=device-width, initial-scale=1">'
                f"<style>{STYLE}</style></head><body><main>\n" + "\n".join(self._parts) + "\n</main></body></html>\n")

    def save(self, path: str | Path) -> Path:
        """Write it, whole or not at all."""
        return write_file(path, self.html().encode("utf-8", "replace"))
