"""The press is broken, and what a coach expects then: the same rules from the new ball, at once.

Written down before the sequences were run: the nearest presses, even if he was the far-side player; who is beaten runs
back on the inside; the full-back covers while the midfield has nobody for the outside, and goes home when it has; the
back line shifts with the ball.
"""

from __future__ import annotations

import numpy as np
import pytest

from pressinglib.play import Sequence
from tests.play.stories import duty, place, story, when

BACK_FOUR = ("2", "5", "4", "3")


def line_middle(sequence: Sequence, time_s: float) -> np.ndarray:
    """Mean place of those of the back four who are in the line."""
    return np.mean([place(sequence, n, time_s) for n in BACK_FOUR], axis=0)


def test_pass_into_midfield() -> None:
    """Between 6 and 11, over 9 and 10: 6 is next to him."""
    q = story("into midfield")
    received = when(q, "pass received")
    assert all(q.at(t).plan.presser == "6" for t in (received, received + 1, received + 2))
    assert received <= when(q, "press broken") <= received + 0.2
    assert when(q, "recovered") - received < 3.0
    for beaten in ("9", "11"):
        assert duty(q, beaten, received)[1].startswith("run back")
        assert place(q, beaten, received + 1.5)[0] < place(q, beaten, received)[0] - 4
    assert line_middle(q, received + 1)[1] > line_middle(q, 0.5)[1] + 2


def test_the_full_back_covers_until_the_winger_is_back() -> None:
    """Their 11 is outside of the ball and 11 is beaten: 3 goes; when 11 is there, 3 is in the line again."""
    q = story("into midfield")
    received = when(q, "pass received")
    assert q.at(received - 0.2).plan.assignments["3"].role == "cover"
    assert q.at(received - 0.2).plan.assignments["3"].mark == "11"
    job = q.at(4.4).plan.assignments
    assert (job["11"].role, job["11"].mark, job["3"].role) == ("cover", "11", "back line")


@pytest.mark.parametrize("side", ["inside", "straight", "outside"])
def test_presser_dribbled(side: str) -> None:
    """Another takes over at once, and goes alone; the beaten one runs back and does not chase."""
    q = story(f"past him {side}")
    beaten = when(q, "presser beaten")
    assert q.happened("presser beaten")[0].pressing == ("9",)
    after = {q.at(t).plan.presser for t in np.arange(beaten + 0.1, beaten + 2.0, 0.1)}
    assert after == {"10"}, "nearest of those who are goal-side"
    x = [place(q, "9", beaten + t)[0] for t in (0.7, 1.4, 2.1)]
    assert x[0] > x[1] > x[2] and x[0] - x[2] > 3
    if side == "outside":  # he was to be steered there, and the winger is with their full-back: 10 comes from inside
        assert q.happened("nobody takes over")
    else:
        assert q.happened("taken over")[0].pressing == ("10", "9")
        assert q.happened("carrier contained")[-1].pressing == ("10",)


@pytest.mark.parametrize(("side", "sign"), [("inside", -1), ("outside", 1)])
def test_the_line_goes_with_the_dribble(side: str, sign: int) -> None:
    q = story(f"past him {side}")
    beaten = when(q, "presser beaten")
    assert sign * (line_middle(q, 6.5)[1] - line_middle(q, beaten)[1]) > 1.5
    assert line_middle(q, beaten + 1)[0] < line_middle(q, beaten - 0.5)[0] - 1.5, "open ball: the line drops"


def test_switch_to_the_far_side() -> None:
    """The far-side player goes while the ball travels, steers to the line, and everybody shifts across."""
    q = story("switch")
    played, received = when(q, "pass played"), when(q, "pass received")
    assert q.at(played - 0.1).plan.assignments["7"].duty.startswith("guard the far side")
    assert {q.at(t).plan.presser for t in np.arange(played, 6.9, 0.1)} == {"7"}
    assert q.at(received).plan.steer == "right"
    assert not q.happened("receiver free")
    gone = {n: place(q, n, received + 1.5)[1] - place(q, n, played + 0.5)[1] for n in (*BACK_FOUR, "6", "11")}
    assert all(metres < -5 for metres in gone.values()), gone
    assert not q.happened("press broken"), "the block is still goal-side of the ball"


def test_over_the_top_the_keeper_sweeps() -> None:
    """A ball 12 m in front of him: he is there, waits where it comes down, and has it."""
    q = story("over the top")
    won = q.happened("pass intercepted")
    assert won and won[0].pressing == ("1",)
    assert place(q, "1", won[0].time_s - 0.6) == pytest.approx(place(q, "1", won[0].time_s - 0.1), abs=1.0)
    assert {q.at(t).plan.presser for t in np.arange(0.8, 4.2, 0.1)} == {"5"}


def test_over_the_full_back() -> None:
    """The full-back turns and runs with his man, goal-side of him; the line and everybody else run back."""
    q = story("over the full-back")
    played, received = when(q, "pass played"), when(q, "pass received")
    assert {q.at(t).plan.presser for t in np.arange(played + 0.1, 6.9, 0.1)} == {"3"}
    goal = np.array([-52.5, 0.0])
    his = np.array(q.at(received + 1).situation.player("possession", "11").xy)
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
