"""Tables to read beside a picture: everybody's job, plans side by side, what an answer leaves open."""

from __future__ import annotations

from collections.abc import Mapping

from pressinglib.field.situation import Situation
from pressinglib.roles.faults import find_faults
from pressinglib.roles.plan import Plan, plan_press
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import ROLES
from pressinglib.roles.snapshot import Snapshot
from pressinglib.tables import Table, by_number, listed

OWN_MEASURE = "Side by side: danger is this library's own measure, and no study stands behind the number."
GAP_FAULTS = ("gap open", "gap open with a man in it")


def jobs(plan: Plan) -> Table:
    """Everybody's job in a plan, presser first: number, role, and why.

    Examples
    --------
    >>> from pressinglib.field.scene_file import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> jobs(plan_press(scene("worked scene")))
    No.  Role       Why
    9    pressure   First to their 5 on the ball: ...
    """
    in_order = sorted(plan.assignments.values(), key=lambda job: ROLES.index(job.role))
    return Table(("No.", "Role", "Why"), [(job.number, job.role, job.reason) for job in in_order])


def side_by_side(plans: Mapping[str, Plan]) -> Table:
    """Plans, one a row under a few words: who goes and what stays open, for a case in which coaches differ.

    Examples
    --------
    >>> from pressinglib.field.scene_file import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> side_by_side({"here": plan_press(scene("worked scene"))})
    plan  goes  there in  steers  open
    here  9     3.3 s     left    1
    """
    return Table(("plan", "goes", "there in", "steers", "open"),
                 [(name, *_in_short(plan)) for name, plan in plans.items()])


def _in_short(plan: Plan) -> tuple[str, str, str, str]:
    """Presser, his time, the steer side, open opponents."""
    time = f"{plan.assignments[plan.presser].arrival_s:.1f} s" if plan.presser else "-"
    side = plan.steer if plan.steer != "none" else "neither way"
    return plan.presser or "nobody", time, side, listed(man for man, word in plan.account.items() if word == "free")


def what_stays_open(plays: Mapping[str, Plan | Situation], rulebook: Rulebook | None = None) -> Table:
    """Danger in hundredths, opponents with an open lane and open gaps, of plans carried out or pictures as they stand.

    Examples
    --------
    >>> from pressinglib.field.scene_file import scene
    >>> here = scene("worked scene")
    >>> what_stays_open({"as it stands": here, "runs made": plan_press(here)})
    answer        danger  lanes open to  gaps open
    as it stands  ...
    """
    rules = rulebook or Rulebook()
    rows = [(name, *(_carried_out(what) if isinstance(what, Plan) else _standing(what, rules)))
            for name, what in plays.items()]
    return Table(("answer", "danger", "lanes open to", "gaps open"),
                 [(name, 100 * danger, listed(sorted(lanes, key=by_number)), listed(gaps, nobody="none"))
                  for name, danger, lanes, gaps in rows], {"danger": ".0f"}, notes=[OWN_MEASURE])


def _carried_out(plan: Plan) -> tuple[float, list[str], list[str]]:
    """Danger, open lanes and gaps of a plan once it is carried out."""
    return (plan.danger[1], [row["opponent"] for row in plan.lanes if row["state"] == "open"],
            ["-".join(row["between"]) for row in plan.gaps if row["state"] == "open"])


def _standing(situation: Situation, rulebook: Rulebook) -> tuple[float, list[str], list[str]]:
    """The same of a picture as it stands."""
    st = Snapshot.of(situation, rulebook)
    lanes = [st.p.opp_number(0, int(m)) for m in (st.lane_open & st.counted).nonzero()[0]]
    gaps = ["-".join(f.players[:2]) for f in find_faults(situation, rulebook) if f.kind in GAP_FAULTS]
    return plan_press(situation, rulebook).danger[0], lanes, gaps
