"""Lesson 12: answers to try."""

from __future__ import annotations

from tests.teach.keys.key import Key

KEYS = {
    "planned": Key(wrong=(20, "90"), right=(60, "55")),
    "going": Key(wrong=("28", "20"), right=("7", 7)),
    "how_often": Key(wrong=("clearly more often", "clearly less often"), right=("about as often", "About as often")),
    "how_sure": Key(wrong=(5, "60 points"), right=(19, "20.5 points")),
    "fault": Key(wrong=("two press one ball", "block too long"),
                 right=("gap open with a man in it", "Gap open with a man in it")),
    "how_missing": Key(wrong=(2, "60"), right=(15, "12")),
    "gaps": Key(wrong=("11-37", "none"), right=("11-28", "28 - 11")),
    "far_side": Key(wrong=({"27": (0, 20)}, {"27": (19, -22)}), right=({"27": (10, -11)}, {27: (12, -14)})),
    "not_nearer": Key(wrong=("pressure", "back line"), right=("cover", "Cover")),
}
