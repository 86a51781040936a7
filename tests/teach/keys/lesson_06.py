"""Lesson 06: answers to try."""

from __future__ import annotations

from tests.teach.keys.key import Key

KEYS = {
    "open_ball": Key(wrong=("hold", "step"), right=("drop", " Drop")),
    "covered": Key(wrong=("drop", "step"), right=("hold", "Hold")),
    "back_pass": Key(wrong=("hold", "drop"), right=("step", "STEP")),
    "offside": Key(wrong=("9", 7), right=("11", 11)),
    "mend": Key(wrong=((-8.5, -15), (-5, 6)), right=((-6, -15), (-5, -16))),
    "over_top": Key(wrong=("keeper", "line"), right=("runner", "Runner")),
    "slow_line": Key(wrong=("line", "Line"), right=("runner", "keeper")),
    "keeper_height": Key(wrong=((-47, 0.1), (-27, 0.5)), right=((-38, 0.3), (-35, 0.3))),
}
