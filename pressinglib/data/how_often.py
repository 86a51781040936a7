"""How often something is missing in a match: faults by the moments in which they are seen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from pressinglib.data.match_plan import SIDES, MatchPlan
from pressinglib.data.shares import Share
from pressinglib.errors import UnknownName
from pressinglib.roles.fault_frames import faults_in_frames
from pressinglib.roles.faults import KINDS

BALANCE = ("far side too narrow", "gap open with a man in it", "no balance")


@dataclass(frozen=True, repr=False)
class HowOften:
    """For each kind of fault its share of the moments, and the share of moments with any of them."""

    shares: dict[str, Share] = field(default_factory=dict)
    any_of_them: Share = field(default_factory=lambda: Share(0, 0))

    def __repr__(self) -> str:
        rows = [*self.shares.items(), ("any of these", self.any_of_them)]
        return "\n".join(f"{words}: {share}" for words, share in rows)


def how_often(plan: MatchPlan, kinds: Sequence[str] = BALANCE) -> HowOften:
    """In how many of the planned moments each fault is seen.

    Parameters
    ----------
    plan : MatchPlan
        Its `per_second` says how many moments are looked at; about 7 ms each.
    kinds : sequence of str
        As `pressinglib.roles.faults.KINDS` names them. By default those of missing balance.

    Returns
    -------
    HowOften

    Raises
    ------
    UnknownName

    Notes
    -----
    Faults are seen from one picture each (grade D): what a team leaves open on purpose counts as well.
    """
    for kind in kinds:
        if kind not in KINDS:
            raise UnknownName("fault", kind, KINDS)
    seen: dict[str, int] = dict.fromkeys(kinds, 0)
    moments = with_any = 0
    for chunk in plan.chunks:
        for side, _ in SIDES:
            rows, frames = plan.frames(chunk, side)
            faults = faults_in_frames(frames, plan.rulebook)
            found = {(fault.frame, fault.kind) for fault in faults if fault.kind in seen}
            moments += len(rows)
            with_any += len({frame for frame, _ in found})
            for _, kind in found:
                seen[kind] += 1
    return HowOften({kind: Share(seen[kind], moments) for kind in kinds}, Share(with_any, moments))
