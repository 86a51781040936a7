"""One row a kind of fault: how the sound picture is spoiled to show it, and how nearly the same picture does not."""

from __future__ import annotations

from typing import Any, NamedTuple

from tests.roles.conftest import SOUND

Spoil = dict[str, Any]


class Case(NamedTuple):
    """How the sound picture is spoiled, who is at fault, and a picture almost the same that is not faulty.

    Under "before": how the picture a second before is spoiled.
    """

    shown: Spoil
    players: tuple[str, ...]
    near_miss: Spoil


OPPONENT_IN_GAP = {"8": (12, 12)}
WRONG_SIDE = {"11": (18, -2), "6": (4, 8), "3": (-5, 12)}
NOBODY_NEAR = {"6": (8, 4), "2": (2, 30), "4": (44, -20), "8": (0, 0)}
WING = {"11": (20, 24), "10": (14, 14), "6": (8, 20), "9": (20, 5), "7": (12, -8), "8": (4, 2), "3": (10.8, 29)}
WING_MEN = {"2": (12, 30), "7": (-5, 28), "8": (3, 18), "6": (18, 8), "5": (30, 14), "10": (4, -6), "4": (32, -8)}
LEVEL = {"5": (-8, -6), "4": (-8, 10), "2": (-8, -16), "3": (-8, 24), "9": (3.5, 3), "10": (-1, 8), "6": (-1, -3),
         "8": (0, -9), "7": (3, -18), "11": (4, 16)}
LEVEL_MEN = {"9": (-5, 3), "5": (5, 3), "8": (2, 14), "10": (2, -12), "6": (9, -4)}
DEEP = {"9": (-21.5, 1.5), "2": (-40, -12), "5": (-41, -4), "4": (-41, 4), "3": (-40, 12)}
BREAK = {"9": (20, 2), "10": (14, 6), "11": (16, 20), "7": (15, -18), "6": (9, -3), "8": (8, -12), "3": (5, 22),
         "2": (-20, -10), "5": (-22, -2), "4": (-22, 8)}
BREAK_MEN = {"8": (-5, 4), "7": (-18, 22), "9": (-19, 2), "11": (-18, -18), "10": (-10, -10)}
BACK, FRONT = ("2", "5", "4", "3"), ("8", "6", "7", "10", "11")
SQUARE_PASS: Spoil = dict(ours={"9": (29.5, 5)}, ball=(36, -8))  # their 4 still has it
ALONE = {"9": (27, 2)}  # nobody is near the carrier


def higher(by_m: float, *numbers: str) -> dict[str, tuple[float, float]]:
    """Some players of the sound picture so much higher up."""
    return {number: (SOUND[number][0] + by_m, SOUND[number][1]) for number in numbers}


