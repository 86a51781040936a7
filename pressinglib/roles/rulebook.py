"""A rulebook: settings and the rules that decide, as one plain value."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, fields, replace
from functools import wraps
from typing import Any, cast

import numpy as np

from pressinglib.errors import BadInput, PressingError, RuleError, UnknownName
from pressinglib.field.frames import Frames
from pressinglib.field.player import as_xy
from pressinglib.field.scenes import scene
from pressinglib.roles.approach import choose_steer, place_presser
from pressinglib.roles.back_line import choose_back_line, place_goalkeeper
from pressinglib.roles.decisions import Decisions, Jobs, undecided
from pressinglib.roles.final_positions import settle_spots
from pressinglib.roles.next_pass import choose_balance, choose_covers
from pressinglib.roles.picture import Ints, Picture, picture_of
from pressinglib.roles.presser import choose_presser, choose_timing
from pressinglib.roles.settings import NOBODY, TIMINGS, Settings

# -- An analyst's own rule: a plain function of one situation, lifted over frames by a loop.


class UnknownPlayer(RuleError):
    """The rule named a player who is not in the team."""


ARRAY_ROOMS = ("pressinglib.roles", "pressinglib.show")  # rules written there take arrays, like the stock rules
STEERS = ("right", "none", "left")
TRIAL_SCENE = "worked scene"


def lifted(name: str, rule: Callable[..., Any], stock: Callable[..., Any]) -> Callable[..., Any]:
    """The rule in the form the engine calls: arrays in, arrays out; stock rules pass through.

    It is tried once on a named scene before use. A failure of the rule, or an answer of the wrong kind, is a RuleError
    that names rule, picture and cause.
    """
    if not callable(rule):
        raise RuleError(name, "no picture", f"{rule!r} is no function", todo="give a function of one situation")
    if getattr(rule, "__module__", "").startswith(ARRAY_ROOMS):
        return rule

    @wraps(rule, assigned=(), updated=())
    def over_frames(p: Picture, d: Decisions) -> Any:
        answers = [_asked(name, rule, p, f) for f in range(len(p))]
        return READERS.get(name, _places)(name, p, d, answers, stock)

    _try(over_frames)
    return over_frames


def _try(rule: Callable[..., Any]) -> None:
    """One call on a named scene, so that a broken rule is found where it is written."""
    picture = picture_of(Frames.of([scene(TRIAL_SCENE)]), Settings())
    try:
        rule(picture, undecided(picture))
    except UnknownPlayer:
        return  # a rule may be written for a team with other numbers
    except RuleError as error:
        raise RuleError(error.rule, f"the scene {TRIAL_SCENE!r}", error.cause, error.todo) from error.__cause__


def _asked(name: str, rule: Callable[..., Any], p: Picture, f: int) -> Any:
    """The rule's answer on one frame."""
    situation = p.situation(f)
    try:
        return rule(situation)
    except PressingError:
        raise
    except Exception as error:
        raise RuleError(name, f"picture {f}", f"{type(error).__name__}: {error}") from error


def _index(name: str, p: Picture, f: int, number: Any) -> int:
    if number is None:
        return NOBODY
    if not isinstance(number, str):
        raise RuleError(name, f"picture {f}", f"the rule gave {number!r}", todo="give a number in quotes, or None")
    for n in range(p.line.shape[1]):
        if p.own_here[f, n] and p.own_number(f, n) == number:
            return n
    known = ", ".join(p.own_number(f, n) for n in range(p.line.shape[1]))
    raise UnknownPlayer(name, f"picture {f}", f"the rule gave {number!r}", todo=f"give one of {known}, or None")


def _player(name: str, p: Picture, d: Decisions, answers: list[Any], stock: Any) -> Any:
    return np.array([_index(name, p, f, a) for f, a in enumerate(answers)])


def _word(name: str, words: tuple[str, ...], answers: list[Any]) -> Ints:
    for f, answer in enumerate(answers):
        if not isinstance(answer, str) or answer not in words:
            raise RuleError(name, f"picture {f}", f"the rule gave {answer!r}", todo=f"give one of {', '.join(words)}")
    return np.array([words.index(a) for a in answers])


