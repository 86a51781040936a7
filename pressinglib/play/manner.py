"""How a sequence is simulated: the named arguments of `simulate`, checked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pressinglib.errors import BadInput
from pressinglib.field.player import as_number
from pressinglib.play.triggers import TRIGGERS, checked_triggers

ATTACKERS = ("stay", "seek")
SHORTEST_STEP_S, LONGEST_STEP_S = 0.05, 0.5
LONGEST_S = 60.0


@dataclass(frozen=True)
class Manner:
    """See `simulate`.

    Examples
    --------
    >>> Manner(late_s=0.4).late_s
    0.4
    >>> Manner(attackers="run")
    Traceback (most recent call last):
    pressinglib.errors.BadInput: attackers: expected 'stay' or 'seek'; got 'run'. Use one of the two.
    """

    step_s: float = 0.1
    duration_s: float | None = None
    late_s: float = 0.0
    seed: int | None = None
    attackers: str = "stay"
    triggers: Sequence[str] = TRIGGERS
    trap: str | None = None
    just_lost: bool = False
    counter_press_s: float = 5.0
    handover_s: float = 0.4

    def __post_init__(self) -> None:
        for name, low, high in (("step_s", SHORTEST_STEP_S, LONGEST_STEP_S), ("late_s", 0.0, 3.0),
                                ("counter_press_s", 3.0, 8.0), ("handover_s", 0.0, 2.0)):
            object.__setattr__(self, name, as_number(getattr(self, name), name, low=low, high=high))
        if self.duration_s is not None:
            object.__setattr__(self, "duration_s", as_number(self.duration_s, "duration_s", low=0.0, high=LONGEST_S))
        if self.attackers not in ATTACKERS:
            raise BadInput("attackers", expected="'stay' or 'seek'", got=repr(self.attackers),
                           todo="use one of the two")
        if self.seed is not None and (isinstance(self.seed, bool) or not isinstance(self.seed, int) or self.seed < 0):
            raise BadInput("seed", expected="None or a whole number from 0", got=repr(self.seed), todo="give one")
        object.__setattr__(self, "triggers", checked_triggers(self.triggers))
