"""Lesson 12: what its prose says is what the data say; credit, no names, and the form of a lesson."""

from __future__ import annotations

import csv
from pathlib import Path

import nbformat
import pytest

from pressinglib.data import MatchPlan, Share, Tracking
from pressinglib.data.match_statistics import BALANCE, ShareTable, fault_rates
from pressinglib.errors import UnknownName
from pressinglib.field.player import BACK, LINE_OF_SLOT
from pressinglib.field.scene_file import load_scene
from pressinglib.teach.charts import share_chart
from pressinglib.teach.lessons import lesson_12

ROOT = Path(__file__).parents[2]
NOTEBOOK = ROOT / "notebooks" / "12_do_real_teams_press_by_these_rules.ipynb"
CREDIT = ("Deutsche Fussball Liga", "Bassek", "10.1038/s41597-025-04505-y", "CC BY 4.0")


@pytest.fixture(scope="module")
def lesson() -> nbformat.NotebookNode:
    return nbformat.read(NOTEBOOK, as_version=4)


@pytest.fixture(scope="module")
def match() -> Tracking:
    return lesson_12.match()


@pytest.fixture(scope="module")
def asked() -> dict[float, ShareTable]:
    return {lead: lesson_12.went(lead) for lead in (0.0, 0.5, 1.0)}


@pytest.fixture(scope="module")
def missing() -> ShareTable:
    return lesson_12.missing()


def test_the_shares_that_are_asked_about_are_those_that_are_counted(asked: dict[float, ShareTable],
                                                                    missing: ShareTable) -> None:
    counts, followed = lesson_12.whole().counts(), lesson_12.followed().shares
    assert Share(counts["planned"], counts["frames"]) == lesson_12.PLANNED
    assert (asked[0.5].shares["the one named"], asked[0.5].shares["the nearest"]) == (
        lesson_12.NAMED, lesson_12.NEAREST)
    assert missing.shares["any of these"] == lesson_12.MISSING
    for role, of_100 in lesson_12.NEARER.items():
        low, high = followed[role].interval
        assert 100 * followed[role].hits / followed[role].of == pytest.approx(of_100, abs=1.0)
        assert (low < 0.5 < high) == (lesson_12.A_COIN[0] <= of_100 <= lesson_12.A_COIN[1])


def test_rules_and_nearest_overlap_at_every_lead(asked: dict[float, ShareTable]) -> None:
    for lead, found in asked.items():
        named, nearest = found.shares["the one named"], found.shares["the nearest"]
        assert named.interval[0] < nearest.interval[1] and nearest.interval[0] < named.interval[1]
        assert (named.hits > nearest.hits) == (lead == 0.5)
    assert asked[0.5].shares["somebody went within 3 s"].interval[1] < 0.5


def test_seven_went_to_their_six(asked: dict[float, ShareTable]) -> None:
    going = next(one for one in asked[0.5].goings if 0 <= one.frame_id - 36864 <= 14)
    assert (going.went, going.nearest) == ("7", "11")
    assert lesson_12.going.situation.receiver == "6"


def test_labelled_duels_and_our_reading_differ_as_told(match: Tracking, asked: dict[float, ShareTable]) -> None:
    slots = {f"{side[0]}{n}": slot for side in ("home", "away")
             for n, slot in zip(getattr(match, side).numbers, getattr(match, side).slots, strict=True)}
    with (lesson_12.MATCH / "duels.csv").open() as file:
        duels = [row for row in csv.DictReader(file) if float(row["gap_m"]) < 4]
    back = sum(LINE_OF_SLOT[slots[row["engager"]]] == BACK for row in duels)
    assert (back, len(duels)) == (27, 52)
    share = asked[0.5].shares["from the back line"]
    assert share.hits / share.of == pytest.approx(0.25, abs=0.05)


def test_balance_is_missing_in_about_one_of_seven_moments_and_mostly_on_the_far_side(missing: ShareTable) -> None:
    any_of_them = missing.shares["any of these"]
    assert any_of_them.hits / any_of_them.of == pytest.approx(1 / 7, abs=0.02)
    assert missing.shares["far side too narrow"].hits > any_of_them.hits / 2
    assert tuple(missing.shares) == (*BALANCE, "any of these")


def test_kinds_that_do_not_exist_are_refused(match: Tracking) -> None:
    with pytest.raises(UnknownName, match="fault: expected one of"):
        fault_rates(MatchPlan.of(match, per_second=0.01), ["no plan"])


def test_pressers_balance_and_back_lines_come_nearer_and_covers_as_often_as_not() -> None:
    rows = lesson_12.followed().shares
    assert [role for role, share in rows.items() if share.interval[0] > 0.5] == ["pressure", "balance", "back line"]
    assert rows["cover"].interval[0] < 0.5 < rows["cover"].interval[1]


def test_shares_draw_themselves(missing: ShareTable) -> None:
    plot = share_chart({"$a$ <b>": missing.shares["any of these"], **missing.shares})
    assert plot._repr_png_().startswith(b"\x89PNG") and repr(plot).startswith("Picture: $a$ <b>: ")


# -- credit ----------------------------------------------------------------------------------------------------------


def test_credit_stands_in_the_lesson_and_in_every_scene(lesson: nbformat.NotebookNode) -> None:
    scenes = sorted((lesson_12.MATCH / "scenes").glob("*.json"))
    assert len(scenes) == 4
    for text in [lesson.cells[1].source, lesson_12.__doc__ or "", *(load_scene(file).notes for file in scenes)]:
        assert [word for word in CREDIT if word not in text] == []
    for file in scenes:
        s = load_scene(file).situation
        assert all(p.number.isdecimal() for p in (*s.pressing, *s.possession))
