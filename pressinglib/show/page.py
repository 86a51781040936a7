"""One HTML file that opens anywhere: planned beforehand, drawn by a small script of its own, and nothing is fetched.

A plan is shown only for the places it was worked out for. The ball lies at the feet of each of theirs, and each carries
it, a metre at a time: a grid over the pitch would be loose balls nearly everywhere, and half-way between two plans the
worst-placed player of a blend stands 2-7 m wrong (tried). The loose ball is a mode of its own, and coarse.
"""

from __future__ import annotations

import json
import re
from base64 import b64encode
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cache
from hashlib import sha256
from html import escape
from itertools import product
from math import dist, hypot
from pathlib import Path
from typing import Any
from zlib import compress

import numpy as np

from pressinglib.errors import as_known, as_number
from pressinglib.field.player import NUMBER_LENGTH
from pressinglib.field.situation import CONTROL_M, Situation
from pressinglib.files import as_path, write_file
from pressinglib.roles.pipeline import FRAMES_AT_ONCE
from pressinglib.roles.plan import Plan, plan_pictures
from pressinglib.roles.rulebook import Rulebook
from pressinglib.show.drawing import USUAL_LAYERS, Drawing, draw_plan
from pressinglib.show.labels import Labels, role_rows
from pressinglib.show.marks import Mark
from pressinglib.show.primitives import primitives_of, svg
from pressinglib.show.style import FILLS, HEAD_M, LETTER_M, PENS, ROLES, TOKENS, form_of, number_size_m

CARRY_M, MOST_CARRY_M = 4.0, 8.0
LOOSE_M = 7.0  # from one loose ball to the next
LEAST_M = 2.25  # height of type: 12 dots where the width of the pitch is shown on 390
MARGIN_M = 2.5
LARGE = {name: look._replace(radius_m=round(1.12 * look.radius_m, 2)) for name, look in TOKENS.items()}  # so "10" fits
LABELS = Labels(upright=True, least_m=LEAST_M)
Progress = Callable[[int, int], None]
Look = tuple[str, ...]  # kind, layer, style, and what stands on it
Place = tuple[str, Situation]  # who carries the ball there, "" for the picture as it stands, LOOSE for a loose ball
LOOSE = "loose ball"  # longer than any number

# -- Where the ball may be put, and the plans for it.


def ball_places(situation: Situation, carry_m: float = CARRY_M) -> Iterator[Place]:
    """The picture as it stands; the ball at each man's feet and carried by him; a loose ball."""
    yield "", situation
    steps = range(-int(carry_m), int(carry_m) + 1)
    for man in situation.possession:
        at_feet = situation.with_ball(man.xy, man.number)
        yield man.number, at_feet
        # To and fro, so that each place is a metre from the one before: neighbours differ little, and pack small.
        for dx, dy in ((dx, dy if dx % 2 else -dy) for dx, dy in product(steps, steps)):
            xy = (man.xy[0] + dx, man.xy[1] + dy)
            if 0 < hypot(dx, dy) <= carry_m and situation.pitch.holds(xy):
                yield man.number, at_feet.moved("possession", man.number, xy)
    taken = [p.xy for p in (*situation.pressing, *situation.possession)]
    half_x, half_y = (int(half / LOOSE_M) for half in situation.pitch.corner_xy)
    for i, j in product(range(-half_x, half_x + 1), range(-half_y, half_y + 1)):
        x, y = i * LOOSE_M, j * LOOSE_M
        if min(dist(xy, (x, y)) for xy in taken) > CONTROL_M:
            yield LOOSE, situation.with_ball((x, y))


def drawings_of(situations: Sequence[Situation], rulebook: Rulebook | None = None, layers: Iterable[str] = USUAL_LAYERS,
                progress: Progress | None = None) -> Iterator[tuple[Drawing, Plan]]:
    """Drawings and plans of pictures of the same two teams, as `draw_plan` and `plan_press` make them one by one.

    Many are planned together, which takes a third of the time.
    """
    layers = tuple(layers)
    for start in range(0, len(situations), FRAMES_AT_ONCE):
        some = situations[start:start + FRAMES_AT_ONCE]
        plans = plan_pictures(some, rulebook)
        yield from ((draw_plan(s, plans[s], layers, labels=LABELS), plans[s]) for s in some)
        if progress is not None:
            progress(start + len(some), len(situations))


