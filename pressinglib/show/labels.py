"""What is written on a picture: numbers, slots or own names on the shirts; metres or yards."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from pressinglib.errors import BadInput, UnknownName
from pressinglib.field.player import Player
from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan

NAMES = ("numbers", "slots", "none")
UNITS = {"metres": (1.0, "m"), "yards": (1 / 0.9144, "yd")}  # the international yard, 1959: 0.9144 m
LONGEST = 8  # as long as a number may be
LENGTH = re.compile(r"(\d+(?:\.\d+)?) m\b(?!/)")


def slot_letters(slot: str) -> str:
    """A slot in letters, as coaches write it.

    Examples
    --------
    >>> slot_letters("right centre-back"), slot_letters("goalkeeper"), slot_letters("outfield")
    ('RCB', 'GK', '')
    """
    if slot == "outfield":
        return ""
    return "GK" if slot == "goalkeeper" else "".join(word[0].upper() for word in re.split("[ -]", slot))


@dataclass(frozen=True)
class Labels:
    """How players are named and lengths are written.

    Parameters
    ----------
    names : "numbers", "slots" or "none"
    unit : "metres" or "yards"
    shirts : mapping
        From (team, number) to what stands on the shirt instead, such as {("pressing", "9"): "Nia"}; at most 8
        characters. It goes before `names`.
    upright : bool
        The picture will be shown with the pressing team attacking upwards: words then lie across the pitch.

    Raises
    ------
    UnknownName, BadInput

    Examples
    --------
    >>> Labels(unit="yards").length(9.144), Labels().length(9.144)
    ('10.0', '9.1')
    >>> Labels(names="letters")
    Traceback (most recent call last):
    pressinglib.errors.UnknownName: names on the shirts: expected one of numbers, slots, none; got 'letters'. ...
    """

    names: str = "numbers"
    unit: str = "metres"
    shirts: Mapping[tuple[str, str], str] = field(default_factory=dict)
    upright: bool = False

    def __post_init__(self) -> None:
        for kind, value, known in (("names on the shirts", self.names, NAMES), ("unit", self.unit, tuple(UNITS))):
            if value not in known:
                raise UnknownName(kind, value, known)
        for who, name in self.shirts.items():
            if not (isinstance(name, str) and len(name) <= LONGEST and name.isprintable()):
                raise BadInput(f"shirt of {who}", expected=f"at most {LONGEST} characters", got=repr(name),
                               todo="shorten it")

    def shirt(self, team: str, player: Player) -> str:
        """What stands on a player's shirt; a slot that is unknown leaves him his number."""
        own = self.shirts.get((team, player.number))
        if own is not None:
            return own
        return {"none": "", "slots": slot_letters(player.slot) or player.number}.get(self.names, player.number)

    def named(self, situation: Situation) -> Situation:
        """The picture with the shirts as numbers; a name that two wear gets the number behind it.

        Examples
        --------
        >>> s = Labels("slots").named(Situation.line_up(pressing="4-4-2", possession="3-4-3"))
        >>> [player.number for player in s.pressing][:5], s.on_ball
        (['GK', 'RB', 'RCB', 'LCB', 'LB'], 'CB')
        """
        if not self.shirts and self.names != "slots":
            return situation
        names = {team: self._names(team, situation.players(team)) for team in ("pressing", "possession")}
        theirs = dict(zip((p.number for p in situation.possession), names["possession"], strict=True))
        teams = {team: tuple(replace(p, number=name) for p, name in zip(situation.players(team), worn, strict=True))
                 for team, worn in names.items()}
        carrier, receiver = theirs.get(situation.carrier), theirs.get(situation.receiver)
        return replace(situation, **teams, carrier=carrier, receiver=receiver)

    def _names(self, team: str, players: tuple[Player, ...]) -> list[str]:
        worn = [self.shirt(team, player) or player.number for player in players]
        return [name if worn.count(name) == 1 else f"{name} {player.number}"[:LONGEST]
                for name, player in zip(worn, players, strict=True)]

    def named_plan(self, plan: Plan) -> Plan:
        """The same plan in these names: who is called what changes nothing in it."""
        situation = self.named(plan.situation)
        if situation is plan.situation:
            return plan
        frames = replace(plan.picture.frames, pressing_numbers=tuple(p.number for p in situation.pressing),
                         possession_numbers=tuple(p.number for p in situation.possession))
        return replace(plan, situation=situation, picture=replace(plan.picture, frames=frames))

    def length(self, metres: float, digits: int = 1) -> str:
        """A length in the unit, without its name."""
        return f"{metres * UNITS[self.unit][0]:.{digits}f}"

    def said(self, words: str) -> str:
        """A sentence with its metres in the unit.

        Examples
        --------
        >>> Labels(unit="yards").said("9 presses, 1.5 m off, at 7.8 m/s")
        '9 presses, 1.6 yd off, at 7.8 m/s'
        >>> Labels().said("1.5 m off")
        '1.5 m off'
        """
        if self.unit == "metres":
            return words
        return LENGTH.sub(lambda found: f"{self.length(float(found[1]))} {UNITS[self.unit][1]}", words)
