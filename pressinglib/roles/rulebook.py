"""A rulebook: settings and the rules that decide, as one plain value; own rules, read as the stock ones are."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field, fields, replace
from functools import wraps
from typing import Any, cast

import numpy as np

from pressinglib.errors import BadInput, PressingError, RuleError, as_a, as_known, as_xy, shown
from pressinglib.field.frames import Frames
from pressinglib.field.pitch import OUTSIDE_M
from pressinglib.field.scene_file import scene
from pressinglib.roles import settings as v
from pressinglib.roles.back_line import choose_back_line, place_goalkeeper
from pressinglib.roles.balance import choose_balance, choose_covers
from pressinglib.roles.decisions import Decisions, Jobs, checked, frame_rule
from pressinglib.roles.picture import Floats, Ints, Picture
from pressinglib.roles.presser import choose_presser, choose_steer, choose_timing, place_presser
from pressinglib.roles.settings import Settings

MOST_WORDS = 300  # letters of a reason
UNSAID = "A rule of your own gives him this job and says no reason."
TRIAL_SCENE = "worked scene"
# Of rules for many: the role they give, and the duty with a man to mind and without.
MANY = {"choose_covers": (v.COVER, v.DENY, v.GUARD_STRAIGHT), "choose_balance": (v.BALANCE, v.DROP_ONTO, v.KEEP_BLOCK),
        "choose_back_line": (v.BACK_LINE, v.MIND, v.HOLD_LINE)}
BUSY = {v.PRESSURE: "the presser", v.COVER: "a cover already", v.GOALKEEPER: "the goalkeeper"}
Rule = Callable[..., Any]


class UnknownPlayer(RuleError):
    """The rule named a player who is not in the team."""


@dataclass(frozen=True)
class Job:
    """One player's job in the answer of an own rule: where, on whom, and why in your own words.

    Parameters
    ----------
    xy : (x, y)
        The place in metres, as in the situation.
    man : str, optional
        The opponent he takes.
    why : str, optional
        The reason; the plan then says it in place of its own.

    Examples
    --------
    >>> Job((30.0, 4.0), man="6", why="He is their way out.")
    Job(xy=(30.0, 4.0), man='6', why='He is their way out.')
    """

    xy: tuple[float, float]
    man: str | None = None
    why: str | None = None


@dataclass(frozen=True)
class SoFar:
    """What is decided before an own rule is asked: its second argument, if it takes one.

    Attributes
    ----------
    presser : str or None
    timing, steer : str
        "in time", "late" or "hold"; "left", "right" or "none".
    end_xy : (x, y)
        Where the presser ends.
    covers, balance, options : tuple of str
        Ours who cover and who balance; theirs who are a short, easy pass.
    free : tuple of str
        Ours in the field who neither press nor cover nor balance yet.
    gaps : tuple of dict
        Between neighbours as seen from the ball: between (two of ours), width_m, limit_m, man (theirs, or None).
    stock : dict from str to Job
        What the stock rule would answer here; empty for rules that give one player, word or place.
    """

    presser: str | None
    timing: str
    steer: str
    end_xy: tuple[float, float]
    covers: tuple[str, ...]
    balance: tuple[str, ...]
    options: tuple[str, ...]
    free: tuple[str, ...]
    gaps: tuple[dict[str, Any], ...]
    stock: dict[str, Job]


def so_far(p: Picture, d: Decisions, f: int, name: str, stock: Jobs | None) -> SoFar:
    """The decisions about frame f as plain values, in the frame of the picture as it came."""
    order, gaps = [n for n in np.argsort(p.own_order[f]) if p.own_here[f, n]], d.gaps
    known = (v.COVER, v.BALANCE) if RULES.index(name) > RULES.index("choose_balance") else (v.COVER,)
    covers, balance, free = (
        tuple(p.own_number(f, n) for n in order if d.role[f, n] in roles and n != d.presser[f])
        for roles in ((v.COVER,), known[1:], {*range(len(v.ROLES))} - {*known, v.GOALKEEPER}))
    end, places = (p.turned_back(xy)[f].tolist() for xy in (d.end_xy, d.anchor if stock is None else stock.anchor))
    return SoFar(
        presser=p.own_number(f, d.presser[f]), timing=v.TIMINGS[d.timing[f]],
        steer=v.STEERS[int(d.steer[f] * p.side[f]) + 1], end_xy=tuple(end), covers=covers, balance=balance,
        options=tuple(p.opp_number(f, m) for m in np.flatnonzero(d.options[f])), free=free,
        gaps=tuple({"between": (p.own_number(f, gaps.left[f, g]), p.own_number(f, gaps.right[f, g])),
                    "width_m": float(gaps.width_m[f, g]), "limit_m": float(gaps.limit_m[f, g]),
                    "man": p.opp_number(f, gaps.man[f, g])} for g in np.flatnonzero(gaps.here[f])),
        stock={} if stock is None else {p.own_number(f, n): Job(tuple(places[n]), p.opp_number(f, stock.mark[f, n]))
                                        for n in order if stock.who[f, n]})


def lifted(name: str, rule: Rule, stock: Rule) -> Rule:
    """The rule in the form the pipeline calls, arrays in and arrays out: as it is if it is marked `frame_rule`.

    Another, a plain function of one situation (and of what is decided so far), is tried once on a named scene before
    use. A failure of it, or an answer of the wrong kind, is a RuleError that names rule, picture and cause.
    """
    if not callable(rule):
        raise RuleError(name, "no picture", f"{shown(rule)} is no function", todo="give a function of one situation")
    if getattr(rule, "takes_frames", False):
        return rule if rule.__module__.startswith("pressinglib.roles.") else checked(name, rule)
    asks_more = False
    with suppress(TypeError, ValueError):  # a second value can be given to it by its place
        asks_more = bool(inspect.signature(rule).bind(None, None))

    @frame_rule
    @wraps(rule, assigned=(), updated=())
    def over_frames(p: Picture, d: Decisions) -> Any:
        first = stock(p, d) if name in MANY and asks_more else None
        told = ([so_far(p, d, f, name, first)] if asks_more else [] for f in range(len(p)))
        return Answers(name, p, d, [asked(name, rule, p, f, *more) for f, more in enumerate(told)]).read(stock)

    picture = Picture(Frames.of([scene(TRIAL_SCENE)]), v.Settings())
    try:
        over_frames(picture, Decisions(picture))
    except UnknownPlayer:
        pass  # a rule may be written for a team with other numbers
    except RuleError as error:
        raise error.on(f"the scene {TRIAL_SCENE!r}") from error.__cause__
    return over_frames


def asked(name: str, rule: Rule, p: Picture, f: int, *more: SoFar) -> Any:
    """The rule's answer on frame f; what it raises is a RuleError."""
    try:
        return rule(p.frames.situation(f), *more)
    except PressingError:
        raise
    except (Exception, SystemExit) as error:
        raise RuleError(name, f, f"{type(error).__name__}: {error}") from error


