"""Lesson 12: answers to try."""

from __future__ import annotations

from tests.teach.keys.key import Key

KEYS = {
    "going": Key(wrong=("28", "20"), right=("7", 7)),
    "fault": Key(wrong=("two press one ball", "block too long"),
                 right=("gap open with a man in it", "Gap open with a man in it")),
    "gaps": Key(wrong=("11-37", "none"), right=("11-28", [(28, "11")])),
    "far_side": Key(wrong=({"27": (0, 20)}, {"27": (22, 13)}), right=({"27": (10, -11)}, {27: (12, -14)})),
    "how_sure": Key(wrong=(5, "60 points"), right=(19, "20.5 points")),
}
