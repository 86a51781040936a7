"""Exercises, and whole lessons, as pages that open anywhere: every answer that can be given is judged beforehand.

So the page says what the lesson would say. Its tries are an answer file, which is judged again when the tutor marks it.
Whoever reads the source of the page can read the answers. Of a lesson's notebook nothing is run: what its cells show is
read off their code by `SHOWN`, or shown as it was kept.
"""

from __future__ import annotations

import ast
import json
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from html import escape
from itertools import combinations, permutations, product
from pathlib import Path
from types import ModuleType
from typing import Any

from pressinglib import __version__
from pressinglib.errors import BadInput, as_a
from pressinglib.field.player import XY
from pressinglib.field.scene_file import SceneFile, scene
from pressinglib.field.situation import Situation
from pressinglib.files import made_folder
from pressinglib.roles.plan import Plan
from pressinglib.show.drawing import USUAL_LAYERS, draw_situation
from pressinglib.show.page import CARRY_M, LABELS, MARKUP, Pack, Progress, in_dm, save_sections, scene_section, section
from pressinglib.teach import lessons
from pressinglib.teach.answers import one_of
from pressinglib.teach.course import TEAM
from pressinglib.teach.criteria import Rings, places_round
from pressinglib.teach.exercise import HINTS, Exercise
from pressinglib.teach.explanation import explained, section_of
from pressinglib.teach.stand import NONE

# How places are judged, the last ring over the whole pitch; of two players every place of one goes with every of the
# other.
RINGS: dict[int, Rings] = {1: ((0.5, 4.0), (2.0, 12.0), (8.0, 200.0)), 2: ((1.0, 2.0), (3.0, 9.0))}
MOST_STEPS = 400
STYLED = re.compile(r' style="[^"]*"')  # a page allows no style beside its own
DESK = MARKUP["desk"].format(version=__version__)  # where the tries are handed in
SHOWN = re.compile(r"pl\.(?:TryIt|Board)\((?:pl\.scene|(?:pl\.teach\.lessons\.)?(lesson(?:_\d\d)?)\.(\w+))"
                   r"(?:\.(variant|situation))?(?:\((.*?)\))?")
PLAYED = r"\b(?:SequenceBoard|Desk|Homework|MarkClass)\("  # what a page cannot do
READY = "Ready"  # what the first cell says
HOW = "how"  # the cell that says how to answer in a notebook
LESSON_CARRY_M = 3.0  # a lesson has several boards