@dataclass(frozen=True)
class Answers:
    """What a rule said, a frame at a time, to be read as the arrays of a stock rule."""

    name: str
    p: Picture
    d: Decisions
    answers: list[Any]

    def read(self, stock: Rule) -> Any:
        """The arrays."""
        if self.name in ("choose_presser", "place_presser", "place_goalkeeper"):
            one: Rule = self._player if self.name == "choose_presser" else self._place
            return np.array([one(f, answer) for f, answer in enumerate(self.answers)])
        if self.name == "choose_timing":
            return np.where(self.d.presser >= 0, self._words(v.TIMINGS), v.HOLD)
        if self.name == "choose_steer":
            return ((self._words(v.STEERS) - 1) * self.p.side * (self.d.presser >= 0)).astype(int)
        return self._decided(stock) if self.name in MANY else self._moved(stock(self.p, self.d))

    def _decided(self, stock: Rule) -> Jobs:
        """Jobs: those named have them. Nobody else covers; balance and line of the others are the stock rule's."""
        role, with_man, without = MANY[self.name]
        own = self._jobs(with_man, without)
        self.d.by_own_rule = self.d.by_own_rule | own.who
        if role == v.COVER:
            return own
        rest = self.d.but()
        rest.give(own, v.COVER)  # so that the stock rule takes them, and their men, for settled
        others = stock(self.p, rest)
        return Jobs(own.who | others.who, *(np.where(own.who if a.ndim == 2 else own.who[..., None], a, b)
                                            for a, b in zip(own[1:], others[1:], strict=True)))

    def _jobs(self, with_man: int, without: int) -> Jobs:
        shape = self.p.line.shape
        jobs = Jobs(np.zeros(shape, bool), np.full(shape, without), np.full(shape, v.NOBODY), np.array(self.d.anchor))
        for f, number, given in self._named():
            n, job = self._who(f, number), given if isinstance(given, Job) else Job(given)
            jobs.who[f, n], jobs.anchor[f, n] = True, self._place(f, job.xy)
            if job.man is not None:
                jobs.mark[f, n], jobs.duty[f, n] = self._player(f, job.man, theirs=True), with_man
            if not (job.why is None or isinstance(job.why, str) and len(job.why) <= MOST_WORDS):
                raise self._refused(f, f"the reason {shown(job.why)}", f"give at most {MOST_WORDS} letters")
            self.d.why[f, n] = job.why or UNSAID
        return jobs

    def _named(self) -> Iterator[tuple[int, Any, Any]]:
        """Frame, number and what is given to it."""
        for f, answer in enumerate(self.answers):
            if not isinstance(answer, dict):
                raise self._refused(f, type(answer).__name__, "give a dict from numbers to (x, y) or Job(...)")
            yield from ((f, *pair) for pair in answer.items())

    def _who(self, f: int, number: Any) -> int:
        """Somebody who can still be given this job."""
        n = self._player(f, number)
        busy = "nobody" if n == v.NOBODY else BUSY.get(int(self.d.role[f, n]))
        if busy:
            raise self._refused(f, f"{shown(number)}, who is {busy}", "name a player in the field who is still free")
        return n

    def _player(self, f: int, number: Any, theirs: bool = False) -> int:
        """Somebody of ours by his number, nobody for None; or one of theirs."""
        p = self.p
        here, number_of = (p.opp_here, p.opp_number) if theirs else (p.own_here, p.own_number)
        known = {number_of(f, n): n for n in np.flatnonzero(here[f]).tolist()} | ({} if theirs else {None: v.NOBODY})
        if not isinstance(number, str | None):
            raise self._refused(f, shown(number), "give a number in quotes, or None")
        if number not in known:
            raise self._refused(f, f"{'the man ' * theirs}{shown(number)}", f"give one of {', '.join(map(str, known))}",
                                UnknownPlayer)
        return known[number]

    def _refused(self, f: int, gave: str, todo: str, kind: type[RuleError] = RuleError) -> RuleError:
        return kind(self.name, f, f"the rule gave {gave}", todo=todo)

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
        if not self.p.pitch.holds(xy, OUTSIDE_M):  # who stands off it may be told to stay
            raise self._refused(f, repr(answer), "give a place on the pitch")
        return xy * (1.0, self.p.side[f])

    def _moved(self, places: Floats) -> Floats:
        xy = np.array(places)
        for f, number, place in self._named():
            if (n := self._player(f, number)) == v.NOBODY:
                raise self._refused(f, "a place for None", "give numbers of players")
            xy[f, n] = self._place(f, place)
        return xy


