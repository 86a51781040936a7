"""Every kind of fault: its name, how it is found, and when the same picture is none."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

from pressinglib.roles import fault_kinds_ball as ball
from pressinglib.roles import fault_kinds_cover as cover
from pressinglib.roles import fault_kinds_line as line
from pressinglib.roles import fault_kinds_moving as moving
from pressinglib.roles import fault_kinds_shape as shape
from pressinglib.roles.movement import Movement
from pressinglib.roles.standing import Found, Standing

Finder = Callable[[Movement], Iterator[Found]]


class FaultKind(NamedTuple):
    """A kind of fault."""

    name: str
    find: Finder
    unless: str  # what a coach would accept


def _as_it_stands(find: Callable[[Standing], Iterator[Found]]) -> Finder:
    """A finder that asks nothing of the picture before."""
    return lambda mv: find(mv.now)


WAITS = ("somebody is on his way, the block waits goal-side on purpose, the ball is beyond its line of confrontation, "
         "or the line is outnumbered")
TRAP = "the man is left free as a trap"
DENIES = "he stands there to deny a man"
NO_SWITCH = "no switch can be played: the ball in the middle, the man behind it, or the carrier facing his own goal"

FAULT_KINDS: tuple[FaultKind, ...] = (
    FaultKind("no pressure on the ball", _as_it_stands(ball.no_pressure), WAITS),
    FaultKind("diving in", moving.diving_in, "the carrier has his back to you, or has let the ball run too far"),
    FaultKind("two press one ball", _as_it_stands(ball.two_press),
              "nobody else is free, it is in front of our goal, or they close a trap"),
    FaultKind("nobody goes", _as_it_stands(ball.nobody_goes), WAITS),
    FaultKind("straight press", _as_it_stands(ball.straight_press), "it is in front of our goal, where he must block"),
    FaultKind("presser opens his own man", _as_it_stands(ball.opens_own_man), f"he is behind the ball, or {TRAP}"),
    FaultKind("flat cover", _as_it_stands(cover.flat_cover),
              f"another covers behind the two, or {DENIES}"),
    FaultKind("cover too near", _as_it_stands(cover.cover_too_near), DENIES),
    FaultKind("cover too far", _as_it_stands(cover.cover_too_far), DENIES),
    FaultKind("cover on the wrong side", _as_it_stands(cover.cover_wrong_side), DENIES),
    FaultKind("gap open", _as_it_stands(cover.gap_open), TRAP),
    FaultKind("gap open with a man in it", _as_it_stands(cover.gap_open_with_man), TRAP),
    FaultKind("full-back steps, nobody slides", _as_it_stands(line.full_back_steps),
              "somebody is with the runner in time, or on his way across"),
    FaultKind("far side too narrow", _as_it_stands(shape.far_side_too_narrow), NO_SWITCH),
    FaultKind("far side too wide", _as_it_stands(shape.far_side_too_wide),
              "nobody is free in the room he leaves inside"),
    FaultKind("block too long", _as_it_stands(shape.block_too_long),
              "the press is broken and half of us are on the way back, or the line is on the halfway line"),
    FaultKind("front presses, back drops", moving.lines_part,
              "the line holds, the press is broken, the line is outnumbered, or the ball is in the air"),
    FaultKind("line steps with an open ball", moving.line_steps_open,
              "the ball goes back, is too far off to be played behind the line, or nobody is there to run"),
    FaultKind("line drops with a covered ball", moving.line_drops_covered,
              "the ball comes on as fast, is in the air, a runner goes, or the line is outnumbered"),
    FaultKind("broken line", _as_it_stands(line.broken_line),
              "the ball is open, then one may be deeper; or the line is running back"),
    FaultKind("keeper too high", _as_it_stands(line.keeper_too_high), "the ball is at nobody's feet"),
    FaultKind("keeper too deep", _as_it_stands(line.keeper_too_deep), "the line or the pass itself wins the race"),
    FaultKind("late jump", moving.late_jump, "he takes the ball with his back to you, or has not got it under control"),
    FaultKind("striker presses, midfield stays", _as_it_stands(ball.midfield_stays), TRAP),
    FaultKind("not goal-side after loss", _as_it_stands(shape.not_goal_side), "the ball is still far from our goal"),
    FaultKind("no balance", _as_it_stands(shape.no_balance), NO_SWITCH),
)
