"""The words of a plan, and the codes that stand for them in arrays."""

from __future__ import annotations

PRESSURE, COVER, BALANCE, BACK_LINE, GOALKEEPER = range(5)
ROLES = ("pressure", "cover", "balance", "back line", "goalkeeper")

IN_TIME, LATE, HOLD = range(3)
TIMINGS = ("in time", "late", "hold")

OPEN_PLAY, LOOSE, WON, THROW_IN, GOAL_KICK, KEEPER_HOLDS = range(6)
STATES = ("open play", "loose", "won", "throw-in", "goal kick", "keeper holds")

NOBODY = -1  # an index that points at no player

# What a player is sent to do; the phrase a coach would use. `{mark}` is the number of the opponent concerned.
(PRESS, CONTAIN, DENY, GUARD_STRAIGHT, GUARD_INSIDE, GUARD_OUTSIDE, DROP_ONTO, STEP_INTO_GAP, GUARD_FAR_SIDE,
 KEEP_BLOCK, RECOVER, HOLD_LINE, STEP_UP, DROP_LINE, STEP_OUT, SWEEP) = range(16)
DUTIES = (
    "press {mark}",
    "contain {mark}",
    "deny {mark}",
    "guard the straight way out",
    "guard the inside way out",
    "guard the outside way out",
    "drop onto {mark}",
    "step into the gap",
    "guard the far side",
    "keep the block",
    "run back goal-side",
    "hold the line",
    "step up with the line",
    "drop with the line",
    "step out and press {mark}",
    "sweep behind the line",
)
WAYS = ("outside", "straight", "inside")