@frame_rule
def settle_spots(p: Picture, d: Decisions) -> Floats:
    """(F, N, 2) the last word on the spots: they are the anchors, unless an own rule says otherwise."""
    return d.spot


@dataclass(frozen=True, repr=False)
class Rulebook:
    """Settings and one rule for each decision; `with_rules` and `with_settings` give a changed copy.

    Examples
    --------
    >>> Rulebook().with_settings(pressers="anyone").settings.pressers
    'anyone'
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
        as_a(self.settings, Settings, "settings", "make some: Settings(...)")
        for name in RULES:
            object.__setattr__(self, name, lifted(name, getattr(self, name), getattr(Rulebook, name)))

    def __repr__(self) -> str:
        own = [f"{name}={getattr(rule, '__name__', rule)}" for name, rule in self.own.items()]
        return f"Rulebook({', '.join([repr(self.settings), *own])})"

    @property
    def own(self) -> dict[str, Rule]:
        """By name the rules that are not the stock ones, as they were written."""
        return {name: inspect.unwrap(rule) for name in RULES
                if (rule := getattr(self, name)) is not getattr(Rulebook, name)}

    def with_rules(self, **rules: Rule) -> Rulebook:
        """A rulebook with some rules replaced by plain functions of one situation, or of it and a `SoFar`.

        A rule for `choose_presser` gives a number or None, for `choose_timing` and `choose_steer` a word, for
        `place_presser` and `place_goalkeeper` a place. `choose_covers`, `choose_balance` and `choose_back_line` give a
        dict from numbers to places or `Job`s: those named do it. Nobody else covers; the others' balance and line are
        the stock rule's; a later rule may take somebody from the balance, never the presser, a cover or the keeper.
        `settle_spots` gives places and leaves the others where they are. Spots too near each other are set apart.
        """
        for name in rules:
            as_known(name, RULES, "rule")
        return replace(self, **cast(Any, rules))

    def with_settings(self, **settings: Any) -> Rulebook:
        """A rulebook with some settings changed; a misspelt one is an UnknownName."""
        return replace(self, settings=replace(self.settings, **settings))


RULES = tuple(f.name for f in fields(Rulebook)[1:])  # in their order
STOCK = Rulebook()


def as_rulebook(rulebook: Rulebook | None) -> Rulebook:
    """The rulebook given, or the stock one; BadInput for anything else."""
    return STOCK if rulebook is None else as_a(rulebook, Rulebook, "rulebook", "make one with Rulebook(...)")
