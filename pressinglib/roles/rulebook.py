"""A rulebook: settings and the rules that decide, as one plain value; own rules are read as the stock ones are."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from dataclasses import dataclass, field, fields, replace
from functools import wraps
from typing import Any, cast

import numpy as np

from pressinglib.errors import BadInput, PressingError, RuleError, UnknownName, as_xy, shown
from pressinglib.field.frames import Frames
from pressinglib.field.scenes import scene
from pressinglib.roles.approach import choose_steer, place_presser
from pressinglib.roles.back_line import choose_back_line, place_goalkeeper
from pressinglib.roles.cover import choose_balance, choose_covers
from pressinglib.roles.decisions import Decisions, Jobs, frame_rule, undecided
from pressinglib.roles.picture import Floats, Ints, Picture, picture_of
from pressinglib.roles.presser import choose_presser, choose_timing
from pressinglib.roles.settings import HOLD, NOBODY, TIMINGS, Settings

STEERS = ("right", "none", "left")
TRIAL_SCENE = "worked scene"
Rule = Callable[..., Any]


class UnknownPlayer(RuleError):
    """The rule named a player who is not in the team."""


@frame_rule
def settle_spots(p: Picture, d: Decisions) -> Floats:
    """(F, N, 2) the last word on the spots: they are the anchors, unless an own rule says otherwise."""
    return d.spot


def lifted(name: str, rule: Rule, stock: Rule) -> Rule:
    """The rule in the form the pipeline calls, arrays in and arrays out: as it is if it is marked `frame_rule`.

    Another, a plain function of one situation, is tried once on a named scene before use. A failure of it, or an answer
    of the wrong kind, is a RuleError that names rule, picture and cause.
    """
    if not callable(rule):
        raise RuleError(name, "no picture", f"{shown(rule)} is no function", todo="give a function of one situation")
    if getattr(rule, "takes_frames", False):
        return rule

    @frame_rule
    @wraps(rule, assigned=(), updated=())
    def over_frames(p: Picture, d: Decisions) -> Any:
        return Answers(name, p, [_asked(name, rule, p, f) for f in range(len(p))]).read(d, stock)

    picture = picture_of(Frames.of([scene(TRIAL_SCENE)]), Settings())
    try:
        over_frames(picture, undecided(picture))
    except UnknownPlayer:
        pass  # a rule may be written for a team with other numbers
    except RuleError as error:
        raise RuleError(error.rule, f"the scene {TRIAL_SCENE!r}", error.cause, error.todo) from error.__cause__
    return over_frames


def _asked(name: str, rule: Rule, p: Picture, f: int) -> Any:
    """The rule's answer on one frame."""
    situation = p.situation(f)
    try:
        return rule(situation)
    except PressingError:
        raise
    except (Exception, SystemExit) as error:
        raise RuleError(name, f"picture {f}", f"{type(error).__name__}: {error}") from error


@dataclass(frozen=True)
class Answers:
    """What a rule said, a frame at a time, to be read as the arrays of a stock rule."""

    name: str
    p: Picture
    answers: list[Any]

    def read(self, d: Decisions, stock: Rule) -> Any:
        """The arrays; of a rule for many, places on top of the stock answer, which decides duties."""
        if self.name == "choose_presser":
            return np.array([self._player(f, answer) for f, answer in enumerate(self.answers)])
        if self.name == "choose_timing":
            return np.where(d.presser >= 0, self._words(TIMINGS), HOLD)
        if self.name == "choose_steer":
            return ((self._words(STEERS) - 1) * self.p.side * (d.presser >= 0)).astype(int)
        if self.name in ("place_presser", "place_goalkeeper"):
            return np.array([self._place(f, answer) for f, answer in enumerate(self.answers)])
        answer = stock(self.p, d)
        return answer._replace(anchor=self._moved(answer.anchor)) if isinstance(answer, Jobs) else self._moved(answer)

    def _refused(self, f: int, gave: str, todo: str, kind: type[RuleError] = RuleError) -> RuleError:
        return kind(self.name, f"picture {f}", f"the rule gave {gave}", todo=todo)

    def _player(self, f: int, number: Any) -> int:
        p, players = self.p, range(self.p.line.shape[1])
        if number is None:
            return NOBODY
        if not isinstance(number, str):
            raise self._refused(f, repr(number), "give a number in quotes, or None")
        for n in players:
            if p.own_here[f, n] and p.own_number(f, n) == number:
                return n
        known = ", ".join(p.own_number(f, n) for n in players)
        raise self._refused(f, repr(number), f"give one of {known}, or None", UnknownPlayer)

    def _words(self, words: tuple[str, ...]) -> Ints:
        for f, answer in enumerate(self.answers):
            if not isinstance(answer, str) or answer not in words:
                raise self._refused(f, repr(answer), f"give one of {', '.join(words)}")
        return np.array([words.index(answer) for answer in self.answers])

    def _place(self, f: int, answer: Any) -> Any:
        try:
            xy = np.array(as_xy(answer, f"answer of rule {self.name}"))
        except BadInput as error:
            raise self._refused(f, repr(answer), "give a place (x, y) in metres") from error
        if not self.p.pitch.holds(xy):
            raise self._refused(f, repr(answer), "give a place on the pitch")
        return xy * (1.0, self.p.side[f])

    def _moved(self, places: Floats) -> Floats:
        xy = np.array(places)
        for f, answer in enumerate(self.answers):
            if not isinstance(answer, dict):
                raise self._refused(f, type(answer).__name__, "give a dict from numbers to (x, y)")
            for number, place in answer.items():
                if number is None:
                    raise self._refused(f, "a place for None", "give numbers of players")
                xy[f, self._player(f, number)] = self._place(f, place)
        return xy


@dataclass(frozen=True, repr=False)
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

    def __repr__(self) -> str:
        own = [f"{f.name}={getattr(inspect.unwrap(rule), '__name__', rule)}" for f in fields(self)[1:]
               if (rule := getattr(self, f.name)) is not f.default]
        return f"Rulebook({', '.join([repr(self.settings), *own])})"

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
        return replace(self, settings=replace(self.settings, **settings))


def as_rulebook(rulebook: Rulebook | None) -> Rulebook:
    """The rulebook given, or the stock one; BadInput for anything else."""
    rules = Rulebook() if rulebook is None else rulebook
    if not isinstance(rules, Rulebook):
        raise BadInput("rulebook", expected="a Rulebook", got=type(rules).__name__, todo="make one with Rulebook(...)")
    return rules
