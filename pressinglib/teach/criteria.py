"""What a team's placing must do, whoever does it: men taken, gaps closed, and nothing opened elsewhere."""

from __future__ import annotations

from collections.abc import Callable
from math import dist

from pressinglib.field.player import XY
from pressinglib.roles.balance import limit_m
from pressinglib.roles.faults import find_faults
from pressinglib.roles.plan import plan_press
from pressinglib.tables import by_number, listed
from pressinglib.teach.gap_questions import gap_between
from pressinglib.teach.stand import CLOSED_S, LEVEL_M, Stand, Taken
from pressinglib.teach.verdict import Finding

# -- What a placing must do: small conditions, each answered by the engine in seconds or metres; they combine freely.


Criterion = Callable[[Stand], Finding]


def denies(number: str, man: str) -> Criterion:
    """He cuts the pass to an opponent out, or is goal-side of him by his first touch."""
    def criterion(stand: Stand) -> Finding:
        denial = stand.denial(number, man)
        if denial.goal_side and denial.late_s <= 0:
            return Finding(True, f"{number} has their {man}: with him {-denial.late_s:.1f} s before his first touch.")
        if denial.cuts_out:
            return Finding(True, f"{number} cuts the pass to their {man} out, with {-denial.margin_s:.1f} s to spare.")
        if denial.late_s > 0:
            nearer_m = max(denial.away_m - denial.slack_m, 0.1)
            return Finding(False, f"{number} is {denial.late_s:.1f} s late for their {man}: "
                                  f"come {nearer_m:.1f} m nearer.")
        return Finding(False, f"{number} is near their {man}, but on the wrong side of him.")

    return criterion


def closes_lane(man: str) -> Criterion:
    """Somebody cuts the ground pass to an opponent out, standing where he stands."""
    def criterion(stand: Stand) -> Finding:
        margin_s = stand.lane_s(man)
        state = f"closed, with {-margin_s:.1f} s to spare" if margin_s < CLOSED_S else \
            f"not closed: the ball is through {margin_s - CLOSED_S:.1f} s too soon"
        return Finding(margin_s < CLOSED_S, f"The lane to their {man} is {state}.")

    return criterion


def presses(number: str) -> Criterion:
    """He is on the ball: at arm's length up to 2 m, goal-side."""
    def criterion(stand: Stand) -> Finding:
        away_m = stand.ball_m(number)
        goal_side = stand.goal_m(stand.own(number)) <= stand.goal_m(stand.situation.ball_xy) + LEVEL_M
        if not goal_side:
            return Finding(False, f"{number} is not goal-side of the ball.")
        if away_m > 2.0:
            return Finding(False, f"{number} is {away_m:.1f} m from the ball: come {away_m - 2.0:.1f} m nearer.")
        return Finding(away_m >= 0.5, f"{number} is {away_m:.1f} m from the ball"
                       + (", goal-side." if away_m >= 0.5 else ": he has run past his arm's length."))

    return criterion


def leaves_ball(number: str) -> Criterion:
    """He leaves the ball to the presser."""
    def criterion(stand: Stand) -> Finding:
        away_m, least_m = stand.ball_m(number), stand.plan.rulebook.settings.contain_distance_m
        words = f"{number} is {away_m:.1f} m from the ball: two press one ball."
        return Finding(away_m >= least_m, words if away_m < least_m else "")

    return criterion


def hides(number: str, man: str) -> Criterion:
    """The presser's shadow, as far as it is trusted, lies on an opponent."""
    def criterion(stand: Stand) -> Finding:
        off_deg = abs(stand.off_goal_line_deg(stand.opponent(man)) - stand.off_goal_line_deg(stand.own(number)))
        off_deg = min(off_deg, 360.0 - off_deg)
        beside_deg = off_deg - stand.plan.rulebook.settings.trusted_shadow_deg
        if beside_deg > 0:
            return Finding(False, f"Their {man} is {beside_deg:.0f} degrees outside {number}'s shadow.")
        nearer = stand.ball_m(number) < dist(stand.opponent(man), stand.situation.ball_xy)
        return Finding(nearer, f"Their {man} is in {number}'s shadow." if nearer else
                       f"{number} stands behind their {man}: he hides nobody.")

    return criterion


def goal_side(number: str, man: str) -> Criterion:
    """He is nearer the own goal than an opponent, or level with him."""
    def criterion(stand: Stand) -> Finding:
        ahead_m = stand.goal_m(stand.own(number)) - stand.goal_m(stand.opponent(man))
        words = f"{number} is goal-side of their {man}." if ahead_m <= LEVEL_M else \
            f"{number} is {ahead_m:.1f} m further from our goal than their {man}."
        return Finding(ahead_m <= LEVEL_M, words)

    return criterion


def guards_far_side(number: str, man: str) -> Criterion:
    """A switch to an opponent finds him there: lofted, with his first touch."""
    def criterion(stand: Stand) -> Finding:
        limit_m, away_m = switch_slack_m(stand, man), dist(stand.own(number), stand.opponent(man))
        words = f"{number} may be {limit_m:.1f} m from their {man} while a switch flies, and is {away_m:.1f} m off"
        return Finding(away_m <= limit_m, f"{words}." if away_m <= limit_m else
                       f"{words}: {away_m - limit_m:.1f} m too far.")

    return criterion


