"""The faults in a picture: who, what, why it hurts, and one change that mends it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from pressinglib.errors import BadInput
from pressinglib.field.situation import Situation
from pressinglib.roles import fault_kinds_ball as ball
from pressinglib.roles import fault_kinds_cover as cover
from pressinglib.roles import fault_kinds_line as line
from pressinglib.roles import fault_kinds_shape as shape
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.standing import Found, Standing

Finder = Callable[[Standing], Iterator[Found]]

FINDERS: tuple[tuple[str, Finder], ...] = (
    ("no pressure on the ball", ball.no_pressure),
    ("two press one ball", ball.two_press),
    ("nobody goes", ball.nobody_goes),
    ("straight press", ball.straight_press),
    ("presser opens his own man", ball.opens_own_man),
    ("flat cover", cover.flat_cover),
    ("cover too near", cover.cover_too_near),
    ("cover too far", cover.cover_too_far),
    ("cover on the wrong side", cover.cover_wrong_side),
    ("gap open", cover.gap_open),
    ("gap open with a man in it", cover.gap_open_with_man),
    ("full-back steps, nobody slides", line.full_back_steps),
    ("far side too narrow", shape.far_side_too_narrow),
    ("far side too wide", shape.far_side_too_wide),
    ("block too long", shape.block_too_long),
    ("broken line", line.broken_line),
    ("keeper too high", line.keeper_too_high),
    ("keeper too deep", line.keeper_too_deep),
    ("striker presses, midfield stays", ball.midfield_stays),
    ("not goal-side after loss", shape.not_goal_side),
    ("no balance", shape.no_balance),
)
KINDS: tuple[str, ...] = tuple(kind for kind, _ in FINDERS)


@dataclass(frozen=True)
class Fault:
    """What is wrong in a picture."""

    kind: str  # one of `KINDS`
    players: tuple[str, ...]  # numbers of the pressing team
    why: str
    change: str
    changed: Situation | None  # the mended picture; None where one change does not mend it


def find_faults(situation: Situation, rulebook: Rulebook | None = None, before: Situation | None = None) -> list[Fault]:
    """The faults of the pressing team in a picture, judged by where everybody stands.

    Parameters
    ----------
    situation : Situation
    rulebook : Rulebook, optional
        The stock rules and settings if left out.
    before : Situation, optional
        The picture before. The faults found here are all seen from one picture.

    Returns
    -------
    list of Fault
        In the order of `KINDS`; empty where the ball is loose or ours, and at a restart.

    Raises
    ------
    BadInput
        For anything that is not a Situation or a Rulebook; an own rule that fails is a RuleError.

    Notes
    -----
    Faults are relations between places, judged by the measures of the plan (grade D): a picture in which the plan has
    been carried out shows none, but for what the plan itself must leave open. Not called faults: a ball beyond the line
    of confrontation, a block that waits goal-side well off the ball, a line that gives way because it is outnumbered.

    Examples
    --------
    >>> s = Situation.line_up(pressing="4-4-2", possession="4-3-3", ball_xy=(10, 20))
    >>> fault = find_faults(s)[0]
    >>> fault.kind, fault.players
    ('far side too narrow', ('7',))
    >>> [other.kind for other in find_faults(fault.changed)]
    []
    >>> find_faults(s.with_ball((-30, 0)))
    []
    """
    _check(situation, Situation, "picture")
    _check(before if before is not None else situation, Situation, "picture before")
    rules = Rulebook() if rulebook is None else rulebook
    _check(rules, Rulebook, "rulebook")
    standing = Standing.of(situation, rules)
    return [_fault(standing, kind, found, finder) for kind, finder in FINDERS if standing.in_play
            for found in finder(standing)]


def _check(value: object, kind: type, what: str) -> None:
    if not isinstance(value, kind):
        raise BadInput(what, expected=f"a {kind.__name__}", got=type(value).__name__,
                       todo=f"make one with {kind.__name__}(...)")


def _fault(standing: Standing, kind: str, found: Found, finder: Finder) -> Fault:
    """The fault with the first change that mends it."""
    names = tuple(standing.name(n) for n in found.players)
    for mend in found.mends:
        changed = standing.moved(mend.moves)
        if _mended(changed, standing, names, finder):
            return Fault(kind, names, found.why, mend.change, changed)
    return Fault(kind, names, found.why, found.mends[0].change, None)


def _mended(changed: Situation, standing: Standing, names: tuple[str, ...], finder: Finder) -> bool:
    """Whether the fault is gone and no other of its kind has come instead."""
    before, after = len(list(finder(standing))), list(finder(after_change := Standing.of(changed, standing.rulebook)))
    return len(after) < before and names not in [tuple(after_change.name(n) for n in f.players) for f in after]
