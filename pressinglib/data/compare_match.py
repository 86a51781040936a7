"""Two rulebooks on the moments of a match."""

from __future__ import annotations

from typing import Any

from pressinglib.data.match_plan import SIDES, MatchPlan
from pressinglib.errors import BadInput
from pressinglib.roles.compare import Comparison, compare_rulebooks
from pressinglib.roles.rulebook import Rulebook


def compare_match(plan: MatchPlan, other: Rulebook, names: tuple[str, str] = ("these rules", "others"),
                  progress: Any = None) -> Comparison:
    """The rulebook of a match plan against another, on its moments.

    Parameters
    ----------
    plan : MatchPlan
        Its `per_second` says how many moments are compared; `with_faults` whether faults are counted.
    other : Rulebook
    names : (str, str)
    progress : function, optional
        Called with moments done and how many there are.

    Returns
    -------
    Comparison
        `picture` is the number of the frame; every row says who presses as well.

    Raises
    ------
    BadInput
        If no moment has a plan.
    """
    rows: list[dict[str, Any]] = []
    for chunk in plan.chunks:
        for side, _ in SIDES:
            moments, frames = plan.frames(chunk, side)
            if len(moments):
                found = compare_rulebooks(plan.rulebook, other, frames, names, plan.with_faults)
                rows += [{**row, "picture": int(plan.match.frame_id[k]), "pressing": side}
                         for k, row in zip(moments, found.rows, strict=True)]
        if progress is not None:
            progress(len(rows), len(plan.rows))
    if not rows:
        raise BadInput("match", expected="a moment in which a team has the ball", got="none",
                       todo="check what the import counted, or ask for more moments a second")
    return Comparison(names, tuple(sorted(rows, key=lambda row: (row["time_s"], row["pressing"]))))
