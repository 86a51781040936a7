"""Exercise files: an exercise to share, with the settings that judge it, so that marks stay as they are.

The schema, version 1 (JSON object, UTF-8):

    version     1
    made_with   version of pressinglib that wrote it
    title, task, look   texts
    kind        one of `pressinglib.teach.own_exercise.KINDS`
    asked       {words: number}, as the kind wants it
    settings    every setting by name; see `pressinglib.roles.settings.Settings`
    scene       the picture with its own version; see `pressinglib.field.scene_check`
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import asdict, dataclass, field, fields
from pathlib import Path
from typing import Any

from pressinglib import __version__
from pressinglib.errors import BadInput, ExerciseFileError, PressingError, SceneFileError
from pressinglib.field.scene_file import VERSION as SCENE_VERSION
from pressinglib.field.scene_file import SceneFile, migrated, scene_problems, situation_of
from pressinglib.field.situation import Situation, Team
from pressinglib.files import complain, document_of, lines_of, read, save, text_of, too_deep
from pressinglib.roles.faults import KINDS as FAULT_KINDS
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import Settings
from pressinglib.tables import listed
from pressinglib.teach.answers import one_of
from pressinglib.teach.choices import NameFault
from pressinglib.teach.exercise import Exercise, Judge
from pressinglib.teach.gap_questions import MarkGaps
from pressinglib.teach.line_questions import HoldStepDrop
from pressinglib.teach.placing import DenyOption
from pressinglib.teach.press_questions import SteerSide, WhoPresses
from pressinglib.teach.verdict import RIGHT

# -- An exercise of one's own: a picture, a title, a task, and a kind with what is asked.


LONGEST = {"title": 120, "task": 400, "look": 400}


@dataclass(frozen=True)
class Kind:
    """A kind of exercise that a tutor can make.

    Parameters
    ----------
    judge : type of Judge
    look : str
        The first hint, if the tutor gives none.
    asks : mapping
        Words of what is asked, each with the team whose numbers may stand there, or with the words to choose from.
    make : callable, optional
        Makes the judge from what is asked; default: the judge's own type.
    """

    judge: type[Judge]
    look: str
    asks: Mapping[str, Team | tuple[str, ...]] = field(default_factory=dict)
    make: Callable[..., Judge] | None = None

    @property
    def words(self) -> str:
        """What to fill in."""
        if not self.asks:
            return "nothing more is asked"
        return listed([f"the number of the {word}" if isinstance(team, str) else f"the {word}, such as {team[0]}"
                       for word, team in self.asks.items()])

    def choices(self, word: str, situation: Situation) -> list[str]:
        """What may stand there."""
        team = self.asks[word]
        return [p.number for p in situation.players(team)] if isinstance(team, str) else list(team)


def planted(fault: str) -> NameFault:
    """Name the fault, out of it and the next in the list of faults."""
    at = FAULTS.index(fault)
    return NameFault(fault, tuple(FAULTS[(at + n) % len(FAULTS)] for n in range(1, OFFERED)))


FAULTS, OFFERED = tuple(FAULT_KINDS), 4
KINDS = {
    "who goes": Kind(WhoPresses, "Look at those who are nearest to the ball, and at the lines they play in."),
    "the back line": Kind(HoldStepDrop, "Look at the ball: is anybody on it, and which way does the carrier face?"),
    "mark the gaps": Kind(MarkGaps, "Look from the ball, between the one who goes and his covers."),
    "which side": Kind(SteerSide, "Look for the short pass you fear most, and for the touchline."),
    "deny a pass": Kind(DenyOption, "Look along the line from the ball to the man who must not get it.",
                        {"cover": "pressing", "option": "possession"}),
    "find the fault": Kind(NameFault, "Look at the ball first, then at the lines, then at the far side.",
                           {"fault": FAULTS}, planted),
}


def make_exercise(situation: Situation, title: str, task: str, kind: str, asked: Any = "", look: str = "",
                  rulebook: Rulebook | None = None) -> Exercise:
    """An exercise that the engine can judge, and has tried to.

    Parameters
    ----------
    situation : Situation
        The picture, such as `board.situation`.
    title, task : str
        A question, and what to do; at most 120 and 400 characters.
    kind : str
        One of `KINDS`.
    asked : str or mapping
        The numbers that the kind asks for, in its order: "8, 6".
    look : str, optional
        The first hint.
    rulebook : Rulebook, optional
        By which answers are judged.

    Raises
    ------
    BadInput
        Says what is missing or misspelt, or why no answer to it would be right.

    Examples
    --------
    >>> picture = Situation.line_up(ball_xy=(35, 10))
    >>> make_exercise(picture, "Who?", "Name the one who goes.", "who goes").check("9").outcome
    'right'
    >>> make_exercise(picture, "Who?", "Name him.", "who gose")
    Traceback (most recent call last):
    pressinglib.errors.BadInput: There is no kind 'who gose' here. Choose who goes, the back ...
    """
    if not isinstance(situation, Situation):
        raise BadInput("picture", expected="a Situation", got=type(situation).__name__, todo="give board.situation")
    chosen = KINDS[one_of(kind, KINDS, "kind")]
    judge = (chosen.make or chosen.judge)(**asked_of(chosen, asked, situation))
    exercise = Exercise(text_field("title", title), text_field("task", task, chosen), situation, judge,
                        text_field("look", look or chosen.look, chosen), rulebook or Rulebook())
    why = unsolvable(exercise)
    if why:
        raise BadInput("exercise", expected="one that can be solved", got=why, todo="change picture or question")
    return exercise


def text_field(name: str, text: Any, kind: Kind | None = None) -> str:
    """A text of an exercise, without spaces around it; BadInput if there is none, or a page of it.

    Braces stand for a number that is asked for, such as {cover}: any others are refused, for they would be filled in.
    """
    short = text.strip() if isinstance(text, str) else ""
    if not 1 <= len(short) <= LONGEST[name] or not "".join(short.split()).isprintable():
        raise BadInput(f"the {name}", expected=f"1-{LONGEST[name]} printable characters", got=repr(text)[:60],
                       todo="write a few words")
    known = [f"{{{word}}}" for word in kind.asks] if kind else []
    if kind and re.search(r"[{}]", re.sub("|".join(map(re.escape, known)) or r"(?!)", "", short)):
        raise BadInput(f"the {name}", expected="no braces" + (f" but {listed(known, 'or')}" if known else ""),
                       got=repr(text)[:60], todo="take them out")
    return short


def asked_of(kind: Kind, asked: Any, situation: Situation) -> dict[str, str]:
    """What is asked, by its words, each a number of the team it belongs to."""
    parts = asked.values() if isinstance(asked, Mapping) else _parts(asked, len(kind.asks))
    given = asked if isinstance(asked, Mapping) else dict(zip(kind.asks, parts, strict=False))
    if set(given) != set(kind.asks) or len(given) != len(parts):
        raise BadInput("what is asked", expected=kind.words, got=repr(asked)[:60], todo="write it, as in 8, 6")
    return {word: one_of(given[word], kind.choices(word, situation), word) for word in kind.asks}


def _parts(asked: Any, count: int) -> list[Any]:
    if not isinstance(asked, str):
        return list(asked) if isinstance(asked, list | tuple) else [asked]
    if count == 1:
        return [asked.strip()]
    return [part.strip() for part in (asked.split(",") if "," in asked else asked.split())]


def unsolvable(exercise: Exercise) -> str:
    """Why no answer to it would be right; "" if its own solution is."""
    try:
        answer = exercise.solution().answer
    except (PressingError, KeyError) as error:
        return f"the engine has no answer: {error}"
    verdict = exercise.check(answer)
    return "" if verdict.outcome == RIGHT else f"its own answer is not right: {verdict.words}"


def kind_of(exercise: Exercise) -> str:
    """The name of an exercise's kind; BadInput for a kind that only lessons have."""
    for name, kind in KINDS.items():
        if type(exercise.judge) is kind.judge:
            return name
    raise BadInput("kind of exercise", expected=listed(list(KINDS), "or"), got=type(exercise.judge).__name__,
                   todo="only these can be kept in a file")


