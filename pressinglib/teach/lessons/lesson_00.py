"""Lesson 00: who goes to the ball, to which side he steers the carrier, and who takes the short pass away.

All scenes are invented. Shapes and heights are common practice.
"""

from __future__ import annotations

from pressinglib import Situation, scene
from pressinglib.teach import DenyOption, Exercise, SteerSide, WhoPresses
from pressinglib.teach.pictures import placed


def _full_back_steps_up() -> Situation:
    """Their 3 brings the ball up our left; our full-back is nearest to him, the winger a little further off."""
    ball_up = scene("worked scene").moved("possession", "3", (13, 30)).with_ball((12, 30), carrier="3")
    return placed(ball_up, {"3": (3, 25), "11": (13, 17), "4": (-8, 11), "5": (-8, 0), "2": (-6, -11), "6": (2, 4),
                            "8": (4, -3), "7": (10, -10), "10": (16, 8), "9": (24, 8)}, {"11": (-5, 28)})


def _one_is_missing() -> Situation:
    """Everybody has made his run but 8, who has watched the ball."""
    return placed(scene("build-up right"), {
        "1": (-28.5, -3.5), "2": (-5, -24), "5": (-5.5, -12), "4": (-5.5, 0), "3": (-5, 13.5), "6": (4, 0),
        "7": (27.5, -28), "9": (33, -10.7), "10": (21.5, 6.5), "11": (25, 20)})


who_goes = Exercise(
    "Who goes?", "Write the number of the one who goes to the ball.",
    _full_back_steps_up(), WhoPresses(),
    "Look at the two who are nearest to the ball, and at the lines they play in.")

which_side = Exercise(
    "To which side?", "Write left or right: the side to which 9 steers their 4.",
    scene("build-up right"), SteerSide(),
    "Look for the pass you fear most: the short square one. Then look for the touchline.")

place_the_cover = Exercise(
    "Where does the cover stand?", "Drag {cover} so that the pass to their {option} does not pay.",
    _one_is_missing(), DenyOption("8", "6"), "Look along the line from the ball to their {option}.")