def _timing(name: str, p: Picture, d: Decisions, answers: list[Any], stock: Any) -> Any:
    return np.where(d.presser >= 0, _word(name, TIMINGS, answers), TIMINGS.index("hold"))


def _steer(name: str, p: Picture, d: Decisions, answers: list[Any], stock: Any) -> Any:
    return ((_word(name, STEERS, answers) - 1) * p.side * (d.presser >= 0)).astype(int)


def _checked_place(name: str, p: Picture, f: int, answer: Any) -> Any:
    try:
        xy = np.array(as_xy(answer, f"answer of rule {name}"))
    except BadInput as error:
        todo = "give a place (x, y) in metres"
        raise RuleError(name, f"picture {f}", f"the rule gave {answer!r}", todo=todo) from error
    if not p.pitch.holds(xy):
        raise RuleError(name, f"picture {f}", f"the rule gave {answer!r}", todo="give a place on the pitch")
    return xy * (1.0, p.side[f])


def _one_place(name: str, p: Picture, d: Decisions, answers: list[Any], stock: Any) -> Any:
    return np.array([_checked_place(name, p, f, a) for f, a in enumerate(answers)])


def _places(name: str, p: Picture, d: Decisions, answers: list[Any], stock: Any) -> Any:
    """Places by number on top of the stock answer: the stock rule decides duties, the own rule some places."""
    answer = stock(p, d)
    xy = np.array(answer.anchor if isinstance(answer, Jobs) else answer)
    for f, places in enumerate(answers):
        if not isinstance(places, dict):
            raise RuleError(name, f"picture {f}", f"the rule gave {type(places).__name__}",
                            todo="give a dict from numbers to (x, y)")
        for number, place in places.items():
            if number is None:
                raise RuleError(name, f"picture {f}", "the rule gave a place for None", todo="give numbers of players")
            xy[f, _index(name, p, f, number)] = _checked_place(name, p, f, place)
    return answer._replace(anchor=xy) if isinstance(answer, Jobs) else xy


READERS = {"choose_presser": _player, "choose_timing": _timing, "choose_steer": _steer, "place_presser": _one_place,
           "place_goalkeeper": _one_place}


# -- A rulebook: settings and the rules that decide, as one plain value.


Rule = Callable[..., Any]


@dataclass(frozen=True)
class Rulebook:
    """Settings and one rule for each decision; `with_rules` and `with_settings` give a changed copy.

    Examples
    --------
    >>> Rulebook().with_settings(pressers="anyone").settings.pressers
    'anyone'
    >>> Rulebook().with_rules(chose_presser=lambda situation: "9")
    Traceback (most recent call last):
    pressinglib.errors.UnknownName: rule: expected one of choose_presser, ...
    """

    settings: Settings = field(default_factory=Settings)
    choose_presser: Rule = choose_presser
    choose_timing: Rule = choose_timing
    choose_steer: Rule = choose_steer
    place_presser: Rule = place_presser
    choose_covers: Rule = choose_covers
    choose_balance: Rule = choose_balance
    choose_back_line: Rule = choose_back_line
    place_goalkeeper: Rule = place_goalkeeper
    settle_spots: Rule = settle_spots

    def __post_init__(self) -> None:
        if not isinstance(self.settings, Settings):
            raise BadInput("settings", expected="Settings(...)", got=type(self.settings).__name__, todo="make some")
        for f in fields(self)[1:]:
            object.__setattr__(self, f.name, lifted(f.name, getattr(self, f.name), cast(Rule, f.default)))

    def with_rules(self, **rules: Rule) -> Rulebook:
        """A rulebook with some rules replaced by plain functions of one situation.

        A rule for `choose_presser` gives a number or None, for `choose_timing` and `choose_steer` a word, for
        `place_presser` and `place_goalkeeper` a place, for the others a dict from numbers to places.
        """
        known = [f.name for f in fields(self) if f.name != "settings"]
        for name in rules:
            if name not in known:
                raise UnknownName("rule", name, known)
        return replace(self, **cast(Any, rules))

    def with_settings(self, **settings: Any) -> Rulebook:
        """A rulebook with some settings changed; a misspelt one is an UnknownName."""
        known = [f.name for f in fields(Settings)]
        for name in settings:
            if name not in known:
                raise UnknownName("setting", name, known)
        return replace(self, settings=replace(self.settings, **settings))
