"""Lesson 01: whose space it is, and how far the block shifts.

All scenes are invented. Shapes and heights are common practice; how far is worked out of passes. "Shift ten" moves the
whole block by one number: dragging ten men one by one would teach patience, and not that they go together.
"""

from math import dist

import numpy as np

from pressinglib import Plan, Situation, plan_press, scene
from pressinglib.field.player import XY
from pressinglib.physics import ball_time
from pressinglib.show import picture
from pressinglib.show.export import Picture
from pressinglib.show.judged import ran
from pressinglib.teach import Band, Choose, Denial, Finding, NameFault, PlacePlayers, SetNumber, Stand, asks_of, drawn
from pressinglib.teach.choices import NO_BAND, soonest
from pressinglib.teach.criteria import denies, guards_far_side, in_line, switch_slack_m, tucks_in
from pressinglib.teach.line_questions import across, ten_band, ten_shifted, whoever_is_latest

ask = asks_of("lesson_01.md")
AHEAD_S = 1.5  # so long a runner is followed ahead
BALL_SIDE_MAN, FAR_SIDE_MAN = "11", "7"
BALL_SIDE_BACK, FAR_SIDE_BACK = "2", "3"
LINE = ("2", "5", "4", "3")


def _times(plan: Plan, place: XY) -> dict[str, float]:
    """Seconds of everybody to a place, with reaction, from where he is and as he runs; the first first."""
    s = plan.rulebook.settings
    times = {p.number: float(s.running.time(p.xy, p.velocity, place, s.reaction_s))
             for p in plan.situation.pressing if not p.is_goalkeeper}
    return dict(sorted(times.items(), key=lambda item: (item[1], item[0])))


def first_at(plan: Plan, place: XY, ball_s: float = np.inf) -> dict[str, Finding]:
    """Who is first at a place, and before the ball: how far off everybody is, and when he is there."""
    times, at = _times(plan, place), {p.number: p.xy for p in plan.situation.pressing}

    def words(n: str, ends: str = "") -> str:
        return f"{n} is {dist(at[n], place):.1f} m away and there in {times[n]:.1f} s{ends}."

    found = soonest(times, words)
    first, near = next(iter(times)), min((n for n in times if not found[n].holds), key=lambda n: dist(at[n], place))
    found[first] = Finding(True, words(first, ": first") + f" {words(near)}" +
                           f" The ball needs {ball_s:.1f} s." * (ball_s < np.inf))
    return {n: Finding(each.holds and times[n] <= ball_s, each.words, seen=(ran(n, at[n], place, times[n]),))
            for n, each in found.items()}


def _ahead(situation: Situation) -> XY:
    """Where the fastest opponent will be."""
    runner = max(situation.possession, key=lambda p: np.hypot(*p.velocity))
    (x, y), (vx, vy) = runner.xy, runner.velocity
    return x + AHEAD_S * vx, y + AHEAD_S * vy


def whose_run(plan: Plan) -> dict[str, Finding]:
    """Who is first where the runner will be; nobody, if the ball is there before him."""
    place = _ahead(plan.situation)
    return first_at(plan, place, float(ball_time(dist(plan.situation.ball_xy, place), plan.rulebook.settings.ball_mps)))


def _first(plan: Plan, place: XY, count: int) -> str:
    """The first few at a place, and when."""
    return ", ".join(f"{n} in {t:.1f} s" for n, t in list(_times(plan, place).items())[:count])


def shift_band(plan: Plan) -> Band:
    """How many metres the back line must and may shift: a pass to the near winger, a switch to the far one."""
    s = plan.situation
    side = float(np.sign(s.ball_xy[1]))
    near_m = Denial(plan, BALL_SIDE_MAN, (0.0, 0.0)).slack_m
    far_m = switch_slack_m(Stand(plan, s), FAR_SIDE_MAN)

    def near_enough(back: str, man: str, limit_m: float) -> tuple[float, float]:
        along_m, across_m = np.subtract(s.player("possession", man).xy, s.player("pressing", back).xy).tolist()
        half_m = float(np.sqrt(max(limit_m**2 - along_m**2, 0.0)))
        return side * across_m - half_m, side * across_m + half_m

    ends = (near_enough(BALL_SIDE_BACK, BALL_SIDE_MAN, near_m), near_enough(FAR_SIDE_BACK, FAR_SIDE_MAN, far_m))
    low, high = max(0.0, ends[0][0], ends[1][0]), min(ends[0][1], ends[1][1])
    return Band(low, (low + high) / 2, high) if low < high else NO_BAND


def line_shifted(situation: Situation, metres: float) -> Situation:
    """The back four so many metres further to the ball's side, as far as the pitch goes."""
    return across(situation, LINE, float(np.sign(situation.ball_xy[1])) * metres)


def all_zones() -> Picture:
    """Whose ground is whose, everybody at rest."""
    return picture(plan_press(scene("full-back on the ball")), ("zones",))

whose_ball = ask("whose_ball", drawn("loose ball"), Choose, "player",
    lambda plan: first_at(plan, plan.situation.ball_xy), far=lambda plan: f"{_first(plan, plan.situation.ball_xy, 3)}.")

whose_man = ask("whose_man", drawn("runner between two"), Choose, "player", whose_run,
    far=lambda plan: f"Where he will be in {AHEAD_S:g} s: {_first(plan, _ahead(plan.situation), 2)}.")

how_far = ask("how_far", drawn("not shifted"), SetNumber, "m", shift_band, slider=(0.0, 30.0), moved=line_shifted,
    seen=lambda plan, s: [denies("2", "11")(Stand(plan, s)), guards_far_side("3", "7")(Stand(plan, s))],
    others=(line_shifted(drawn("not shifted"), 7.0), line_shifted(drawn("not shifted"), -5.0)))

ten_to_b = ask("ten_to_b", drawn("switched from 3 to 5"), SetNumber, "m", ten_band, slider=(0.0, 25.0),
    moved=ten_shifted, seen=whoever_is_latest,
    others=(drawn("inside from 5 to 4"), drawn("switched from 2 to 5")))

ten_to_c = ask("ten_to_c", drawn("inside from 5 to 4"), ten_to_b.judge,
    others=(drawn("switched from 3 to 5"), drawn("from 2 to 4")))

the_ends = ask("the_ends", drawn("ends asleep"), PlacePlayers, ("2", "3"),
    (denies("2", "11"), guards_far_side("3", "7"), tucks_in("3", "7", 6.0), in_line(*LINE)),
    places=lambda plan: _ends(plan.situation))

what_wrong = ask("what_wrong", drawn("front presses, back stays"),
    NameFault("block too long", ("broken line", "two press one ball", "far side too narrow")),
    others=(drawn("far side narrow"), drawn("two at the ball"), drawn("line broken")))


def _ends(situation: Situation) -> dict[str, XY]:
    """The full-backs beside their centre-backs, on their line."""
    side = float(np.sign(situation.ball_xy[1]))
    x = (situation.player("pressing", "5").xy[0] + situation.player("pressing", "4").xy[0]) / 2 + 1.0
    near, far = situation.player("possession", "11").xy, situation.player("possession", "7").xy
    return {"2": (x, near[1] - side * 6.0), "3": (x, far[1] + side * 22.0)}
