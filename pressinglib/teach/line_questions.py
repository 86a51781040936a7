"""The back line and the block: hold, step or drop; the ball over the top; ten players who shift as one.

The race behind the line and how far ten shift are own arithmetic on the clocks of the rulebook (grade D).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import dist

import numpy as np

from pressinglib.field.player import BACK, XY, Player
from pressinglib.field.situation import Situation
from pressinglib.physics.ball import lofted_time
from pressinglib.physics.lanes import offside_line_m
from pressinglib.roles.measures import to_ball_s
from pressinglib.roles.picture import Bools, Floats, norm
from pressinglib.roles.plan import Plan
from pressinglib.roles.settings import BACK_LINE, DROP_LINE, HOLD_LINE, STEP_UP, Settings
from pressinglib.roles.snapshot import Snapshot
from pressinglib.show.judged import Seen, passed, ran
from pressinglib.teach.choices import NO_BAND, Band, ChooseOne
from pressinglib.teach.criteria import criterion
from pressinglib.teach.exercise import Finding, Judge
from pressinglib.teach.pictures import placed
from pressinglib.teach.stand import Stand

HOLD, STEP, DROP = "hold", "step", "drop"
MOVES = {HOLD_LINE: HOLD, STEP_UP: STEP, DROP_LINE: DROP}
DOES = {HOLD: "holds", STEP: "steps up", DROP: "drops"}
LEVEL_M = 0.5  # a line that moves within this of the border between two words may be called either (D)
BORDER_M = 2.0  # from here on the plan calls it a step or a drop
RUNNER, LINE, KEEPER = "runner", "line", "keeper"
BEHIND_M, LOFT_DEG = 12.0, 25.0  # how far behind the line the ball comes down, and how steep it is played (D)
ROOM_M = 8  # at least, between keeper and line (D)
ASIDE = 0.3  # of the ball's own distance from the middle
TRIES_M = np.arange(0.0, 25.01, 0.25)


@dataclass(frozen=True)
class HoldStepDrop(ChooseOne):
    """Say what the back line does: hold, step or drop."""

    what, turns = "move of the line", True

    def choices(self, plan: Plan) -> dict[str, Finding]:
        """Right for what the plan wants of the line, and near a border for its neighbour too."""
        moved_m, wanted = _moved_m(plan), self.model(plan)
        by = f" {abs(moved_m):.1f} m" if wanted != HOLD and abs(moved_m) >= 0.05 else ""
        near = abs(abs(moved_m) - BORDER_M) <= LEVEL_M
        either = {HOLD, STEP if moved_m > 0 else DROP} if near else {wanted}
        reasons = [job.reason for job in plan.assignments.values() if job.role == "back line"]
        words = f"The line {DOES[wanted]}{by}. {max(reasons, key=reasons.count)}"
        return {move: Finding(move in either, words, seen=offside_seen(plan.situation)) for move in DOES}

    def cues(self, plan: Plan, value: str) -> tuple[str, str]:
        """What would come of it, then how far the ball is covered."""
        return f"The line {DOES[value]}: does that give them room behind it, or in front of it?", self.hints(plan)[1]

    def hints(self, plan: Plan) -> tuple[str, str]:
        """Covered or open, and in how many seconds somebody is at the ball."""
        first_s = float(to_ball_s(plan.picture).min())
        return ("Covered ball: hold. Played back: step up. Open ball: drop. In doubt: drop.",
                f"The first of yours is at the ball in {first_s:.1f} s; "
                f"{plan.rulebook.settings.covered_s:g} s or less, and it is covered.")

    def model(self, plan: Plan) -> str:
        """The duty of most of the line; where each of its men minds a runner, the way they go."""
        duties = plan.decisions.duty[0][_back_line(plan)]
        if not np.isin(duties, list(MOVES)).any():
            return HOLD if abs(_moved_m(plan)) < BORDER_M else STEP if _moved_m(plan) > 0 else DROP
        return MOVES[max(MOVES, key=lambda duty: int((duties == duty).sum()))]

    def renewed(self, plan: Plan) -> Judge | None:
        """Wherever there is a line."""
        return self if _back_line(plan).any() else None


def offside_seen(situation: Situation) -> tuple[Seen]:
    """The offside line, to be drawn."""
    x, half_y = offside_line_m(situation), situation.pitch.corner_xy[1]
    return (Seen("limit", ((x, -half_y), (x, half_y)), "offside line"),)


def _moved_m(plan: Plan) -> float:
    """How far the line goes up, on average; below zero: back."""
    line = _back_line(plan)
    return float((plan.decisions.anchor[0, line, 0] - plan.picture.own[0, line, 0]).mean())


def _back_line(plan: Plan) -> Bools:
    return np.asarray(plan.decisions.role[0] == BACK_LINE)


# -- The ball over the top: where it comes down, and who is first there, runner, line or goalkeeper.


def line_x(situation: Situation) -> float:
    """Where the deepest of the back line stands."""
    return min(p.xy[0] for p in situation.pressing if p.line == BACK)


def landing(situation: Situation) -> XY:
    """Behind the line, inside the pitch, a little to the ball's side."""
    return max(line_x(situation) - BEHIND_M, 2.0 - situation.pitch.length_m / 2), ASIDE * situation.ball_xy[1]