@dataclass(frozen=True)
class Baked:
    """An exercise with a verdict for every answer that its page can give."""

    exercise: Exercise

    @cached_property
    def steps(self) -> list[float]:
        """Where the slider can stand."""
        low, high = self.exercise.form.slider or (0.0, 0.0)
        step = 0.1 if high - low <= MOST_STEPS / 10 else 1.0
        return [round(low + n * step, 1) for n in range(round((high - low) / step) + 1)]

    @cached_property
    def places(self) -> dict[str, list[XY]]:
        """Where each who is placed may be put: first where he stands, then round the solution."""
        e = self.exercise
        rings, model = RINGS[len(e.form.placed)], e.solution().answer
        return {n: [e.situation.player("pressing", n).xy, *places_round(e.situation, model[n], rings)]
                for n in e.form.placed}

    def answers(self) -> dict[str, Any]:
        """Every answer by its key."""
        form = self.exercise.form
        if form.placed:
            named = [[(n, list(xy)) for xy in grid] for n, grid in self.places.items()]
            return {",".join(str(k) for k, _ in each): dict(xy for _, xy in each)
                    for each in product(*map(list, map(enumerate, named)))}
        if form.slider:
            return {f"{v:g}": f"{v:g}" for v in self.steps}
        names, some = [name for name in form.options if name != NONE], permutations if form.in_order else combinations
        chosen = (one for count in range(len(names) if form.several else 1) for one in some(names, count + 1))
        return {key: key for key in (*form.options[len(names):], *map(", ".join, chosen))}

    def can_be_baked(self) -> bool:
        """Whether its answers can be told one by one."""
        form = self.exercise.form
        return bool(form.options or form.slider) or len(form.placed) in RINGS

    def section(self, lesson: str) -> str:
        """The exercise as a part of a page, with what explains it, where somebody wrote that."""
        e, form, pack = self.exercise, self.exercise.form, Pack()
        first = draw_situation(e.situation, labels=LABELS)
        pack.add(first)
        if not self.can_be_baked():
            return section("exercise", e.title, first, e.asks, MARKUP["later"], pack)
        told: dict[tuple[str, ...], int] = {}
        answers = {key: told.setdefault(self._told(answer), len(told)) for key, answer in self.answers().items()}
        shown = {key: e.judge.shown(e.situation, float(key)) for key in answers} if form.slider else {}
        grids = {n: [[in_dm(v) for v in xy] for xy in grid] for n, grid in self.places.items()} if form.placed else {}
        how = {"options": form.options, "several": form.several, "in_order": form.in_order, "none": NONE,
               "team": form.team or ("pressing" if form.placed else ""), "placed": grids}
        values = {"lesson": lesson, "name": e.title, "asks": e.asks, "answers": answers, "verdicts": [*told],
                  "hints": [e.hint(step + 1).words for step in range(HINTS)], "form": how, "model": self._model(),
                  "solution": e.solution().words, "moved": {key: pack.add(draw_situation(there, labels=LABELS))
                                                            for key, there in shown.items() if there != e.situation}}
        home, why = section_of(e)
        folded = MARKUP["why"].format(words=STYLED.sub("", explained(home, why))) if home and why else ""
        words = escape(form._replace(gaps={}).how)
        return section("exercise", e.title, first, e.asks,
                       MARKUP["task"].format(how=words, field=self._field(), why=folded), pack, **values)

    def _told(self, answer: Any) -> tuple[str, ...]:
        """Outcome, its words as a head, and what the first, second and third wrong try are told."""
        told = self.exercise.taught(answer)
        words = [one.words for one in told]
        return told[0].outcome, told[0].head, *(words if len(set(words)) > 1 else words[:1])

    def _model(self) -> Any:
        """The solution as the page gives it."""
        answer, form = self.exercise.solution().answer, self.exercise.form
        if form.placed:
            return [1 for _ in form.placed]  # the first place round the solution
        if form.slider:
            return min(self.steps, key=lambda value: abs(value - answer))
        return [one_of(name, form.options, "option") for name in self.exercise.judge.named(answer)]

    def _field(self) -> str:
        """Buttons to choose from, whom to place, or a slider."""
        form = self.exercise.form
        if form.slider:
            return MARKUP["number"].format(low=self.steps[0], high=self.steps[-1], step=self.steps[1] - self.steps[0])
        names = form.options or (form.placed if len(form.placed) > 1 else ())
        return "".join(MARKUP["option"].format(name=escape(name)) for name in names)


def save_page(what: Any, path: str | Path, title: str = "", *, layers: Iterable[str] = USUAL_LAYERS,
              carry_m: float = CARRY_M, lesson: str = TEAM, progress: Progress | None = None) -> Path:
    """Write scenes and exercises as one HTML file that opens anywhere, on a phone too, with no net and no Python.

    In a scene the ball goes from man to man, and each carries it: a plan is shown only for places it was worked out
    for. An exercise says what the lesson would say, and its tries are saved as the answer file that `read_class` marks.
    The answers can be read in the file's source.

    Parameters
    ----------
    what : Situation, Plan, Board, Exercise, or a list of them
        A plan or a board brings its rulebook along.
    path : str or Path
        Ends in .html, else BadInput. An old file is replaced only when the new one is complete.
    title, lesson : str
        Above everything, by default the first exercise's; what the tries are filed under.
    layers : iterable of str
        What is shown of a plan; see `draw_plan`.
    carry_m : float
        How far each of theirs carries the ball, 0-8 m, a metre at a time: 4 m take about 550 plans and five seconds.
    progress : function of two numbers, optional
        Told how many plans of a scene are done, of how many.

    >>> save_page([], "page.html")
    Traceback (most recent call last):
    pressinglib.errors.BadInput: page: expected scenes and exercises; got none. Give at least one.
    """
    items = list(what) if isinstance(what, list | tuple) else [what]
    if not items:
        raise BadInput("page", expected="scenes and exercises", got="none", todo="give at least one")
    sections = [_section(item, layers, carry_m, lesson, progress) for item in items]
    desk = [DESK] if any(isinstance(item, Exercise) for item in items) else []
    return save_sections(path, title or getattr(items[0], "title", "") or "Who presses?", [*sections, *desk])


