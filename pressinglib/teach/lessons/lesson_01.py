"""Lesson 01: whose space it is, and how far the block shifts.

All scenes are invented. Shapes and heights are common practice; how far is worked out of passes. "Shift ten" moves the
whole block by one number: dragging ten men one by one would teach patience, and not that they go together.
"""

from __future__ import annotations

from dataclasses import replace
from math import dist

import numpy as np

from pressinglib import Plan, Situation, plan_press, scene
from pressinglib.field.player import XY
from pressinglib.physics import ball_time
from pressinglib.show import picture
from pressinglib.show.export import Picture
from pressinglib.teach import Band, Choose, Denial, Exercise, Finding, NameFault, PlacePlayers, SetNumber, Stand
from pressinglib.teach.choices import NO_BAND
from pressinglib.teach.criteria import denies, guards_far_side, in_line, switch_slack_m, tucks_in
from pressinglib.teach.line_questions import across, in_block, ten_band, ten_shifted
from pressinglib.teach.pictures import NOBODY, Places, in_tenths, placed, running

SAME_S = 0.1  # no eye can tell less
AHEAD_S = 1.5  # so long a runner is followed ahead
BALL_SIDE_MAN, FAR_SIDE_MAN = "11", "7"
BALL_SIDE_BACK, FAR_SIDE_BACK = "2", "3"
LINE = ("2", "5", "4", "3")
TEN = SetNumber(
    "m", ten_band, "On the ball's new side one of theirs is left alone.",
    "In the middle, or on the side the ball came from, one of theirs is left alone.",
    "All ten go the same way, until nobody in your block or behind it is left alone at his first touch.",
    slider=(0.0, 25.0), moved=ten_shifted)


def _loose_ball() -> Situation:
    """A ball has got away from them between our lines: 8 is nearest to it and runs the other way."""
    loose = scene("worked scene").with_ball((9, -1))
    loose = placed(loose, {"8": (7, -5), "6": (1, 8), "10": (16, 3)}, {"10": (3, -14), "8": (6, 17)})
    return running(loose, {"8": (-1, -5), "10": (-4, -2)})


def _runner() -> Situation:
    """Their 10 leaves the ground of our 8 and runs across in front of the back line, into that of 6."""
    start = placed(scene("worked scene"), {"6": (4, 9), "8": (5, -9)}, {"10": (7, -4)})
    return running(start, {"8": (0, -2)}, {"10": (-1, 6)})


def _not_shifted() -> Situation:
    """The ball is with their left back at the touchline; midfield and attack have shifted, the back four has not."""
    return placed(scene("full-back on the ball"), {"2": (-4, -17), "5": (-7, -6), "4": (-7, 6), "3": (-4, 17)})


def _ends_asleep() -> Situation:
    """The centre-backs have shifted; the two full-backs have watched the ball."""
    return placed(scene("full-back on the ball"), {"2": (-2, -17), "5": (-6, -15), "4": (-6, -4), "3": (-9, 19)})


def _pressed(ours: Places = NOBODY, theirs: Places = NOBODY) -> Situation:
    """The worked scene with everybody in his place, but for these."""
    plan = plan_press(scene("worked scene"))
    return placed(runs_made(plan), ours, theirs)


def _ball_goes(start: str, end: str) -> Situation:
    """The ball has gone from one of theirs to another, all at rest; our block still stands as it stood before."""
    def ball_at(number: str) -> Situation:
        x, y = scene("worked scene").player("possession", number).xy
        return in_block(scene("worked scene").with_ball((x - 1, y), carrier=number))

    return replace(ball_at(end), pressing=ball_at(start).pressing)


def _times(plan: Plan, place: XY) -> dict[str, float]:
    """Seconds of everybody to a place, with reaction, from where he is and as he runs; the first first."""
    s = plan.rulebook.settings
    times = {p.number: float(s.running.time(p.xy, p.velocity, place, s.reaction_s))
             for p in plan.situation.pressing if not p.is_goalkeeper}
    return dict(sorted(times.items(), key=lambda item: (item[1], item[0])))


def first_at(plan: Plan, place: XY) -> dict[str, Finding]:
    """Who is first at a place, and how much later everybody else is."""
    times = _times(plan, place)
    first, least_s = next(iter(times.items()))
    away = {p.number: dist(p.xy, place) for p in plan.situation.pressing}
    return {n: Finding(t <= least_s + SAME_S, f"{n} is {away[n]:.1f} m away and there in {t:.1f} s" + (
        "." if t <= least_s + SAME_S else f", {first} is {away[first]:.1f} m away and there in {least_s:.1f} s."))
        for n, t in times.items()}


def _ahead(situation: Situation) -> XY:
    """Where the fastest opponent will be."""
    runner = max(situation.possession, key=lambda p: np.hypot(*p.velocity))
    (x, y), (vx, vy) = runner.xy, runner.velocity
    return x + AHEAD_S * vx, y + AHEAD_S * vy


def _run_in_numbers(plan: Plan) -> str:
    place = _ahead(plan.situation)
    ball_s = float(ball_time(dist(plan.situation.ball_xy, place), plan.rulebook.settings.ball_mps))
    return f"Where he will be in {AHEAD_S:g} s: {_first(plan, place, 2)}. The ball needs {ball_s:.1f} s."


