"""An exercise of one's own, and its file to share, with the settings that judge it, so that marks stay as they are.

The schema, version 1 (JSON object, UTF-8):

    version     1
    made_with   version of pressinglib that wrote it
    title, task, look   texts
    kind        one of `pressinglib.teach.own_exercise.KINDS`
    asked       {words: number}, as the kind wants it
    settings    every setting by name; see `pressinglib.roles.settings.Settings`
    scene       the picture with its own version; see `pressinglib.field.scene_file`
"""

from __future__ import annotations

import os
import re
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, field, replace
from functools import partial
from pathlib import Path
from typing import Any

from pressinglib import __version__
from pressinglib.errors import BadInput, ExerciseFileError, as_a, as_text, shown
from pressinglib.field.scene_file import SCENE, SceneFile
from pressinglib.field.situation import Situation
from pressinglib.files import Checker, Format, Values, any_text, made_of, text, that
from pressinglib.roles.faults import KINDS as FAULT_KINDS
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import Settings
from pressinglib.tables import by_number, listed
from pressinglib.teach.accepted import check_question, faults_in
from pressinglib.teach.answers import one_of
from pressinglib.teach.choices import NameFault
from pressinglib.teach.criteria import DenyOption
from pressinglib.teach.exercise import Exercise, Judge
from pressinglib.teach.line_questions import HoldStepDrop
from pressinglib.teach.press_questions import SteerSide, WhoPresses
from pressinglib.teach.stand import MarkGaps

LONGEST_VERSION = 40
LONGEST = {"title": 120, "task": 400, "look": 400}
NUMBERS = that(lambda asked: isinstance(asked, dict) and all(isinstance(one, str) for one in asked.values()),
               "numbers by their words")


@dataclass(frozen=True)
class Kind:
    """A kind of exercise that a tutor can make: its judge, the words that a form offers, and what is asked.

    `asks` has for each word the team whose numbers may stand there, or "faults".
    """

    judge: Callable[..., Judge]
    title: str
    task: str
    look: str  # the first hint
    asks: Mapping[str, Any] = field(default_factory=dict)

    def choices(self, word: str, situation: Situation) -> list[str]:
        """What may stand there: men by number, faults that are in this picture first."""
        if self.asks[word] == "faults":
            return list(dict.fromkeys([*faults_in(situation), *FAULT_KINDS]))
        return sorted((p.number for p in situation.players(self.asks[word])), key=by_number)


JUDGES = {"who goes": WhoPresses, "the back line": HoldStepDrop, "mark the gaps": MarkGaps, "which side": SteerSide,
          "deny a pass": DenyOption, "find the fault": NameFault}
WORDS = tomllib.loads(Path(__file__).with_name("kinds.toml").read_text("utf-8"))
KINDS = {name: Kind(judge, **WORDS[name]) for name, judge in JUDGES.items()}


def make_exercise(situation: Situation, title: str, task: str, kind: str, asked: Any = "", look: str = "",
                  rulebook: Rulebook | None = None) -> Exercise:
    """An exercise that the engine can judge by the rulebook, and has tried to, on a picture such as `board.situation`.

    `title` asks, `task` says what to do: at most 120 and 400 characters. `kind` is one of `KINDS`, `asked` the numbers
    that it asks for, by their words or in their order: "8, 6". `look` is the first hint. BadInput says what is missing
    or misspelt, or why no answer to it would be right, or none wrong.

    >>> picture = Situation.line_up(ball_xy=(35, 10))
    >>> make_exercise(picture, "Who?", "Name the one who goes.", "who goes").check("9").outcome
    'right'
    >>> make_exercise(picture, "Who?", "Name him.", "who gose")
    Traceback (most recent call last):
    pressinglib.errors.BadInput: There is no kind 'who gose' here. Choose who goes, the back ...
    """
    as_a(situation, Situation, "picture", "give board.situation")
    chosen = KINDS[one_of(kind, KINDS, "kind")]
    judge = chosen.judge(**asked_of(chosen, asked, situation))
    exercise = Exercise(text_field("title", title), text_field("task", task, chosen), situation, judge,
                        text_field("look", look or chosen.look, chosen), rulebook or Rulebook())
    check_question(exercise)
    return exercise