# -- Exercise files: an exercise to share, with the settings that judge it, so that marks stay as they are.
# The schema, version 1 (JSON object, UTF-8):
#
#     version     1
#     made_with   version of pressinglib that wrote it
#     title, task, look   texts
#     kind        one of `pressinglib.teach.own_exercise.KINDS`
#     asked       {words: number}, as the kind wants it
#     settings    every setting by name; see `pressinglib.roles.settings.Settings`
#     scene       the picture with its own version; see `pressinglib.field.scene_check`


VERSION = 1
SIZE_LIMIT_BYTES = 200_000
DEEPEST = 8
KEYS = {"version", "made_with", "title", "task", "look", "kind", "asked", "settings", "scene"}
STOCK = Rulebook()


@dataclass(frozen=True, repr=False)
class SharedExercise(Exercise):
    """An exercise as it was shared, with the settings of its file; says so if another version wrote it.

    Parameters
    ----------
    made_with : str
        The version of pressinglib that wrote it.
    missing : tuple of str
        Settings that the file does not know, because they are newer; they have their usual values.
    """

    made_with: str = __version__
    missing: tuple[str, ...] = ()

    def __repr__(self) -> str:
        return f"{super().__repr__()} {self.note}".strip()

    @property
    def note(self) -> str:
        """What a marker has to know if the versions differ; else ""."""
        if self.made_with == __version__ and not self.missing:
            return ""
        usual = f" Not in the file, so at their usual values: {', '.join(self.missing)}." if self.missing else ""
        return (f"Made with pressinglib {self.made_with}, judged here with {__version__} and the settings of the file: "
                f"look again where a mark is close.{usual}")