def race_s(situation: Situation, settings: Settings) -> dict[str, float]:
    """Seconds to the landing place: the first runner who is onside, with the ball; the first of the line; the keeper.

    Runners come as they run, ours after their reaction; the ball is the one of a switch.
    """
    s, place, limit_x = situation, landing(situation), offside_line_m(situation)

    def first(players: Iterable[Player], *late: float) -> float:
        return min(float(settings.running.of(p.top_speed_mps or np.nan).time(p.xy, p.velocity, place, *late))
                   for p in players)

    ball_s = float(lofted_time(dist(place, s.ball_xy), settings.switch_mps, LOFT_DEG))
    runner_s = first((p for p in s.possession if p.xy[0] >= limit_x and p.number != s.on_ball), 0.0, 0.0)
    ours = {LINE: [p for p in s.pressing if p.line == BACK], KEEPER: [p for p in s.pressing if p.is_goalkeeper]}
    return {RUNNER: max(runner_s, ball_s),
            **{who: first(some, settings.reaction_s, settings.reach_m) for who, some in ours.items()}}


@criterion
def sweeps(stand: Stand, number: str) -> Finding:
    """He is at the ball over the top before the runner, standing where he stands."""
    times, end = race_s(stand.situation, stand.plan.rulebook.settings), landing(stand.situation)
    early_s = round(round(times[RUNNER], 1) - round(times[KEEPER], 1), 1)
    seen = (passed(stand.situation.ball_xy, end, times[RUNNER], f"runner and ball {times[RUNNER]:.1f} s"),
            ran(number, stand.own(number), end, times[KEEPER]))
    return Finding(early_s >= 0, f"{number} is at the ball {abs(early_s):.1f} s {'before' if early_s > 0 else 'after'} "
                   "the runner." if early_s else f"{number} and the runner are at the ball together.", seen=seen)


@criterion
def stays_home(stand: Stand, number: str) -> Finding:
    """He keeps room to his own line, and the space behind it is his to sweep."""
    between_m = round(line_x(stand.situation) - stand.own(number)[0])
    ends = "." if between_m >= ROOM_M else f": leave {ROOM_M} m at least."
    return Finding(between_m >= ROOM_M, f"{between_m} m between {number} and the back line{ends}")


# -- The block shifts as one: ten players the same way, so far that nobody in it or behind it is left alone. A man is
# left alone if none of the ten is within reach of him at his first touch, were the ball passed to him now. Men beyond
# the block, higher than its foremost player, are not the block's.


def ten_shifted(situation: Situation, metres: float) -> Situation:
    """All but the goalkeeper so many metres across, towards the ball, as far as the pitch goes."""
    return across(situation, [p.number for p in situation.pressing if not p.is_goalkeeper], _way(situation) * metres)


def across(situation: Situation, numbers: Iterable[str], metres: float) -> Situation:
    """Some of the pressing team so many metres to their left, as far as the pitch goes."""
    half_y = situation.pitch.corner_xy[1]
    stood = {n: situation.player("pressing", n).xy for n in numbers}
    return placed(situation, {n: (x, float(np.clip(y + metres, -half_y, half_y))) for n, (x, y) in stood.items()})


def ten_band(plan: Plan) -> Band:
    """From how few to how many metres leave nobody alone; an empty band if no shift does."""
    st = Snapshot.of(plan.situation, plan.rulebook)
    half_y, way = plan.situation.pitch.corner_xy[1], _way(plan.situation) * st.p.side[0]
    ten = np.repeat(st.own[None, st.outfield], len(TRIES_M), axis=0)
    ten[..., 1] = np.clip(ten[..., 1] + way * TRIES_M[:, None], -half_y, half_y)
    good = np.flatnonzero(~alone(st, ten).any(-1))
    if len(good) < 2 or good[-1] - good[0] >= len(good):
        return NO_BAND  # none, or none that a learner could reason out
    low, high = (float(TRIES_M[k]) for k in good[[0, -1]])
    return Band(low, (low + high) / 2, high)


def alone(st: Snapshot, ten: Floats) -> Bools:
    """(..., M) whether a man in the block or behind it is left alone, for places of the ten (..., 10, 2).

    They shift across alone: offside stays as it is.
    """
    inside = st.counted & (st.opp[:, 0] <= ten[..., 0].max(-1)[..., None])
    return np.asarray(inside & (_there_s(st, ten).min(-2) > _touched_s(st)))


def _there_s(st: Snapshot, ten: Floats) -> Floats:
    """(..., 10, M) seconds of each of the ten to each of theirs."""
    s = st.p.settings
    return np.asarray(s.running.rest_time(norm(ten[..., None, :] - st.opp) - s.reach_m) + s.reaction_s)


def _touched_s(st: Snapshot) -> Floats:
    """(M,) seconds until each has taken his first touch."""
    return np.asarray(st.p.pass_s[0] + st.p.settings.control_time_s)


def whoever_is_latest(plan: Plan, situation: Situation) -> list[Finding]:
    """The man in the block or behind it whom yours would reach last, with both clocks."""
    st = Snapshot.of(situation, plan.rulebook)
    ten = st.own[st.outfield]
    there_s, touch_s = _there_s(st, ten), _touched_s(st)
    inside = st.counted & (st.opp[:, 0] <= ten[:, 0].max())
    man = int(np.argmax(np.where(inside, there_s.min(0) - touch_s, -np.inf)))
    one, has_s = int(there_s[:, man].argmin()), float(touch_s[man])
    number, needs_s = st.name(int(st.outfield[one])), float(there_s[one, man])
    start, end = (situation.player(*who).xy for who in (("pressing", number), ("possession", st.p.opp_number(0, man))))
    return [Finding(needs_s <= has_s, "", seen=(
        passed(situation.ball_xy, end, has_s, f"ball and touch {has_s:.1f} s"), ran(number, start, end, needs_s)))]


def _way(situation: Situation) -> float:
    """1 if the ball lies to the left of the ten's middle, -1 if to the right."""
    middle = np.mean([p.xy[1] for p in situation.pressing if not p.is_goalkeeper])
    return 1.0 if situation.ball_xy[1] >= middle else -1.0
