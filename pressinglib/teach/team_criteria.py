"""What a team's placing must do, whoever does it: men taken, gaps closed, and nothing opened elsewhere."""

from __future__ import annotations

from pressinglib.roles.faults import find_faults
from pressinglib.teach.criteria import Criterion
from pressinglib.teach.gap import by_number, gap_between
from pressinglib.teach.stand import Stand
from pressinglib.teach.taken import Taken
from pressinglib.teach.verdict import Finding


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
