"""Settings: each documented, each with a range that is kept."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

import numpy as np
import pytest

from pressinglib import PressingError, Rulebook, Settings, plan_press
from pressinglib.errors import BadInput
from pressinglib.field.scene_file import scene

NAMES = [f.name for f in fields(Settings)]
RANGES = [(f.name, f.metadata) for f in fields(Settings) if "low" in f.metadata and "many" not in f.metadata]


def test_every_setting_has_a_grade_and_a_source() -> None:
    rows = Settings.table()
    assert [row["setting"] for row in rows] == NAMES
    assert all(row["grade"] in {"A", "B", "P", "D"} and len(row["source"]) > 4 for row in rows)


@pytest.mark.parametrize(("name", "meta"), RANGES)
def test_the_ends_of_a_range_are_in_and_beyond_is_out(name: str, meta: Any) -> None:
    for value in (meta["low"], meta["high"]):
        assert getattr(Settings(**{name: value}), name) == value
    for value in (meta["low"] - 0.01, meta["high"] + 0.01, float("nan"), "3"):
        with pytest.raises(BadInput, match=name):
            Settings(**{name: value})


@pytest.mark.parametrize("name", [f.name for f in fields(Settings) if "choices" in f.metadata])
def test_words_are_one_of_a_few(name: str) -> None:
    for value in ("something else", np.array(["front"]), np.array("front"), None, ["front"], 3):
        with pytest.raises(BadInput, match="one of"):
            Settings(**{name: value})


@pytest.mark.parametrize("make", [Settings, Rulebook().with_settings])
def test_a_misspelt_setting_is_both_errors(make: Any) -> None:
    with pytest.raises(TypeError) as caught:
        make(presers="anyone")
    assert isinstance(caught.value, PressingError) and "pressers" in str(caught.value)


def test_every_setting_of_a_plan_can_be_at_either_end() -> None:
    for name, meta in RANGES:
        for value in (meta["low"], meta["high"]):
            plan = plan_press(scene("worked scene"), Rulebook(Settings(**{name: value})))
            assert len(plan.assignments) == 11, name
