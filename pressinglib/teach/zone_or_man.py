"""Zone or man: the pressing team at the spots of its plan, or each goal-side of an opponent, and what it has to run."""

from __future__ import annotations

from math import dist

from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan
from pressinglib.teach.placed import placed

GOAL_SIDE_M = 1.5  # an arm's length (common practice)


def man_for_man(situation: Situation) -> Situation:
    """Everybody 1.5 m goal-side of an opponent, the pairs with the least running in all (Hungarian method).

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> metres_run(scene("worked scene"), man_for_man(scene("worked scene")))
    '118 m of running'
    >>> metres_run(scene("worked scene"), scene("worked scene"))
    '0 m of running'
    """
    from scipy.optimize import linear_sum_assignment

    ours = [p for p in situation.pressing if not p.is_goalkeeper]
    goal = situation.pitch.own_goal_xy
    places = []
    for man in (p for p in situation.possession if not p.is_goalkeeper):
        share = GOAL_SIDE_M / dist(man.xy, goal)
        places.append((man.xy[0] + share * (goal[0] - man.xy[0]), man.xy[1] + share * (goal[1] - man.xy[1])))
    rows, columns = linear_sum_assignment([[dist(p.xy, place) for place in places] for p in ours])
    return placed(situation, {ours[i].number: places[j] for i, j in zip(rows, columns, strict=True)})


def metres_run(before: Situation, after: Situation) -> str:
    """How far all of ours have to run from one picture to another, together."""
    return f"{sum(dist(p.xy, after.player('pressing', p.number).xy) for p in before.pressing):.0f} m of running"


def runs_made(plan: Plan) -> Situation:
    """Everybody at the spot that the plan gives him."""
    return placed(plan.situation, {n: (float(job.target_xy[0]), float(job.target_xy[1]))
                                    for n, job in plan.assignments.items()})
