"""A sequence simulated: actions of theirs, and the press that answers them step by step."""

from __future__ import annotations

from collections.abc import Sequence as Many
from typing import Any

import numpy as np

from pressinglib.errors import BadInput
from pressinglib.field.frames import Frames
from pressinglib.field.situation import Situation
from pressinglib.physics.pressure import least_arrival
from pressinglib.play.actions import Action
from pressinglib.play.game import Game
from pressinglib.play.manner import Manner
from pressinglib.play.sequence import Sequence
from pressinglib.play.triggers import TRIGGERS
from pressinglib.roles.danger import danger
from pressinglib.roles.picture import Floats, Picture, pick
from pressinglib.roles.read_picture import picture_of
from pressinglib.roles.rulebook import Rulebook


def simulate(
    situation: Situation,
    actions: Many[Action] = (),
    rulebook: Rulebook | None = None,
    step_s: float = 0.1,
    duration_s: float | None = None,
    late_s: float = 0.0,
    seed: int | None = None,
    attackers: str = "stay",
    triggers: Many[str] = TRIGGERS,
    trap: str | None = None,
    just_lost: bool = False,
    counter_press_s: float = 5.0,
    handover_s: float = 0.4,
) -> Sequence:
    """The press as it happens: theirs act, the pressing team answers.

    Parameters
    ----------
    situation : Situation
        The beginning. Where our team has the ball ("won"), the first pass is the one that gives it away.
    actions : list of Pass, Dribble, Touch, Run
        In any order. What is done with the ball waits until somebody of theirs has it under control; what cannot be
        done is left out, and an event says so.
    rulebook : Rulebook, optional
        The stock rules and settings if left out.
    step_s : float
        Time step, 0.05 to 0.5 s.
    duration_s : float, optional
        Default: until 4 s after the last action. It ends earlier when the ball is won or out of play.
    late_s : float
        How much too late the presser starts each time the ball is played.
    seed : int, optional
        With a seed passes stray and one in five who reach a pass miss it (grade D); without one nothing is left to
        chance.
    attackers : "stay" or "seek"
        What those of theirs do who have no task: stay, or look for an open lane within 4 m every half second, and keep
        their shape.
    triggers : list of str
        Which triggers let a team go that waits at a line of confrontation (see `find_triggers`); () for none.
    trap : str, optional
        Number of the opponent who is left free on purpose, and closed down by two when the ball goes to him.
    just_lost : bool
        The ball has just been lost: reaction 0.7 s, and the counter-press begins at once.
    counter_press_s : float
        Its window, 3 to 8 s (5 s by convention: Bauer and Anzer 2021, 10.1007/s10618-021-00763-7).
    handover_s : float
        A role passes on only if the other is better by this much, 0 to 2 s (grade D).

    Returns
    -------
    Sequence

    Raises
    ------
    PressingError

    Notes
    -----
    Players run by drive minus drag (`arrival_time`), brake, and act upon something new after 0.3 s; 0.7 s when they
    were beaten or the ball was lost. The plan is made anew at every step. A pass is cut out by whoever of us is at its
    lane before the ball and its receiver. Duels follow rules of our own (`pressinglib.play.duel`): a picture of how
    relations in space turn out, no forecast of who wins a ball.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.play.actions import Pass
    >>> sequence = simulate(scene("worked scene"), [Pass("6", at_s=0.5)], duration_s=2)
    >>> [(event.kind, event.possession) for event in sequence.events][:1]
    [('pass played', ('5', '6'))]
    >>> len(sequence), sequence.at(1.0).plan.presser
    (21, '10')
    >>> simulate(scene("worked scene"), [Pass("99")])
    Traceback (most recent call last):
    pressinglib.errors.BadInput: player: expected one of ...
    """
    if not isinstance(situation, Situation):
        raise BadInput("picture", expected="a Situation", got=type(situation).__name__, todo="make one: Situation(...)")
    rules = Rulebook() if rulebook is None else rulebook
    if not isinstance(rules, Rulebook):
        raise BadInput("rulebook", expected="a Rulebook", got=type(rules).__name__, todo="make one with Rulebook(...)")
    manner = Manner(step_s, duration_s, late_s, seed, attackers, triggers, trap, just_lost, counter_press_s, handover_s)
    return _played(Game.of(situation, actions, rules, manner), actions)


def _played(game: Game, actions: Many[Action]) -> Sequence:
    """The game to its end, and what is measured on all its moments together."""
    while game.goes_on():
        game.step()
    frames = _joined(game.frames)
    p = picture_of(frames, game.rulebook.settings)
    events = tuple(sorted(game.log.events, key=lambda e: e.time_s))
    return Sequence(frames, game.rulebook, _several(actions), game.manner, events, _pressure_s(p),
                    danger(p, p.own), tuple(game.decided), tuple(game.done))


def _several(actions: Any) -> tuple[Action, ...]:
    return tuple(actions) if isinstance(actions, (list, tuple)) else (actions,)


def _pressure_s(p: Picture) -> Floats:
    """(F,) as `total_pressure`: on the receiver while a pass travels, else the carrier, else where the ball is."""
    place = np.where((p.holder >= 0)[:, None], pick(p.opp, p.holder), p.ball)
    return np.asarray(least_arrival(p.own, p.own_velocity, place))


def _joined(frames: list[Frames]) -> Frames:
    """Single frames as one."""
    first = frames[0]
    arrays = list(Frames.__dataclass_fields__)[5:]
    return Frames(first.pitch, first.pressing_numbers, first.pressing_slots, first.possession_numbers,
                  first.possession_slots, **{a: np.concatenate([getattr(f, a) for f in frames]) for a in arrays})