def _section(item: Any, layers: Iterable[str], carry_m: float, lesson: str, progress: Progress | None) -> str:
    if isinstance(item, Exercise):
        return Baked(item).section(lesson)
    plan = item if isinstance(item, Plan) else getattr(item, "plan", None)
    title, situation, rules = ("", plan.situation, plan.rulebook) if isinstance(plan, Plan) else ("", item, None)
    if isinstance(item, SceneFile):
        title, situation = item.title, item.situation
    as_a(situation, Situation, "page", "give a Situation, a Plan, a Board or an Exercise")
    return scene_section(situation, rules, title, layers, carry_m=carry_m, progress=progress)


# -- A lesson as one page: its text, its pictures, its exercises and its boards, in their order.


def lesson_sections(lesson: ModuleType, cells: Iterable[dict[str, Any]]) -> Iterator[str]:
    """The parts of its page, cell by cell."""
    for cell in cells:
        source, shown = "".join(cell["source"]), SHOWN.search("".join(cell["source"]))
        if cell["cell_type"] == "markdown":
            words = MARKUP["how"] if cell.get("id") == HOW else explained(lesson, source)
            yield f'<div class="prose">{words}</div>'
        elif shown is None:
            yield from filter(None, map(_kept, cell.get("outputs", [])))
            yield from re.findall(PLAYED, source) and [MARKUP["computer"]]
        elif isinstance(what := _value(lesson, *shown.groups()), Exercise):
            own = section_of(what)[0] is lesson  # tries at another are practice
            yield Baked(what).section(lesson.__name__[-2:] if own else "")
        else:
            layers = re.search(r"layers=(\(.*?\))", source)
            yield scene_section(what, layers=ast.literal_eval(layers[1]) if layers else USUAL_LAYERS,
                                carry_m=LESSON_CARRY_M)
    yield DESK


def _value(lesson: ModuleType, where: str | None, name: str, part: str | None, given: str | None) -> Any:
    """What is shown: a named scene, or a part of what this lesson or another has, or what its function makes."""
    value: Any = scene if where is None else getattr(lesson if where == "lesson" else getattr(lessons, where), name)
    value = value if part is None else getattr(value, part)
    return value if given is None else value(*ast.literal_eval(f"[{given}]"))


def _kept(output: dict[str, Any]) -> str:
    """What the notebook was kept with: a picture, a table, a text."""
    kept = {kind: "".join(text) for kind, text in output.get("data", {}).items()}
    words = kept.get("text/plain", "".join(output.get("text", ""))).strip()
    if "image/png" in kept:
        return f'<p><img alt="{escape(words, quote=True)}" src="data:image/png;base64,{kept["image/png"].strip()}"></p>'
    if "<table" in kept.get("text/html", ""):
        return f'<div class="prose">{STYLED.sub("", kept["text/html"])}</div>'
    return "" if words in ("", READY) else f"<pre>{escape(words)}</pre>"


def save_lesson(notebook: Path, path: Path) -> str:
    """Write a lesson's notebook as a page; its title."""
    cells = json.loads(notebook.read_text("utf-8"))["cells"]
    title, _, cells[0]["source"] = "".join(cells[0]["source"]).lstrip("# ").partition("\n")
    lesson = getattr(lessons, f"lesson_{notebook.name[:2]}")
    save_sections(path, title, lesson_sections(lesson, cells))
    return title


def save_lessons(notebooks: Path, folder: str | Path, said: Callable[[str], object] = print) -> Path:
    """Write every lesson as a page, and an index of them; the index."""
    home, links = made_folder(Path(folder)), []
    for notebook in sorted(notebooks.glob("[0-9][0-9]_*.ipynb")):
        page = home / f"{notebook.stem}.html"
        title = save_lesson(notebook, page)
        links.append(f'<li><a href="{page.name}">{escape(title)}</a></li>')
        said(f"{page}: {page.stat().st_size / 1000:.0f} kB")
    if not links:
        raise BadInput(f"folder {notebooks}", expected="lessons", got="none there", todo="install pressinglib again")
    return save_sections(home / "index.html", "The lessons", [f'<ol class="prose" start="0">{"".join(links)}</ol>'])