# -- Drawings packed: whole decimetres, and of each mark only what has changed since the drawing before.


class Pack:
    """Drawings with what is said of them, as lists of whole numbers; `page.js` has the reader.

    A mark is twice the number of its head, which tells also which of its likes it is; one more, and then the number of
    its points, if it has moved since the drawing before: `steps` has the way from each to the next, less the old one.
    """

    def __init__(self) -> None:
        self.heads: dict[tuple[Look, int], int] = {}
        self.texts: dict[str, int] = {}
        self.marks: list[list[int]] = []
        self.steps: list[list[int]] = []
        self.says: list[list[int]] = []
        self._last: dict[int, list[tuple[int, int]]] = {}

    def text(self, words: str) -> int:
        """The number of a text."""
        return self.texts.setdefault(words, len(self.texts))

    def add(self, drawing: Drawing, *rows: Iterable[str]) -> int:
        """Add a drawing and the rows of its table; its number."""
        seen: Counter[Look] = Counter()
        self.steps.append([])
        self.marks.append([number for mark in drawing.marks for number in self._mark(mark, seen)])
        self.says.append([self.text(words) for words in (drawing.title, drawing.words, *map("\n".join, rows))])
        return len(self.marks) - 1

    def _mark(self, mark: Mark, seen: Counter[Look]) -> list[int]:
        words = [getattr(mark, name) for name in ("words", "number") if hasattr(mark, name)]
        look = (type(mark).__name__, mark.layer, mark.style, *words)
        head = self.heads.setdefault((look, seen[look]), len(self.heads))
        seen[look] += 1
        points, old = [(in_dm(x), in_dm(y)) for x, y in mark.places], self._last.get(head)
        if points == old:
            return [2 * head]
        self._last[head] = points
        way = np.diff(points, axis=0, prepend=0)
        if old is not None and len(old) == len(points):
            way -= np.diff(old, axis=0, prepend=0)
        self.steps[-1] += way.ravel().tolist()
        return [2 * head + 1, len(points)]

    def block(self, **values: Any) -> str:
        """All of it, and more values, as a block of data in a page."""
        looks = [look for look, _ in self.heads]
        whole = {"heads": looks, "texts": [*self.texts], "marks": self.marks, "steps": self.steps,
                 "says": self.says, **values}
        data = compress(json.dumps(whole, separators=(",", ":")).encode(), 9)
        return f'<script type="text/plain" data-part="packed">{b64encode(data).decode()}</script>'


def in_dm(metres: float) -> int:
    """Whole decimetres."""
    return round(10 * round(metres, 1))


# -- The first picture as it is seen without the script, which then draws it anew.


def svg_of(drawing: Drawing) -> str:
    """The drawing upright, as SVG."""
    groups, (half_x, half_y) = primitives_of(drawing).groups, np.add(drawing.pitch.corner_xy, MARGIN_M)
    groups["tokens"] = [one._replace(look=LARGE[one.team], type_m=number_size_m(one.words, LEAST_M))
                        for one in groups["tokens"]]
    words, frame = escape(f"{drawing.title}: {drawing.words}"), f"{-half_y:g} {-half_x:g} {2 * half_y:g} {2 * half_x:g}"
    parts = "".join(map(svg, groups.values()))
    return f'<svg viewBox="{frame}" role="img" aria-label="{words}" data-part="picture">{parts}</svg>'


# -- A scene, and the page around scenes and words.

HERE = Path(__file__)
SHAPES = {"pressing": "dark disc", "possession": "light square", "brake": "bar across a run", "shadow": "grey wedge",
          "goal way": "short dashes", "facing": "small triangle", "running": "dashed line"}
