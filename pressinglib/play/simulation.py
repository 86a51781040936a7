"""A sequence simulated: actions of theirs, and the press that answers them step by step; or taken up again later."""

from __future__ import annotations

from collections.abc import Sequence as Many
from dataclasses import asdict, fields, replace
from typing import Any

import numpy as np

from pressinglib.errors import as_a
from pressinglib.field.frames import Frames
from pressinglib.field.player import XY
from pressinglib.field.situation import Situation
from pressinglib.physics.pitch_control import least_arrival
from pressinglib.play.actions import TRIGGERS, Action, Dribble, Run, SimulationOptions, checked_actions
from pressinglib.play.attack import EARLY_S, pass_places
from pressinglib.play.game import Game
from pressinglib.play.sequence import Sequence
from pressinglib.roles.danger import danger
from pressinglib.roles.picture import pick, picture_of
from pressinglib.roles.rulebook import Rulebook, as_rulebook


def simulate(situation: Situation, actions: Many[Action] = (), rulebook: Rulebook | None = None, step_s: float = 0.1,
             duration_s: float | None = None, late_s: float = 0.0, seed: int | None = None, attackers: str = "stay",
             triggers: Many[str] = TRIGGERS, trap: str | None = None, just_lost: bool = False,
             counter_press_s: float = 5.0, handover_s: float = 0.4) -> Sequence:
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

    Notes
    -----
    Players run by drive minus drag (`Running`), brake, and act upon something new after 0.3 s; 0.7 s when they
    were beaten or the ball was lost. The plan is made anew at every step. A pass is cut out by whoever of us is at its
    lane before the ball and its receiver. Duels follow rules of our own (`pressinglib.play.ball_race`): a picture of
    how relations in space turn out, no forecast of who wins a ball.

    Examples
    --------
    >>> from pressinglib.field.scene_file import scene
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
    as_a(situation, Situation, "picture", "make one: Situation(...)")
    rules = as_rulebook(rulebook)
    options = SimulationOptions(step_s, duration_s, late_s, seed, attackers, triggers, trap, just_lost, counter_press_s,
                                handover_s)
    if options.trap is not None:
        situation.player("possession", options.trap)
    given = checked_actions(situation, actions)
    game = Game.of(situation, given, rules, options)
    while game.goes_on():
        game.step()
    frames = _joined(game.frames)
    p = picture_of(frames, rules.settings)
    # On the receiver while a pass travels, else the carrier, else where the ball is.
    pressure_s = least_arrival(p.own, p.own_velocity, np.where((p.holder >= 0)[:, None], pick(p.opp, p.holder), p.ball))
    events = tuple(sorted(game.now.events, key=lambda event: event.time_s))
    return Sequence(frames, rules, given, options, events, np.asarray(pressure_s), danger(p, p.own),
                    tuple(game.decided), tuple(game.done))


def _joined(frames: list[Frames]) -> Frames:
    """Single frames as one."""
    rows: dict[str, Any] = {f.name: np.concatenate([getattr(frame, f.name) for frame in frames])
                            for f in fields(Frames)[5:]}
    return replace(frames[0], **rows)


# -- A sequence taken up again at any moment, as it was or with somebody standing elsewhere.

def replay(sequence: Sequence, time_s: float, situation: Situation | None = None, **changes: Any) -> Sequence:
    """Played on from a moment, with what is left of its actions; times start at 0 again.

    From `situation`, else the picture of the moment: so a player may have been moved. `changes` are other arguments of
    `simulate` than the sequence had, such as `late_s` or `rulebook`. A first touch that was not over is over, and
    nobody is surprised any more. For anything but a Sequence a BadInput; and whatever `simulate` raises.

    Examples
    --------
    >>> from pressinglib.field.scene_file import scene
    >>> from pressinglib.play.actions import Pass
    >>> sequence = simulate(scene("worked scene"), [Pass("4", at_s=0.5), Pass("3", at_s=2)], duration_s=3)
    >>> rest = replay(sequence, 1.0)
    >>> [(a.to, a.at_s) for a in rest.actions], float(rest.times[-1])
    ([('3', 1.0)], 2.0)
    >>> replay("a sequence", 1.0)
    Traceback (most recent call last):
    pressinglib.errors.BadInput: sequence: expected a Sequence; got str. Make one with simulate(...).
    """
    as_a(sequence, Sequence, "sequence", "make one with simulate(...)")
    k = sequence.index(time_s)
    now_s = float(sequence.times[k])
    options = asdict(sequence.options)
    if options["duration_s"] is not None:
        options["duration_s"] = max(options["duration_s"] - now_s, 0.0)
    options |= {"just_lost": False, "rulebook": sequence.rulebook} | changes
    start = sequence.situations[k] if situation is None else situation
    return simulate(start, actions_left(sequence, now_s), **options)


def actions_left(sequence: Sequence, time_s: float) -> list[Action]:
    """What is still to be done after a moment, counted from it; a dribble or a run under way goes on."""
    ball = sorted((a for a in sequence.actions if not isinstance(a, Run)), key=lambda a: a.at_s)
    gone = [a for t, a in sequence.done if t <= time_s + EARLY_S and not isinstance(a, Run)]
    dropped = [e for e in sequence.happened("action left out") if e.time_s <= time_s + EARLY_S]
    later = [*ball[len(gone) + len(dropped):], *(a for a in sequence.actions if isinstance(a, Run) and a.at_s > time_s)]
    return [*_runs_on(sequence, time_s), *_dribbles_on(sequence, time_s),
            *(_from(a, time_s) for a in later)]


def _from(action: Any, time_s: float) -> Action:
    """The action with its times counted from a moment on."""
    if isinstance(action, Run) and action.until_s is not None:
        action = replace(action, until_s=max(action.until_s - time_s, 0.0))
    later: Action = replace(action, at_s=max(action.at_s - time_s, 0.0))
    return later


def _dribbles_on(sequence: Sequence, time_s: float) -> list[Action]:
    """The dribble under way, if the same man still has the ball."""
    last = [(t, a) for t, a in sequence.done if t <= time_s + EARLY_S and not isinstance(a, Run)][-1:]
    carrier = sequence.frames.carrier
    return [replace(a, at_s=0.0) for t, a in last if isinstance(a, Dribble)
            and 0 <= carrier[sequence.index(t)] == carrier[sequence.index(time_s)]]


def _runs_on(sequence: Sequence, time_s: float) -> list[Action]:
    """The runs under way, the last of each player, without the places he has passed."""
    runs = {(a.team, a.number): (t, a) for t, a in sequence.done if isinstance(a, Run) and t <= time_s + EARLY_S}
    return [_from(replace(run, to_xy=None, path=_ahead(sequence, run, t, time_s)), time_s) for t, run in runs.values()]


def _ahead(sequence: Sequence, run: Run, from_s: float, to_s: float) -> tuple[XY, ...]:
    """The places that are still ahead of a runner."""
    frames, places = sequence.frames, list(run.places)
    sheet, xy = ((frames.pressing_numbers, frames.pressing_xy) if run.team == "pressing" else
                 (frames.possession_numbers, frames.possession_xy))
    for here in xy[sequence.index(from_s): sequence.index(to_s) + 1, sheet.index(run.number)]:
        pass_places(places, here)
    return tuple(places)