def tucks_in(number: str, man: str, at_least_m: float) -> Criterion:
    """He does not stand wide beside his man: so many metres nearer to the middle."""
    def criterion(stand: Stand) -> Finding:
        inside_m = abs(stand.opponent(man)[1]) - abs(stand.own(number)[1])
        words = f"{number} is tucked in {inside_m:.1f} m" if inside_m >= 0 else f"{number} is {-inside_m:.1f} m wider"
        return Finding(inside_m >= at_least_m, f"{words} against their {man}" + (
            "." if inside_m >= at_least_m else f": at least {at_least_m:.1f} m, or the middle is empty."))

    return criterion


def switch_slack_m(stand: Stand, man: str) -> float:
    """How far from an opponent his guard may stand while a switch to him is in the air, m."""
    p = stand.plan.picture
    numbers = [p.opp_number(0, m) if p.opp_here[0, m] else "" for m in range(p.opp.shape[1])]
    return float(limit_m(p, p.carrier * 0 + numbers.index(man))[0])


def in_line(*numbers: str) -> Criterion:
    """They stand on one line, within the spread that the settings allow."""
    def criterion(stand: Stand) -> Finding:
        xs = {number: stand.own(number)[0] for number in numbers}
        spread_m, most_m = max(xs.values()) - min(xs.values()), stand.plan.rulebook.settings.line_spread_m
        words = f"The line is {spread_m:.1f} m deep"
        return Finding(spread_m <= most_m, f"{words}." if spread_m <= most_m else
                       f"{words}, {most_m:g} m at most: {min(xs, key=xs.__getitem__)} is the deepest.")

    return criterion


def apart(first: str, second: str, least_m: float, most_m: float) -> Criterion:
    """Two of ours are neither too near nor too far from each other."""
    def criterion(stand: Stand) -> Finding:
        away_m = dist(stand.own(first), stand.own(second))
        fits = least_m <= away_m <= most_m
        return Finding(fits, f"{first} and {second} are {away_m:.1f} m apart" + (
            "." if fits else f": {least_m:.1f} to {most_m:.1f} m is right."))

    return criterion


def near(number: str, wanted: Callable[[Stand], XY], most_m: float, place: str) -> Criterion:
    """He is at a place that the engine gives, within a distance."""
    def criterion(stand: Stand) -> Finding:
        away_m = dist(stand.own(number), wanted(stand))
        words = f"{number} is {away_m:.1f} m from {place}"
        return Finding(away_m <= most_m, f"{words}." if away_m <= most_m else f"{words}, {most_m:.1f} m at most.")

    return criterion


def no_fault(*kinds: str) -> Criterion:
    """None of these faults is in the picture; all faults where none is named."""
    def criterion(stand: Stand) -> Finding:
        found = [f for f in find_faults(stand.situation, stand.plan.rulebook) if not kinds or f.kind in kinds]
        return Finding(not found, f"{found[0].kind.capitalize()}: {found[0].why}" if found else
                       f"No {listed(list(kinds), 'or')}." if kinds else "No fault is left.")

    return criterion


def lowers_danger(share: float = 1.0) -> Criterion:
    """Danger, as everybody stands, is at most this share of what it was (our own measure, D)."""
    def criterion(stand: Stand) -> Finding:
        after = plan_press(stand.situation, stand.plan.rulebook).danger[0] / stand.plan.danger[0]
        return Finding(after <= share, f"Danger is {100 * after:.0f} % of what it was"
                       + ("." if after <= share else f", {100 * share:.0f} % at most."))

    return criterion


# -- What a team's placing must do, whoever does it: men taken, gaps closed, and nothing opened elsewhere.


def taken(man: str) -> Criterion:
    """Somebody takes the pass to an opponent away: he cuts it out, or is goal-side of him by his first touch."""
    def criterion(stand: Stand) -> Finding:
        now = Taken(stand)
        by = now.by(man)
        return Finding(bool(by), f"The pass to their {man}: {by[0]} takes it away." if by else _free(now, man))

    return criterion


def closes_gap(first: str, second: str) -> Criterion:
    """The two are near enough to each other, or nobody behind them is free."""
    def criterion(stand: Stand) -> Finding:
        gap = gap_between(stand, (first, second))
        still = f" {_free(Taken(stand), gap.man)}" if gap.open and gap.man else ""
        return Finding(not gap.open, f"{gap.said}: {'open' if gap.open else 'closed'}.{still}")

    return criterion


def stays_taken() -> Criterion:
    """Whoever was taken is taken still."""
    def criterion(stand: Stand) -> Finding:
        before, now = Taken(Stand(stand.plan, stand.plan.situation)), Taken(stand)
        lost = sorted(now.free - before.free, key=by_number)
        return Finding(not lost, f"You have opened another way. {_free(now, lost[0])}" if lost else "")

    return criterion


def no_new_fault() -> Criterion:
    """No fault is in the picture that was not there before."""
    def criterion(stand: Stand) -> Finding:
        before, now = (find_faults(s, stand.plan.rulebook) for s in (stand.plan.situation, stand.situation))
        new = [fault for fault in now if fault.kind not in {old.kind for old in before}]
        return Finding(not new, f"{new[0].kind.capitalize()}: {new[0].why}" if new else "")

    return criterion


def _free(now: Taken, man: str) -> str:
    """How far the nearest is from taking him."""
    who, late_s, goal_side = now.nearest(man)
    if late_s > 0:
        return f"Their {man} is free: {who} is nearest, {late_s:.1f} s late."
    return f"Their {man} is free: {who} is near, but {'in no shadow' if goal_side else 'on the wrong side of him'}."
