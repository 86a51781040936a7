"""Lesson 04: who covers: the short options, one man each, how near, and who takes over when the presser is beaten.

All scenes are invented. How far off a man a cover may stand is own arithmetic, named in `pressinglib.teach.stand`; how
far covers stay behind the presser is common practice, in the numbers of `cover_distances_m`.
"""

from collections.abc import Sequence
from math import dist, floor

from pressinglib import Plan, Player, Situation, scene
from pressinglib.roles.balance import cover_distance_m
from pressinglib.roles.presser import way_times
from pressinglib.show.judged import ran
from pressinglib.teach import Band, Choose, Denial, Finding, PlacePlayers, SetNumber, Stand, asks_of
from pressinglib.teach.choices import SAME_S, Choices, apart, off_him, soonest
from pressinglib.teach.criteria import denies, leaves_ball
from pressinglib.teach.pictures import drawn, in_tenths, placed, towards

ask = asks_of("lesson_04.md")
NEAR_BY = ("6", "8", "9", "11")  # those who could go to their 8
NEAREST = 5  # so many of theirs are asked about
WIDE_M, ABOUT = 3.0, 0.35  # still right: so much less than the limit; such a part off the usual distance (own choice)
GOAL_SIDE_M, LEVEL_M = 1.5, 4.0  # so far behind his man he is goal-side; a pass so little forward or back is square
NEAREST_IS_NOT_FIRST = placed(scene("against a back three"), {"6": (13, 7), "9": (29, 4)})
EASY_PASS = scene("worked scene").moved("pressing", "8", (3, -7))  # to their 6; our 8 is goal-side of their 10
BEATEN = scene("wingers high").moved("pressing", "10", (20.5, 3.5))  # their 6 has gone past 10, straight at our goal
STRAIGHT = 1  # of the ways out
BEHIND = ("6", "7", "8", "9")


def _near_the_ball(situation: Situation) -> list[Player]:
    """Their five nearest to the ball, without the man on it."""
    away = sorted(situation.possession, key=lambda man: dist(man.xy, situation.ball_xy))
    return [man for man in away if man.number != situation.on_ball][:NEAREST]


def first_goal_side(man: str, ours: Sequence[str]) -> Choices:
    """Each of some of ours, whether he is first goal-side of one of theirs, of those who leave nobody: and his run."""
    def choices(plan: Plan) -> dict[str, Finding]:
        s, rules = plan.situation, plan.rulebook.settings
        spot = towards(s.player("possession", man).xy, s.pitch.own_goal_xy, GOAL_SIDE_M)
        stands = {n: s.player("pressing", n).xy for n in ours}
        after_s = {n: round(float(rules.running.rest_time(dist(stands[n], spot), rules.reaction_s)), 1) for n in ours}
        leaves = {n: job.mark for n, job in plan.assignments.items() if job.mark not in (None, man)}
        last_s = min((after_s[n] for n in ours if n not in leaves), default=0.0) + SAME_S
        return {n: Finding(n not in leaves and after_s[n] <= last_s,
                           f"{n} is goal-side of him after {after_s[n]:.1f} s, "
                           + (f"but leaves their {leaves[n]}." if n in leaves else "and leaves nobody."),
                           seen=(ran(n, stands[n], spot, after_s[n]),)) for n in ours}

    return choices


def left_alone(plan: Plan) -> dict[str, Finding]:
    """Each of their nearest, whether he is left alone with reason: nobody has him, and he is hidden or not ahead."""
    s, found = plan.situation, {}
    stand = Stand(plan, placed(s, {n: in_tenths(job.target_xy) for n, job in plan.assignments.items()}))
    for man in _near_the_ball(s):
        has = [n for n, job in plan.assignments.items() if job.mark == man.number] or [
            n for n in stand.by(man.number) if n != plan.presser]
        hidden = plan.account[man.number] == "shadow"
        why = f"{has[0]} has him" if has else f"nobody goes to him, for {plan.presser} hides him" if hidden else \
            f"nobody goes to him, and the pass to him goes {_way(s, man)}"
        found[man.number] = Finding(not has and (hidden or _way(s, man) != "forward"), f"Their {man.number}: {why}.")
    return found


def _way(situation: Situation, man: Player) -> str:
    """Whether a pass to him goes forward, square or back."""
    ahead_m = situation.ball_xy[0] - man.xy[0]
    return "square" if abs(ahead_m) <= LEVEL_M else "forward" if ahead_m > 0 else "back"


def passes(plan: Plan) -> str:
    """How long the passes to them are, and which of them go forward."""
    s = plan.situation
    said = (f"{dist(man.xy, s.ball_xy):.0f} m {_way(s, man)} to {man.number}" for man in _near_the_ball(s))
    return f"The passes: {', '.join(said)}."


def off_their_6(plan: Plan) -> Band:
    """How far off their 6 a cover may stand: the limit, and a little tighter."""
    slack_m = Denial(plan, "6", (0.0, 0.0)).slack_m
    return Band(max(slack_m - WIDE_M, 0.5), floor(2 * slack_m) / 2, slack_m)


def cover_band(plan: Plan) -> Band:
    """How far behind the presser the cover stands who guards the straight way."""
    distance_m = float(cover_distance_m(plan.picture)[0])
    return Band((1 - ABOUT) * distance_m, distance_m, (1 + ABOUT) * distance_m)


def first_there(plan: Plan) -> dict[str, Finding]:
    """Each of those behind, whether he is the first in the carrier's straight way."""
    p = plan.picture
    times = {n: round(float(way_times(p)[0, p.own_index(0, n), STRAIGHT]), 1) for n in BEHIND}
    return soonest(times, lambda n: f"{n} could be in his way after {times[n]:.1f} s." if times[n] < float("inf") else
                   f"{n} only chases: he never gets in front of the man.")


covers = ask("covers", NEAREST_IS_NOT_FIRST, Choose, "player",
    first_goal_side("8", NEAR_BY), far=off_him("8", NEAR_BY),
    others=(placed(NEAREST_IS_NOT_FIRST, {"6": (9, 9), "9": (26, 2)}),))

no_cover = ask("no_cover", scene("worked scene"), Choose, "opponent", left_alone, far=passes,
    others=(scene("low block"), scene("back five")))

two_covers = ask("two_covers", placed(EASY_PASS, {"10": (18, 10), "11": (20, 15)}), PlacePlayers, ("10", "11"),
    (denies("10", "6"), denies("11", "2"), leaves_ball("11")))

how_near = ask("how_near", EASY_PASS, SetNumber, "m", off_their_6,
    moved=lambda s, m: placed(s, {"10": towards(s.player("possession", "6").xy, s.pitch.own_goal_xy, m)}),
    seen=lambda plan, s: [denies("10", "6")(Stand(plan, s))],
    others=(EASY_PASS.moved("possession", "6", (29, 7)), EASY_PASS.moved("possession", "6", (14, -5))))

high_up = ask("high_up", drawn("two behind each other, high"), SetNumber, "m", cover_band, slider=(0.0, 16.0),
    moved=lambda s, m: placed(s, {"6": towards(s.player("pressing", "10").xy, s.pitch.own_goal_xy, m)}),
    seen=lambda plan, s: apart(s, "10", "6"), others=(drawn("two behind each other, home"),))

home = ask("home", drawn("two behind each other, home"), high_up.judge, others=(drawn("two behind each other, high"),))

who_next = ask("who_next", BEATEN, Choose, "player", first_there, far=off_him("6", BEHIND),
    others=(placed(BEATEN, {"6": (1, -15), "8": (7, 2)}),))