WAY = "upwards (lying: to the right)"
PARTS = re.compile(r"^<!-- (\w+) -->\n(.*?)\n(?=<!-- |\Z)", re.MULTILINE | re.DOTALL)
MARKUP = dict(PARTS.findall(HERE.with_suffix(".html").read_text("utf-8")))


def scene_section(situation: Situation, rulebook: Rulebook | None = None, title: str = "",
                  layers: Iterable[str] = USUAL_LAYERS, *, carry_m: float = CARRY_M,
                  progress: Progress | None = None) -> str:
    """A scene as a part of a page: the first picture in full, and all places of the ball packed."""
    carry_m = as_number(carry_m, "how far each carries the ball in m", low=0, high=MOST_CARRY_M)
    places, pack = list(ball_places(situation, carry_m)), Pack()
    drawn = drawings_of([place for _, place in places], rulebook, layers, progress)
    first, rows = Drawing(situation.pitch, (), "", ""), []
    for n, (drawing, plan) in enumerate(drawn):
        duties = [(number, role, f"{duty}: {why}") for number, role, duty, why in role_rows(plan)]
        pack.add(drawing, *duties)
        if not n:
            first, rows = drawing, duties
    at = [[who, *map(in_dm, next((p.xy for p in s.possession if p.number == who), s.ball_xy))] for who, s in places]
    beside = MARKUP["scene"].format(
        key="".join(f"<li>{escape(line)}</li>" for line in key_of(first)),
        rows="".join(f"<tr>{''.join(f'<td>{escape(cell)}</td>' for cell in row)}</tr>" for row in rows))
    return section("scene", title or first.title, first, first.words, beside, pack, places=at, loose=LOOSE, name=title)


def section(kind: str, title: str, first: Drawing, words: str, beside: str, pack: Pack, **values: Any) -> str:
    """A part of a page: its picture, words above it, what lies beside it, and its data."""
    size = [in_dm(half + MARGIN_M) for half in first.pitch.corner_xy]
    return MARKUP["section"].format(kind=kind, title=escape(title), words=escape(words), picture=svg_of(first),
                          beside=beside, packed=pack.block(half=size, **values))


def key_of(drawing: Drawing) -> list[str]:
    """The legend in words."""
    lines = [(ROLES[style].letter if style in ROLES else SHAPES.get(style, ""), words.replace("upwards", WAY))
             for style, words in drawing.legend()]
    return ["black dot: ball", *(f"{mark}: {words}" if mark else words for mark, words in lines)]


def page_html(title: str, sections: Iterable[str]) -> str:
    """The whole file, with the rules that keep everything else out of it."""
    *scripts, style = (HERE.with_name(name).read_text("utf-8") for name in ("page.js", "page_answers.js", "page.css"))
    script = "".join(scripts)
    return MARKUP["page"].format(title=escape(title), body="\n".join(sections), look=look(), script=script, style=style,
                       script_hash=_hash(script), style_hash=_hash(style))


def _hash(text: str) -> str:
    return f"sha256-{b64encode(sha256(text.encode()).digest()).decode()}"


@cache
def look() -> str:
    """The table of styles, as the script reads it."""
    forms = {name: [lines, pen.dash_m] for name in ROLES for lines, pen in [form_of(name)]}
    values = {"pens": {name: [pen.colour, pen.width_m, pen.dash_m] for name, pen in PENS.items()}, "fills": FILLS,
              "tokens": LARGE, "least": LEAST_M, "letter": LETTER_M, "head": HEAD_M, "forms": forms,
              "sizes": {n: number_size_m("0" * n, LEAST_M) for n in range(3, NUMBER_LENGTH + 1)}}
    return json.dumps(values, separators=(",", ":")).replace("<", "\\u003c")


def save_sections(path: str | Path, title: str, sections: Iterable[str]) -> Path:
    """Write a page of these sections; UnknownName unless its name ends in .html, PressingError if it cannot be."""
    as_known(as_path(path).suffix.lower(), (".html", ".htm"), "ending of a page's name", "rename it")
    return write_file(path, page_html(title, sections).encode())