def _first(plan: Plan, place: XY, count: int) -> str:
    """The first few at a place, and when."""
    return ", ".join(f"{n} in {t:.1f} s" for n, t in list(_times(plan, place).items())[:count])


def shift_band(plan: Plan) -> Band:
    """How many metres the back line must and may shift: a pass to the near winger, a switch to the far one."""
    s = plan.situation
    side = np.sign(s.ball_xy[1])
    near_m = Denial(plan, BALL_SIDE_MAN, (0.0, 0.0)).slack_m
    far_m = switch_slack_m(Stand(plan, s), FAR_SIDE_MAN)
    tries = np.arange(0.0, 30.0, 0.1)

    def fits(back: str, man: str, limit_m: float) -> np.ndarray:
        (x, y), (mx, my) = s.player("pressing", back).xy, s.player("possession", man).xy
        return np.asarray(np.hypot(x - mx, y + side * tries - my) <= limit_m)

    both = tries[fits(BALL_SIDE_BACK, BALL_SIDE_MAN, near_m) & fits(FAR_SIDE_BACK, FAR_SIDE_MAN, far_m)]
    return Band(float(both[0]), float(both.mean()), float(both[-1])) if len(both) else NO_BAND


def line_shifted(situation: Situation, metres: float) -> Situation:
    """The back four so many metres further to the ball's side, as far as the pitch goes."""
    return across(situation, LINE, float(np.sign(situation.ball_xy[1])) * metres)


def runs_made(plan: Plan) -> Situation:
    """Everybody at the spot that the plan gives him."""
    return placed(plan.situation, {n: in_tenths(job.target_xy) for n, job in plan.assignments.items()})


def all_zones() -> Picture:
    """Whose ground is whose, everybody at rest."""
    return picture(plan_press(scene("full-back on the ball")), ("zones",))


whose_ball = Exercise(
    "Whose ball is it?", "Click the one of yours who is first at the loose ball.",
    _loose_ball(), Choose("player", lambda plan: first_at(plan, plan.situation.ball_xy),
                          "The ground is his who is there first in seconds, as he runs now.",
                          lambda plan: f"{_first(plan, plan.situation.ball_xy, 3)}.", names_players=True),
    "Look at the dotted lines: who already runs the right way?")

whose_man = Exercise(
    "Whose man is he now?", "Their 10 runs on as the dotted line shows. Click the one of yours who takes him.",
    _runner(), Choose("player", lambda plan: first_at(plan, _ahead(plan.situation)),
                      "He takes him who is first where he will be, and there before the ball.",
                      _run_in_numbers, names_players=True),
    "Follow his line for a second and a half. Who is near there?")

how_far = Exercise(
    "How far does the line shift?", "Move the slider: how many metres does the back four go across?",
    _not_shifted(), SetNumber("m", shift_band, "Their 11 has the ball before 2 is with him.",
                              "A switch to their 7 is there before 3.",
                              "Two passes decide: the one to the near winger, and the switch to the far one.",
                              slider=(0.0, 30.0), moved=line_shifted),
    "Look at their two wingers, 11 and 7.",
    others=(line_shifted(_not_shifted(), 7.0), line_shifted(_not_shifted(), -5.0)))

ten_to_b = Exercise(
    "Shift ten: from A to B?", "Move the slider: how many metres do all ten go across, towards the ball?",
    _ball_goes("3", "5"), TEN, "Look at their wingers: who is far from everybody of yours?",
    others=(_ball_goes("5", "4"), _ball_goes("2", "5")))

ten_to_c = Exercise(
    "Shift ten: from B to C?", "Move the slider: how many metres do all ten go across, towards the ball?",
    _ball_goes("5", "4"), TEN, "Look at the side to which the ball has gone, and then at the side it came from.",
    others=(_ball_goes("3", "5"), _ball_goes("2", "4")))

the_ends = Exercise(
    "Where do the full-backs stand?", "Move {numbers}: near enough to their men, and in line with 5 and 4.",
    _ends_asleep(), PlacePlayers(
        ("2", "3"), (denies("2", "11"), guards_far_side("3", "7"), tucks_in("3", "7", 6.0), in_line(*LINE)),
        "With the near man by his first touch, with the far man by the switch, all four in one line.",
        lambda plan: _ends(plan.situation)),
    "Look at their 11 for 2, and at their 7 for 3.")

what_wrong = Exercise(
    "What is wrong here?", "Choose the one thing that makes the press useless.",
    _pressed({"2": (-25, -12), "5": (-26, -1), "4": (-26, 10), "3": (-25, 21), "1": (-42, 2)}),
    NameFault("block too long", ("broken line", "two press one ball", "far side too narrow")),
    "Measure first from front to back, then from side to side.",
    others=(_pressed({"7": (22, -8)}), _pressed({"10": (33.5, 7.5)}), _pressed({"5": (-12, -1)}, {"9": (-9.5, 1)})))


def _ends(situation: Situation) -> dict[str, XY]:
    """The full-backs beside their centre-backs, on their line."""
    side = float(np.sign(situation.ball_xy[1]))
    x = (situation.player("pressing", "5").xy[0] + situation.player("pressing", "4").xy[0]) / 2 + 1.0
    near, far = situation.player("possession", "11").xy, situation.player("possession", "7").xy
    return {"2": (x, near[1] - side * 6.0), "3": (x, far[1] + side * 22.0)}
