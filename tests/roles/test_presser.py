"""Who presses: the first who gets there, midfield and attack before the back line, and only from the line of
confrontation on. Rules of common practice; distances and times are own arithmetic."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from pressinglib import Rulebook, Situation, plan_press
from pressinglib.field.scene_file import scene

Small = Callable[..., Situation]
KEEPER = {"1": ("goalkeeper", (-45, 0))}
THEIR_KEEPER = {"1": ("goalkeeper", (48, 0))}
CARRIER = {"5": ("centre-back", (20, 0))}
ANYONE = Rulebook().with_settings(pressers="anyone")


def presser(picture: Situation, rulebook: Rulebook | None = None) -> str | None:
    return plan_press(picture, rulebook).presser


def test_first_who_arrives_presses(small: Small) -> None:
    ours = KEEPER | {"9": ("centre-forward", (12, 0)), "10": ("attacking midfielder", (12, 6))}
    assert presser(small(ours, THEIR_KEEPER | CARRIER, (20, 0))) == "9"
    running = ours | {"10": ("attacking midfielder", (12, 6), (6, -3))}
    assert presser(small(running, THEIR_KEEPER | CARRIER, (20, 0))) == "10"


def test_to_where_the_carrier_will_be(small: Small) -> None:
    ours = KEEPER | {"9": ("centre-forward", (14, -5)), "10": ("attacking midfielder", (14, 6))}
    theirs = THEIR_KEEPER | {"5": ("centre-back", (20, 0), (0, 5))}
    picture = small(ours, theirs, (20, 0))
    assert presser(picture) == "10"
    assert presser(picture, Rulebook().with_settings(lead_time_s=0)) == "9"


def test_receiver_is_the_target_while_a_pass_travels(small: Small) -> None:
    ours = KEEPER | {"9": ("centre-forward", (16, 0)), "7": ("right winger", (15, -18))}
    theirs = THEIR_KEEPER | CARRIER | {"3": ("left back", (20, -22))}
    assert presser(small(ours, theirs, (20, 0))) == "9"
    plan = plan_press(small(ours, theirs, (20, -2), receiver="3", ball_velocity=(0, -14)))
    assert (plan.presser, plan.assignments["7"].mark) == ("7", "3")


FRONT_AND_BACK = KEEPER | {"6": ("central holding midfielder", (9, 0)), "4": ("left centre-back", (12.5, 2))}


def test_front_goes_before_the_back_line(small: Small) -> None:
    picture = small(FRONT_AND_BACK, THEIR_KEEPER | CARRIER, (20, 0))
    assert presser(picture) == "6"
    assert presser(picture, ANYONE) == "4"


def test_back_line_steps_where_no_front_player_is_goal_side_or_near(small: Small) -> None:
    ours = KEEPER | {"6": ("central holding midfielder", (32, 0)), "4": ("left centre-back", (14, 2))}
    plan = plan_press(small(ours, THEIR_KEEPER | CARRIER, (20, 0)))
    assert plan.presser == "4" and plan.assignments["4"].duty == "step out and press their 5"


def test_back_line_steps_where_it_is_there_much_earlier(small: Small) -> None:
    far = FRONT_AND_BACK | {"6": ("central holding midfielder", (-2, 0))}
    picture = small(far, THEIR_KEEPER | CARRIER, (20, 0))
    assert presser(picture) == "4"
    assert presser(picture, Rulebook().with_settings(step_out_s=3)) == "6"


def test_goalkeeper_never_presses(small: Small) -> None:
    ours = {"1": ("goalkeeper", (18, 0)), "4": ("centre-back", (-20, 0)), "9": ("centre-forward", (-30, 5))}
    assert presser(small(ours, THEIR_KEEPER | CARRIER, (20, 0))) != "1"
    assert presser(small({"1": ("goalkeeper", (18, 0))}, THEIR_KEEPER | CARRIER, (20, 0))) is None


def test_of_two_equals_the_one_goal_side_goes(small: Small) -> None:
    side = 5.0
    ours = KEEPER | {"9": ("centre-forward", (20 + side, 0)), "10": ("attacking midfielder", (20 - side, 0))}
    assert presser(small(ours, THEIR_KEEPER | CARRIER, (20, 0)), ANYONE) == "10"


def test_line_of_confrontation(small: Small) -> None:
    worked = scene("worked scene")
    mid = Rulebook().with_settings(confrontation_x_m=17)
    plan = plan_press(worked, mid)
    assert (plan.presser, plan.timing, plan.steer) == (None, "hold", "none")
    assert plan.words.startswith("Nobody presses")
    assert presser(worked) == "9"
    assert presser(scene("low block"), mid) is not None


@pytest.mark.parametrize(("x", "short", "line", "goes"), [
    (36, 1, None, False), (34, 1, None, True), (26, 2, None, False), (24, 2, None, True), (36, 0, None, True),
    (8, 1, 17, False), (6, 1, 17, True)])
def test_each_man_short_lowers_the_line_by_ten_metres(small: Small, x: float, short: int, line: float | None,
                                                      goes: bool) -> None:
    """A high press with one man short confronts at x = 35, a mid block (x = 17) at 7: own arithmetic."""
    slots = ["goalkeeper", "centre-back", "central midfielder", "centre-forward", "right winger"]
    ours = {str(n): (slot, (x - 8 - 6 * n, 3 * n)) for n, slot in enumerate(slots)}
    theirs = {str(n): ("outfield", (x + 2.5 * n, 4 * n)) for n in range(len(slots) + short)}
    picture = small(ours, theirs, (x, 0))
    assert (presser(picture, Rulebook().with_settings(confrontation_x_m=line)) is not None) == goes


def test_nobody_presses_our_ball(small: Small) -> None:
    ours = KEEPER | {"9": ("centre-forward", (0, 0)), "10": ("attacking midfielder", (4, 4))}
    plan = plan_press(small(ours, THEIR_KEEPER | CARRIER, (0.5, 0)))
    assert (plan.state, plan.presser, plan.timing) == ("won", None, "hold") and "We have the ball" in plan.words


def test_loose_ball_is_gone_for(small: Small) -> None:
    ours = KEEPER | {"9": ("centre-forward", (0, 0)), "10": ("attacking midfielder", (4, 9))}
    plan = plan_press(small(ours, THEIR_KEEPER | CARRIER, (6, 0)))
    assert (plan.state, plan.presser, plan.timing) == ("loose", "9", "in time")
    assert plan.assignments["9"].target_xy == pytest.approx((6, 0))


@pytest.mark.parametrize(("x", "timing", "off_m"), [(6, "in time", 1.5), (-25, "late", 2.0)])
def test_late_presser_contains_at_two_metres(small: Small, x: float, timing: str, off_m: float) -> None:
    ours = KEEPER | {"9": ("centre-forward", (x, 0)), "4": ("centre-back", (-34, 3)), "5": ("centre-back", (-34, -3))}
    plan = plan_press(small(ours, THEIR_KEEPER | CARRIER, (20, 0)))
    assert (plan.presser, plan.timing) == ("9", timing)
    assert plan.end_distance_m == pytest.approx(off_m)


OUTNUMBERED = KEEPER | {"5": ("right centre-back", (-28, 0)), "4": ("left centre-back", (-28, 10))}
RUNNERS = THEIR_KEEPER | {"11": ("left winger", (-18, -20)), "7": ("right winger", (-18, 20))}


@pytest.mark.parametrize("y", [-3.0, 3.0])
def test_outnumbered_who_is_in_his_way_goes_and_stays_in_it(small: Small, y: float) -> None:
    """8 is the nearest but runs after him; 5 stands before him, and gives way no further across than he contains."""
    ours = OUTNUMBERED | {"8": ("right holding midfielder", (0, 7 if y > 0 else -7))}
    theirs = RUNNERS | {"10": ("attacking midfielder", (-10, y)), "9": ("centre-forward", (-25, 8))}
    plan = plan_press(small(ours, theirs, (-10, y)))
    end = plan.assignments["5"].target_xy
    assert plan.presser == "5" and end[0] < -20.0
    assert abs(end[1] - y * (end[0] + 52.5) / 42.5) <= 3.0
    assert plan.assignments["4"].mark == "9"


def test_outnumbered_who_has_the_runner_minds_him_and_the_other_delays(small: Small) -> None:
    """Common practice: one delays the ball, the next minds the most dangerous runner."""
    theirs = RUNNERS | {"10": ("attacking midfielder", (-10, 3)), "9": ("centre-forward", (-25, 4))}
    plan = plan_press(small(OUTNUMBERED, theirs, (-10, 3)))
    assert (plan.presser, plan.assignments["5"].duty) == ("4", "mind their 9")


def test_pass_is_met_in_time_or_not(small: Small) -> None:
    theirs = THEIR_KEEPER | CARRIER | {"3": ("left back", (20, -22))}
    def timing(x: float) -> str:
        ours = KEEPER | {"7": ("right winger", (x, -22)), "9": ("centre-forward", (16, 0))}
        return plan_press(small(ours, theirs, (20, -2), receiver="3", ball_velocity=(0, -14))).timing
    assert (timing(14), timing(-8)) == ("in time", "late")


@pytest.mark.parametrize("restart", ["goal kick", "keeper holds"])
def test_presser_waits_outside_the_area_until_the_ball_is_in_play(restart: str) -> None:
    picture = replace(scene("goalkeeper on the ball"), restart=restart)
    plan = plan_press(picture)
    assert (plan.state, plan.timing) == (restart, "hold") and plan.presser is not None
    edge = picture.pitch.length_m / 2 - 16.5
    assert all(a.target_xy[0] <= edge or abs(a.target_xy[1]) >= 20.16 for a in plan.assignments.values())
    assert "waits for the restart" in plan.words


def test_two_metres_at_a_throw_in() -> None:
    """Law 15: opponents stand at least 2 m from the place of the throw."""
    plan = plan_press(scene("throw-in"))
    assert plan.state == "throw-in" and plan.end_distance_m >= 2 - 1e-9


def test_one_of_the_line_who_is_at_the_carrier_goes_before_a_midfielder_who_is_not(small: Small) -> None:
    """Within 4 m and goal-side of him, and there a quarter of a second earlier; else midfield and attack go first."""
    theirs = {"1": ("goalkeeper", (49, 0)), "7": ("right winger", (10, 20))}

    def goes(back_x: float, front_x: float) -> str | None:
        ours = KEEPER | {"3": ("left back", (back_x, 20)), "6": ("left midfielder", (front_x, 20))}
        return plan_press(small(ours, theirs, (10, 20))).presser
    assert (goes(7, 4), goes(7, 6.6), goes(5.5, 3.5)) == ("3", "6", "6")
