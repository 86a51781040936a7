"""The press is broken, and what a coach expects then: the same rules from the new ball, at once.

The nearest presses, even if he was the far-side player; who is beaten runs back on the inside; the full-back stays with
his man in the line; the back line shifts with the ball.
"""

from __future__ import annotations

import numpy as np
import pytest

from pressinglib.field.scene_file import scene
from pressinglib.play import Pass, Sequence, simulate
from tests.play.stories import duty, happened, place, story, when

BACK_FOUR = ("2", "5", "4", "3")


def line_middle(sequence: Sequence, time_s: float) -> np.ndarray:
    """Mean place of those of the back four who are in the line."""
    return np.mean([place(sequence, n, time_s) for n in BACK_FOUR], axis=0)


def test_pass_into_midfield() -> None:
    """Between 6 and 11, over 9 and 10: 6 is next to him, and the others run back while the ball travels."""
    q = story("into midfield")
    received = when(q, "pass received")
    assert all(q.at(t).plan.presser == "6" for t in (received, received + 1, received + 2))
    assert not happened(q, "press broken"), "more than half are goal-side again as he has it"
    for beaten in ("9", "11"):
        assert duty(q, beaten, received)[1].startswith("run back")
        assert place(q, beaten, received + 1.5)[0] < place(q, beaten, received)[0] - 4
    assert line_middle(q, received + 1)[1] > line_middle(q, 0.5)[1] + 2


def test_past_four_the_press_is_broken_until_they_are_back() -> None:
    q = simulate(scene("full-back on the ball"), [Pass(at_s=0.5)], duration_s=4)
    received = when(q, "pass received")
    assert received <= when(q, "press broken") <= received + 0.2
    assert when(q, "recovered") - received < 3.0


def test_the_full_back_stays_in_the_line_with_his_man() -> None:
    """Their 11 is outside of the ball and 11 is beaten: 3 does not leave the line for the ball, their 11 is his."""
    q = story("into midfield")
    received = when(q, "pass received")
    for t in (received - 0.2, received + 1, received + 2):
        assert q.at(t).plan.assignments["3"].role == "back line"
        him = np.array(q.at(t).situation.player("possession", "7").xy)
        apart = {n: np.hypot(*(place(q, n, t) - him)) for n in (*BACK_FOUR, "6", "11")}
        assert min(apart, key=apart.__getitem__) == "3"


@pytest.mark.parametrize("side", ["inside", "straight", "outside"])
def test_presser_dribbled(side: str) -> None:
    """Another takes over at once, and goes alone; the beaten one runs back and does not chase."""
    q = story(f"past him {side}")
    beaten = when(q, "presser beaten")
    assert happened(q, "presser beaten")[0].pressing == ("9",)
    after = {q.at(t).plan.presser for t in np.arange(beaten + 0.1, beaten + 2.0, 0.1)}
    assert after == {"11" if side == "outside" else "10"}, "first in his way of those who are goal-side"
    x = [place(q, "9", beaten + t)[0] for t in (0.7, 1.4, 2.1)]
    assert x[0] > x[1] > x[2] and x[0] - x[2] > 3
    next_one = after.pop()
    assert happened(q, "taken over")[0].pressing == (next_one, "9")
    assert happened(q, "carrier contained")[-1].pressing == (next_one,)


@pytest.mark.parametrize(("side", "sign"), [("inside", -1), ("outside", 1)])
def test_the_line_goes_with_the_dribble(side: str, sign: int) -> None:
    q = story(f"past him {side}")
    beaten = when(q, "presser beaten")
    assert sign * (line_middle(q, 6.5)[1] - line_middle(q, beaten)[1]) > 1.5
    assert line_middle(q, beaten + 1)[0] < line_middle(q, beaten - 0.5)[0] - 1.5, "open ball: the line drops"


def test_switch_to_the_far_side() -> None:
    """The far-side player goes while the ball travels, steers to the line; the line and who has no man shift across."""
    q = story("switch")
    played, received = when(q, "pass played"), when(q, "pass received")
    assert q.at(played - 0.1).plan.assignments["7"].duty.startswith("guard the far side")
    assert {q.at(t).plan.presser for t in np.arange(played, 6.9, 0.1)} == {"7"}
    assert q.at(received).plan.steer == "right"
    assert not happened(q, "receiver free")
    gone = {n: place(q, n, received + 1.5)[1] - place(q, n, played + 0.5)[1] for n in (*BACK_FOUR, "11")}
    assert all(metres < -5 for metres in gone.values()), gone
    assert q.at(received).plan.assignments["6"].mark == "8", "who has a man keeps him"
    assert not happened(q, "press broken"), "the block is still goal-side of the ball"


def test_over_the_top_the_keeper_sweeps() -> None:
    """A ball 12 m in front of him: he is there, waits where it comes down, and has it."""
    q = story("over the top")
    won = happened(q, "pass intercepted")
    assert won and won[0].pressing == ("1",)
    assert place(q, "1", won[0].time_s - 0.6) == pytest.approx(place(q, "1", won[0].time_s - 0.1), abs=1.0)
    assert {q.at(t).plan.presser for t in np.arange(0.8, 4.2, 0.1)} == {"5"}


def test_over_the_full_back() -> None:
    """The full-back turns and runs with his man, goal-side of him; the line and everybody else run back."""
    q = story("over the full-back")
    played, received = when(q, "pass played"), when(q, "pass received")
    assert {q.at(t).plan.presser for t in np.arange(played + 0.1, 6.9, 0.1)} == {"3"}
    goal = np.array([-52.5, 0.0])
    his = np.array(q.at(received + 1).situation.player("possession", "7").xy)
    assert np.hypot(*(place(q, "3", received + 1) - goal)) < np.hypot(*(his - goal))
    assert all(place(q, n, received)[0] < place(q, n, played)[0] - 4 for n in (*BACK_FOUR, "6", "10", "11", "9"))
    assert when(q, "press broken") >= received


def test_beaten_players_run_towards_the_near_post_of_a_wide_ball() -> None:
    """Ball wide: on the inside line, towards the near post and not towards the ball."""
    q = story("over the full-back")
    for number in ("6", "11"):
        start, end = (place(q, number, t) for t in (2.0, 4.0))
        way = end - start
        to_post = np.array([-52.5, 3.66]) - start
        angle = np.degrees(np.arccos(way @ to_post / np.hypot(*way) / np.hypot(*to_post)))
        assert angle < 30, (number, angle)
