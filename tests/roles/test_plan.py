"""The plan as it is read: rows have their keys and words, and sentences and numbers are true of the picture."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from dataclasses import FrozenInstanceError, replace
from math import dist, isfinite

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pressinglib import Plan, PressingError, Rulebook, Situation, plan_press
from pressinglib.field.scene_file import scene, scene_names
from pressinglib.physics.lanes import gap_limit, rest_lane_margins
from pressinglib.physics.motion import RUNNING
from pressinglib.roles.settings import ROLES, Settings
from tests.plugin import examples

WORDS = {"open", "contested", "closed"}
GAPS = {"open", "closed", "empty"}
ACCOUNTS = {"pressed", "denied", "shadow", "lane closed", "too far", "offside", "held by line", "free"}
DUTIES = re.compile(r"(press|contain|step out and press) (their \S+|the ball)|(deny|mind|drop onto) their \S+|"
                    r"guard the (straight|inside) way out|guard the far side|keep the block|run back towards goal|"
                    r"hold the line|step up with the line|drop with the line|sweep behind the line")
JARGON = re.compile(r"\b(index|array|nan|inf|none|true|false|null|margin|assignment|optimi\w*|euclid\w*|vector|radius|"
                    r"coordinate\w*|function|parameter|frame|np)\b|[{}\[\]_=<>]", re.IGNORECASE)
ANY_SCENE = pytest.mark.parametrize("name", sorted(scene_names()))


def numbers(picture: Situation) -> tuple[set[str], set[str]]:
    return {q.number for q in picture.pressing}, {q.number for q in picture.possession}


def start(plan: Plan) -> np.ndarray:
    """Where the next pass starts."""
    return plan.picture.turned_back(plan.picture.origin[:, None])[0, 0]


# -- rows --------------------------------------------------------------------------------------------------------------


@ANY_SCENE
def test_lanes(name: str) -> None:
    plan = plan_press(scene(name))
    ours, theirs = numbers(plan.situation)
    holder = plan.situation.on_ball
    assert sorted(row["opponent"] for row in plan.lanes) == sorted(theirs - {holder})
    for row in plan.lanes:
        assert set(row) == {"opponent", "state", "margin_s", "closed_by"}
        low, high = row["margin_s"] - 0.0005, row["margin_s"] + 0.0005  # it is rounded
        words = {"open" if m > 0.2 else "closed" if m < -0.2 else "contested" for m in (low, high)}
        assert row["state"] in words and row["state"] in WORDS
        assert (row["closed_by"] is None) == (row["state"] == "open") and row["closed_by"] in ours | {None}
    margins = [row["margin_s"] for row in plan.lanes]
    assert margins == sorted(margins, reverse=True)


@ANY_SCENE
def test_lanes_are_those_of_the_plan_carried_out(name: str) -> None:
    plan = plan_press(scene(name))
    spots = np.array([a.target_xy for a in plan.assignments.values()])
    for row in plan.lanes:
        man = plan.situation.player("possession", row["opponent"]).xy
        assert row["margin_s"] == pytest.approx(float(rest_lane_margins(start(plan), [man], spots).min()), abs=0.002)


def test_lanes_start_at_the_receiver_while_a_pass_travels() -> None:
    worked = scene("worked scene")
    travels = replace(worked, carrier=None, receiver="3", ball_xy=(33, 16), ball_velocity=(-5, 13))
    rows = {row["opponent"] for row in plan_press(travels).lanes}
    assert "3" not in rows and "5" in rows


@ANY_SCENE
def test_gaps(name: str) -> None:
    plan = plan_press(scene(name))
    ours, _ = numbers(plan.situation)
    members = {n for n, a in plan.assignments.items() if a.role in ("pressure", "cover")}
    assert len(plan.gaps) == max(len(members) - 1, 0)
    for row in plan.gaps:
        assert set(row) == {"between", "width_m", "limit_m", "state", "filled_by"}
        assert isinstance(row["between"], tuple) and len(set(row["between"])) == 2 and set(row["between"]) <= members
        assert row["state"] in GAPS and row["filled_by"] in (ours - members) | {None}
        assert row["state"] == "closed" or (row["width_m"] > row["limit_m"] and row["filled_by"] is None)
    assert [row["state"] for row in plan.gaps] == sorted((row["state"] for row in plan.gaps), key="empty".__eq__)


@pytest.mark.parametrize("name", ["worked scene", "build-up left", "goalkeeper on the ball", "low block"])
def test_width_and_limit_of_a_gap(name: str) -> None:
    plan = plan_press(scene(name))
    assert plan.gaps
    for row in plan.gaps:
        a, b = (plan.assignments[n].anchor_xy for n in row["between"])
        assert row["width_m"] == pytest.approx(dist(a, b), abs=0.006)
        assert row["limit_m"] == pytest.approx(float(gap_limit(dist((a + b) / 2, start(plan)))), abs=0.006)


@ANY_SCENE
def test_account_names_every_opponent_once(name: str) -> None:
    plan = plan_press(scene(name))
    assert set(plan.account) == numbers(plan.situation)[1] and set(plan.account.values()) <= ACCOUNTS
    pressed = [n for n, word in plan.account.items() if word == "pressed"]
    assert pressed == ([plan.situation.on_ball] if plan.presser else [])
    marked = {a.mark for a in plan.assignments.values() if a.mark}
    assert {n for n, word in plan.account.items() if word == "denied"} <= marked
    lanes = {row["opponent"]: row["state"] for row in plan.lanes}
    assert all(lanes[n] == "closed" for n, word in plan.account.items() if word == "lane closed")


def test_account_of_an_offside_man() -> None:
    worked = scene("worked scene")
    plan = plan_press(worked.moved("possession", "9", (-20, 1)))
    assert plan.account["9"] == "offside"


@ANY_SCENE
def test_table_and_dict_are_plain(name: str) -> None:
    plan = plan_press(scene(name))
    for row in plan.table():
        assert set(row) == {"number", "role", "duty", "mark", "target_xy", "arrival_s", "reason"}
    d = plan.to_dict()
    assert set(d) >= {"state", "presser", "timing", "steer", "assignments", "lanes", "gaps", "take_over", "account",
                      "far_side_limit_m", "danger"}
    read = json.loads(json.dumps(d, allow_nan=False))
    assert (read["account"], read["lanes"], read["presser"]) == (plan.account, list(plan.lanes), plan.presser)
    assert [tuple(row["target_xy"]) for row in read["assignments"]] == [row["target_xy"] for row in plan.table()]


def test_a_plan_is_frozen() -> None:
    plan = plan_press(scene("worked scene"))
    with pytest.raises(FrozenInstanceError):
        plan.assignments["9"].role = "cover"  # type: ignore[misc]
    with pytest.raises(FrozenInstanceError):
        plan.situation = scene("low block")  # type: ignore[misc]


@pytest.mark.parametrize(("change", "state"), [
    (lambda s: s, "open play"),
    (lambda s: s.with_ball((20, -25)), "loose"),
    (lambda s: s.with_ball((27, -2)), "won"),
    (lambda s: replace(s, restart="throw-in"), "throw-in"),
    (lambda s: replace(s, restart="goal kick"), "goal kick"),
    (lambda s: replace(s, restart="keeper holds"), "keeper holds")])
def test_every_state_has_its_word(change: Callable[[Situation], Situation], state: str) -> None:
    plan = plan_press(change(scene("worked scene")))
    assert plan.state == state and plan.words


# -- what is said of each player ---------------------------------------------------------------------------------------


def check_said(plan: Plan) -> None:
    """Duty, mark and reason of every player agree with each other and with the picture."""
    ours, theirs = numbers(plan.situation)
    for a in plan.assignments.values():
        assert a.role in ROLES and DUTIES.fullmatch(a.duty), a.duty
        assert a.mark is None or (a.mark in theirs and (f"their {a.mark}" in a.duty or "far side" in a.duty))
        assert not JARGON.search(a.reason), a.reason
        assert a.reason[0].isupper() and a.reason.endswith(".") and "  " not in a.reason
        named = re.findall(r"their (\w+(?:(?:, | and )\w+)*)", a.reason)
        assert {n for text in named for n in re.findall(r"\b\d+\b", text)} <= theirs
    assert not JARGON.search(plan.words), plan.words
    free = sorted(n for n, word in plan.account.items() if word == "free")
    if plan.state != "won":
        said_open(plan.words, plan.open_now, free)


def said_open(words: str, now: list[str], later: list[str]) -> None:
    """Now and once the runs are made are said apart: up to four by number, more by how many they are."""
    said = re.search(r"A pass is on now to (.*?); after [\d.]+ s to (.*?)\.$", words)
    if set(now) == set(later) and now:
        said = re.search(r"A pass is on, now and after [\d.]+ s, to ((.*?))\.$", words)
    assert said or (words.endswith("No pass is on.") and not now and not later)
    for text, numbers_ in zip(said.groups() if said else (), (now, later), strict=False):
        if len(numbers_) > 4:
            assert text == f"{len(numbers_)} of them"
        else:
            assert sorted(re.findall(r"\b\d+\b", text)) == sorted(numbers_)
            assert (text == "nobody") == (not numbers_)


@ANY_SCENE
def test_reasons_are_true_sentences(name: str) -> None:
    check_said(plan_press(scene(name)))


@examples(80)
@given(data=st.data())
def test_reasons_of_any_picture(data: st.DataObject, pictures: st.SearchStrategy[Situation]) -> None:
    picture = data.draw(pictures)
    check_said(plan_press(replace(picture, restart=picture.restart if picture.on_ball else None)))


@ANY_SCENE
def test_numbers_said_are_those_of_the_plan(name: str) -> None:
    plan = plan_press(scene(name))
    assert plan.presser is not None
    first = plan.assignments[plan.presser]
    if plan.timing != "hold":
        assert f"{first.arrival_s:.1f} s" in plan.words and f"{plan.end_distance_m:.1f} m off" in plan.words
        assert plan.words.startswith(f"{plan.presser} ")
    guard = [a for a in plan.assignments.values() if a.duty == "guard the far side"]
    for a in guard:
        assert a.mark is not None and f"within {plan.far_side_limit_m:.0f} m of their {a.mark}" in a.reason
    for row in plan.table():
        assert row["reason"] == plan.assignments[row["number"]].reason


@ANY_SCENE
def test_arrival_counts_reaction_and_braking(name: str) -> None:
    plan = plan_press(scene(name))
    for q in plan.situation.pressing:
        a = plan.assignments[q.number]
        expected = RUNNING.braked_time(q.xy, q.velocity, a.target_xy, reaction_s=0.3)
        assert isfinite(a.arrival_s) and a.arrival_s == pytest.approx(float(expected))


@ANY_SCENE
def test_path_leads_from_where_he_is_to_his_spot(name: str) -> None:
    plan = plan_press(scene(name))
    for q in plan.situation.pressing:
        a = plan.assignments[q.number]
        assert a.path.shape[1] == 2 and len(a.path) >= 2
        np.testing.assert_allclose(a.path[[0, -1]], [q.xy, a.target_xy], atol=1e-9)
        assert len(a.path) == 2 or q.number == plan.presser  # only the presser runs an arc


def test_presser_who_hides_a_man_says_so_and_from_where_he_comes() -> None:
    plan = plan_press(scene("worked scene"))
    mirrored = plan_press(scene("worked scene").mirrored())
    said = plan.assignments["9"].reason
    assert "from the right" in said and "their 4 in your shadow" in said and "to the left" in said
    assert "from the left" in mirrored.assignments["9"].reason and "to the right" in mirrored.assignments["9"].reason
    assert "steering left" in plan.words and "steering right" in mirrored.words


def test_late_presser_is_told_not_to_dive_in() -> None:
    late = plan_press(scene("counter-attack 4 v 3"))
    assert late.timing == "late" and late.presser is not None
    assert "goal-side" in late.assignments[late.presser].reason
    assert re.search("contains|drops and delays", late.words)


@pytest.mark.parametrize("wrong", [None, 3, {"ball_xy": (0, 0)}])
def test_says_what_it_wants(wrong: object) -> None:
    with pytest.raises(PressingError, match="expected a Situation"):
        plan_press(wrong)  # type: ignore[arg-type]
    with pytest.raises(PressingError, match="expected a Rulebook"):
        plan_press(scene("worked scene"), wrong or "rules")  # type: ignore[arg-type]


def test_default_rulebook_is_the_stock_one() -> None:
    plan, other = plan_press(scene("worked scene")), plan_press(scene("worked scene"), Rulebook())
    assert plan.table() == other.table() and plan.to_dict() == other.to_dict()


@pytest.mark.parametrize("name", sorted(scene_names()))
def test_what_is_shown_of_a_plan_is_ten_readable_lines_at_most(name: str) -> None:
    plan = plan_press(scene(name))
    lines = repr(plan).splitlines()
    assert len(lines) <= 10 and " ".join(lines).startswith(plan.words)
    assert all(f"{a.number} {a.duty}" in repr(plan) for a in plan.assignments.values())
    assert all(len(repr(a).splitlines()) == 1 and a.duty in repr(a) for a in plan.assignments.values())


def test_what_is_shown_of_rules_is_what_differs_from_the_stock() -> None:
    rules = Rulebook().with_settings(steering="inside").with_rules(choose_presser=lambda situation: "9")
    assert repr(rules) == "Rulebook(Settings(steering='inside'), choose_presser=<lambda>)"
    assert repr(rules.settings) == "Settings(steering='inside')" and repr(Rulebook()) == "Rulebook(Settings())"


def test_rows_are_plain_dicts_and_tables_and_frames() -> None:
    plan = plan_press(scene("worked scene"))
    for rows in (plan.table(), plan.lanes, plan.gaps, Settings.table()):
        assert all(type(row) is dict for row in rows)
        assert list(rows.to_frame().columns) == list(rows.head) and len(rows.to_frame()) == len(rows)
        assert rows._repr_html_().count("<tr>") == len(rows) + 1
    assert plan.table().to_frame()["number"].tolist() == list(plan.assignments)