def save_exercise(exercise: Exercise, path: str | os.PathLike[str]) -> Path:
    """Save an exercise as a file to share; a file that is there is replaced as a whole or stays as it was.

    Raises
    ------
    BadInput
        If it cannot be kept: a rule of one's own, or a kind that only lessons have.
    ExerciseFileError
        If it cannot be written.

    Examples
    --------
    >>> import tempfile
    >>> from pressinglib.field.scenes import scene
    >>> exercise = make_exercise(scene("worked scene"), "Who?", "Name the one who goes.", "who goes")
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     load_exercise(save_exercise(exercise, f"{folder}/who.json")).check("9").outcome
    'right'
    """
    if not isinstance(exercise, Exercise):
        raise BadInput("exercise", expected="an Exercise", got=type(exercise).__name__, todo="make one first")
    document = _document(exercise)
    text = text_of(lambda: lines_of(document) + "\n", str(path), ExerciseFileError)
    _exercise_in(text, str(path))  # what could not be loaded again must not replace a good file
    return save(path, text, ExerciseFileError)


def load_exercise(path: str | os.PathLike[str]) -> SharedExercise:
    """The exercise in a file, to be judged with the file's settings.

    Raises
    ------
    ExerciseFileError
        Lists every fault with its place, or says why the file cannot be read.

    Examples
    --------
    >>> load_exercise("no such exercise.json")
    Traceback (most recent call last):
    pressinglib.errors.ExerciseFileError: exercise file no such exercise.json: got no such file. ...
    """
    return _exercise_in(read(Path(path), SIZE_LIMIT_BYTES, ExerciseFileError), str(path))


def _document(exercise: Exercise) -> dict[str, Any]:
    if exercise.rulebook != STOCK.with_settings(**asdict(exercise.rulebook.settings)):
        raise BadInput("rulebook of the exercise", expected="settings only", got="a rule of your own",
                       todo="a function cannot be kept in a file: use with_settings")
    asked = {word: getattr(exercise.judge, word) for word in KINDS[kind_of(exercise)].asks}
    return {"version": VERSION, "made_with": __version__, "title": exercise.title, "task": exercise.task,
            "look": exercise.look, "kind": kind_of(exercise), "asked": asked,
            "settings": asdict(exercise.rulebook.settings),
            "scene": {"version": SCENE_VERSION, **SceneFile(exercise.situation).to_dict()}}


def _exercise_in(data: bytes, path: str) -> SharedExercise:
    document = document_of(data, path, SIZE_LIMIT_BYTES, ExerciseFileError)
    complain(path, exercise_problems(document), ExerciseFileError)
    rulebook = Rulebook(Settings(**document["settings"]))
    words = {key: document[key] for key in ("title", "task", "kind", "asked", "look")}
    try:
        exercise = make_exercise(situation_of(migrated(document["scene"], path)), **words, rulebook=rulebook)
    except PressingError as error:
        raise ExerciseFileError(path, [str(error)]) from error
    newer = tuple(f.name for f in fields(Settings) if f.name not in document["settings"])
    return SharedExercise(**{f.name: getattr(exercise, f.name) for f in fields(Exercise)},
                          made_with=document["made_with"], missing=newer)


def exercise_problems(document: Any) -> list[str]:
    """Every fault in the values of an exercise file, each with its place; what it asks is looked at later.

    Examples
    --------
    >>> exercise_problems({"version": 2})
    ['version: expected 1; got 2 (get a newer pressinglib)']
    >>> exercise_problems({**dict.fromkeys(KEYS, "x"), "version": 1})[:2]
    ['asked: expected numbers by their words', 'settings: expected values by their names']
    """
    if not isinstance(document, dict) or too_deep(document, DEEPEST):
        return [f"file: expected named values in braces, at most {DEEPEST} deep"]
    version = document.get("version")
    if type(version) is not int or version != VERSION:
        newer = " (get a newer pressinglib)" if type(version) is int and version > VERSION else ""
        return [f"version: expected {VERSION}; got {repr(version)[:40]}{newer}"]
    faults = [f"{key}: missing" for key in sorted(KEYS - set(document))]
    faults += [f"{key[:40]}: unknown key" for key in sorted(set(document) - KEYS)]
    return faults or [*_texts(document), *_asked(document), *_settings(document), *_scene(document)]


def _texts(document: dict[str, Any]) -> Iterator[str]:
    for key in ("title", "task", "look", "kind", "made_with"):
        if not isinstance(document[key], str):
            yield f"{key}: expected a text"
    made_with = document["made_with"]
    if isinstance(made_with, str) and not (1 <= len(made_with) <= 40 and made_with.isprintable()):
        yield "made_with: expected a version"


def _asked(document: dict[str, Any]) -> Iterator[str]:
    asked = document["asked"]
    if not isinstance(asked, dict) or not all(isinstance(number, str) for number in asked.values()):
        yield "asked: expected numbers by their words"


def _settings(document: dict[str, Any]) -> Iterator[str]:
    settings = document["settings"]
    if not isinstance(settings, dict):
        yield "settings: expected values by their names"
        return
    for name, value in settings.items():
        try:
            Settings(**{name: value})
        except PressingError as error:
            yield f"settings.{name[:40]}: expected {error.expected[:200]}; got {error.got[:80]}"


def _scene(document: dict[str, Any]) -> Iterator[str]:
    try:
        yield from (f"scene.{fault}" for fault in scene_problems(migrated(document["scene"], "")))
    except SceneFileError as error:
        yield from (f"scene.{fault}" for fault in error.problems)