CASES = {
    "no pressure on the ball": Case(dict(ours={"9": (27, 4)}), ("9",), dict(ours={"9": (31.3, 8.9)})),
    "diving in": Case(dict(our_runs={"9": (1.0, 4.9)}), ("9",), dict(our_runs={"9": (0.5, 2.5)})),
    "two press one ball": Case(dict(ours={"10": (33.5, 7.5)}), ("9", "10"), dict(ours={"10": (33.5, 11.5)})),
    "three at one ball": Case(dict(ours={"10": (33.5, 6), "11": (33, 13)}), ("9", "10", "11"),
                              dict(ours={"10": (33.5, 6), "11": (29, 14)})),
    "two in one place": Case(dict(ours={"8": (6.4, 10.9)}), ("6", "8"), dict(ours={"8": (6.4, 9.9)})),
    "nobody goes": Case(dict(ours={"9": (29, 5), "11": (29, 15)}), ("9", "11"),
                        dict(ours={"9": (29, 5), "11": (27, 15)})),
    "presser opens his own man": Case(dict(ours={"11": (33.6, 10.6), "9": (27, -2)}), ("11",),
                                      dict(ours={"11": (33.6, 10.6), "9": (27, -2), "6": (17, 25)})),
    "flat cover": Case(dict(ours={"10": (34.7, 2)}), ("10",), dict(ours={"10": (33, 2)})),
    "cover on the wrong side": Case(dict(ours=WRONG_SIDE | {"10": (29, 0)}, theirs=NOBODY_NEAR), ("10",),
                                    dict(ours=WRONG_SIDE | {"10": (30, 11)}, theirs=NOBODY_NEAR)),
    "gap open": Case(dict(ours={"6": (3.5, 9)}, theirs=OPPONENT_IN_GAP), ("11", "10"),
                     dict(ours={"6": (4.5, 10)}, theirs=OPPONENT_IN_GAP)),
    "gap open with a man in it": Case(dict(ours={"6": (1, 9)}, theirs=OPPONENT_IN_GAP), ("11", "10"),
                                      dict(ours={"6": (3.5, 9)}, theirs=OPPONENT_IN_GAP)),
    "full-back steps, nobody slides": Case(
        dict(ours=WING | {"4": (-6.4, 9)}, theirs=WING_MEN, ball=(12, 30)), ("3", "4"),
        dict(ours=WING | {"4": (-6.4, 23.5)}, theirs=WING_MEN, ball=(12, 30))),
    "far side too narrow": Case(dict(ours={"7": (22, -8)}), ("7",), dict(ours={"7": (22, -18)})),
    "far side too wide": Case(dict(ours={"7": (27, -31), "10": (20, 6)}, theirs={"6": (22, -9)}), ("7",),
                              dict(ours={"7": (24, -21), "10": (20, 6)}, theirs={"6": (22, -9)})),
    "far side runs out": Case(dict(ours={"7": (23.3, -22.0)}, our_runs={"7": (0.0, -5.0)}), ("7",),
                              dict(ours={"7": (23.3, -22.0)}, our_runs={"7": (3.0, -2.0)})),
    "block too long": Case(dict(ours={"2": (-19, -13), "5": (-20, -3), "4": (-20, 8), "3": (-19, 20), "11": (27, 26)}),
                           ("11", "5"),
                           dict(ours={"2": (-17, -13), "5": (-18, -3), "4": (-18, 8), "3": (-17, 20), "11": (26, 26)})),
    "runs up with an open ball": Case(
        dict(ours=ALONE, before=dict(ours=ALONE | higher(-3.0, *BACK))), ("2", "5", "4", "3"),
        dict(ours=ALONE, before=dict(ours=ALONE | higher(-1.0, *BACK)))),
    "line drops with a covered ball": Case(
        dict(before=dict(ours=higher(3.0, *BACK))), ("2", "5", "4", "3"), dict(before=dict(ours=higher(1.0, *BACK)))),
    "broken line": Case(dict(ours={"5": (-11, -1)}, theirs={"9": (-9, 1)}), ("5",),
                        dict(ours={"5": (-8.3, -1)}, theirs={"9": (-9, 1)})),
    "keeper too high": Case(dict(ours=DEEP | {"1": (-28, 0)}, theirs={"5": (-20, 2)}, ball=(-20, 2)), ("1",),
                            dict(ours=DEEP | {"1": (-40, 0)}, theirs={"5": (-20, 2)}, ball=(-20, 2))),
    "keeper too deep": Case(
        dict(ours=LEVEL | {"1": (-49, 0)}, theirs=LEVEL_MEN, ball=(5, 3), runs={"9": (-4, 0)}), ("1",),
        dict(ours=LEVEL | {"1": (-28.5, 1.5)}, theirs=LEVEL_MEN, ball=(5, 3), runs={"9": (-4, 0)})),
    "late jump": Case(
        dict(ours={"9": (32, 7.5)}, our_runs={"9": (5.4, 4.5)}, before=SQUARE_PASS), ("9",),
        dict(ours={"9": (32, 7.5)}, our_runs={"9": (2.7, 2.2)}, before=SQUARE_PASS)),
    "striker presses, midfield stays": Case(dict(ours={"10": (14, -4)}), ("9", "10"), dict(ours={"10": (17.5, 0)})),
    "not goal-side after loss": Case(dict(ours=BREAK, theirs=BREAK_MEN, ball=(-5, 4)), ("3", "6"),
                                     dict(ours=BREAK | {"6": (-7, -3), "3": (-8, 20)}, theirs=BREAK_MEN, ball=(-5, 4))),
    "no balance": Case(dict(ours={"7": (22, 4), "8": (4, 2)}), ("10",), dict(ours={"7": (22, 4), "8": (4, -3)})),
}
