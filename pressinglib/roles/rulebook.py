"""A rulebook: settings and the rules that decide, as one plain value; own rules are read as the stock ones are."""

from __future__ import annotations

import inspect
from dataclasses import dataclass, field, fields, replace
from typing import Any, cast

from pressinglib.errors import BadInput, UnknownName, as_a
from pressinglib.roles.approach import choose_steer, place_presser
from pressinglib.roles.back_line import choose_back_line, place_goalkeeper
from pressinglib.roles.cover import choose_balance, choose_covers
from pressinglib.roles.decisions import Decisions, frame_rule
from pressinglib.roles.own_rules import Rule, lifted
from pressinglib.roles.picture import Floats, Picture
from pressinglib.roles.presser import choose_presser, choose_timing
from pressinglib.roles.settings import Settings


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
        """A rulebook with some rules replaced by plain functions of one situation, or of it and a `SoFar`.

        A rule for `choose_presser` gives a number or None, for `choose_timing` and `choose_steer` a word, for
        `place_presser` and `place_goalkeeper` a place. `choose_covers`, `choose_balance` and `choose_back_line` give a
        dict from numbers to places or `Job`s: those named do it. Nobody else covers; the others' balance and line are
        the stock rule's; a later rule may take somebody from the balance, never the presser, a cover or the keeper.
        `settle_spots` gives places and leaves the others where they are. Spots too near each other are set apart.
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
    return Rulebook() if rulebook is None else as_a(rulebook, Rulebook, "rulebook", "make one with Rulebook(...)")
