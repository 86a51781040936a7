"""A rulebook: settings and the rules that decide, as one plain value."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, fields, replace
from typing import Any, cast

from pressinglib.errors import BadInput, UnknownName
from pressinglib.roles.back_line import choose_back_line
from pressinglib.roles.balance import choose_balance
from pressinglib.roles.cover import choose_covers
from pressinglib.roles.goalkeeper import place_goalkeeper
from pressinglib.roles.own_rule import lifted
from pressinglib.roles.presser import choose_presser, choose_timing
from pressinglib.roles.settings import Settings
from pressinglib.roles.settle import settle_spots
from pressinglib.roles.steering import choose_steer, place_presser

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
