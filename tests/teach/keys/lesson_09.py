"""Lesson 09: answers to try."""

from __future__ import annotations

from tests.teach.keys.key import Key

KEYS = {
    "which_trigger": Key(wrong=("back pass", "ball to the full-back"), right=("slow square pass", "Slow square pass ")),
    "trigger_or_not": Key(wrong=("go", "press"), right=("wait", "Wait")),
    "set_the_trap": Key(wrong=((17, 20), (26, 28)), right=((22, 24), (22.5, 23.5))),
    "what_it_costs": Key(wrong=("man for man", "steer inside"), right=("a trap for their 2", "A trap for their 2")),
    "when_to_start": Key(wrong=("before", "after"), right=("with", "With")),
    "still_on": Key(wrong=("back", "wait"), right=("go on", "Go on")),
    "on_or_back": Key(wrong=("go on", "wait"), right=("back", "Back")),
}