def text_field(name: str, text: Any, kind: Kind | None = None) -> str:
    """A text of an exercise, without spaces around it; BadInput if there is none, or a page of it.

    Braces stand for a number that is asked for, such as {cover}: any others are refused, for they would be filled in.
    """
    short = as_text(text.strip() if isinstance(text, str) else text, f"the {name}", 1, LONGEST[name], lines=True)
    known = [f"{{{word}}}" for word in kind.asks] if kind else []
    if kind and re.search(r"[{}]", re.sub("|".join(map(re.escape, known)) or r"(?!)", "", short)):
        raise BadInput(f"the {name}", expected="no braces" + (f" but {listed(known, 'or')}" if known else ""),
                       got=shown(text), todo="take them out")
    return short


def asked_of(kind: Kind, asked: Any, situation: Situation) -> dict[str, str]:
    """What is asked, by its words, each a number of the team it belongs to."""
    parts = asked.replace(",", " ").split() if isinstance(asked, str) and len(kind.asks) != 1 else asked
    parts = parts if isinstance(parts, list | tuple | Mapping) else [parts]
    given = parts if isinstance(parts, Mapping) else dict(zip(kind.asks, parts, strict=False))
    if set(given) != set(kind.asks) or len(given) != len(parts):
        words = [f"the {word}" if of == "faults" else f"the number of the {word}" for word, of in kind.asks.items()]
        raise BadInput("what is asked", expected=listed(words, nobody="nothing more"), got=shown(asked),
                       todo="write it, as in 8, 6")
    return {word: one_of(given[word], kind.choices(word, situation), word) for word in kind.asks}


def kind_of(exercise: Exercise) -> str:
    """The name of an exercise's kind; BadInput for a kind that only lessons have."""
    kind = type(exercise.judge)
    if kind not in JUDGES.values():
        raise BadInput("kind of exercise", expected=listed(JUDGES, "or"), got=kind.__name__,
                       todo="only these can be kept in a file")
    return next(name for name, judge in JUDGES.items() if judge is kind)


def save_exercise(exercise: Exercise, path: str | os.PathLike[str]) -> Path:
    """Save an exercise as a file to share; a file that is there is replaced as a whole or stays as it was.

    BadInput if it cannot be kept: a rule of one's own, or a kind that only lessons have.

    >>> import tempfile
    >>> from pressinglib.field.scene_file import scene
    >>> exercise = make_exercise(scene("worked scene"), "Who?", "Name the one who goes.", "who goes")
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     load_exercise(save_exercise(exercise, f"{folder}/who.json")).check("9").outcome
    'right'
    """
    return EXERCISE.save(document_of(as_a(exercise, Exercise, "exercise", "make one first")), path)


def load_exercise(path: str | os.PathLike[str]) -> Exercise:
    """The exercise in a file, to be judged with the file's settings.

    An ExerciseFileError lists every fault with its place, or says why the file cannot be read.

    >>> load_exercise("no such exercise.json")
    Traceback (most recent call last):
    pressinglib.errors.ExerciseFileError: exercise file no such exercise.json: got no such file. ...
    """
    return EXERCISE.load(path)


def document_of(exercise: Exercise) -> dict[str, Any]:
    """Plain values for a file; BadInput for what cannot be kept."""
    if exercise.rulebook != Rulebook().with_settings(**asdict(exercise.rulebook.settings)):
        raise BadInput("rulebook of the exercise", expected="settings only", got="a rule of your own",
                       todo="a function cannot be kept in a file: use with_settings")
    kind = kind_of(exercise)
    return {"made_with": __version__, **{name: getattr(exercise, name) for name in LONGEST}, "kind": kind,
            "asked": {word: getattr(exercise.judge, word) for word in KINDS[kind].asks},
            "settings": asdict(exercise.rulebook.settings),
            "scene": {"version": SCENE.version, **SceneFile(exercise.situation).to_dict()}}


def _settings(check: Checker, value: Any) -> Values:
    """Each by itself, so that one fault hides no other."""
    for name, one in value.items() if check.is_named(value) else ():
        check.at(name).make(partial(Settings, **{name: one}))  # a name may be anything
    return value


def _read(made_with: str, settings: Values, scene: SceneFile, **words: Any) -> Exercise:
    """The exercise in the values of a file, and what a marker has to know of it; a setting it lacks is as usual."""
    made = make_exercise(scene.situation, rulebook=Rulebook(Settings(**settings)), **words)
    return made if made_with == __version__ else replace(
        made, note=f"Made with pressinglib {made_with}, judged here with {__version__} and the settings of the file: "
                   "look again where a mark is close.")


EXERCISE = Format(ExerciseFileError, 1, 200_000, made_of(
    _read, made_with=text(1, LONGEST_VERSION), **dict.fromkeys(("kind", *LONGEST), any_text), asked=NUMBERS,
    settings=_settings, scene=SCENE.newest))
