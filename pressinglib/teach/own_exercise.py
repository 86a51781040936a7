"""An exercise of one's own: a picture, a title, a task, and a kind with what is asked."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from pressinglib.errors import BadInput, PressingError
from pressinglib.field.situation import Situation, Team
from pressinglib.roles.faults import KINDS as FAULT_KINDS
from pressinglib.roles.rulebook import Rulebook
from pressinglib.teach.answers import one_of
from pressinglib.teach.card import listed
from pressinglib.teach.deny_option import DenyOption
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.hold_step_drop import HoldStepDrop
from pressinglib.teach.judge import Judge
from pressinglib.teach.mark_gaps import MarkGaps
from pressinglib.teach.name_fault import NameFault
from pressinglib.teach.steer_side import SteerSide
from pressinglib.teach.verdict import RIGHT
from pressinglib.teach.who_presses import WhoPresses

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
    exercise = Exercise(text_of("title", title), text_of("task", task, chosen), situation, judge,
                        text_of("look", look or chosen.look, chosen), rulebook or Rulebook())
    why = unsolvable(exercise)
    if why:
        raise BadInput("exercise", expected="one that can be solved", got=why, todo="change picture or question")
    return exercise


def text_of(name: str, text: Any, kind: Kind | None = None) -> str:
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
