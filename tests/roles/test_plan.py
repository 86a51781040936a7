"""A plan as its readers meet it: fields, rows, words; true to each other and to the picture."""

from __future__ import annotations

import json
import re

import numpy as np
import pytest

from pressinglib import Plan, Situation, plan_press
from pressinglib.field.scenes import SCENES, scene
from pressinglib.physics.motion import arrival_time
from pressinglib.roles.account import ACCOUNTS
from pressinglib.roles.vocabulary import DUTIES, ROLES, STATES, TIMINGS

PICTURES = {name: scene(name) for name in SCENES} | {
    "loose": scene("worked scene").with_ball((20, 20)), "loose and lost": scene("worked scene").with_ball((0, 5)),
    "won": scene("worked scene").with_ball((-7, 6))}
EVERY = pytest.mark.parametrize("name", sorted(PICTURES))
UNITS = re.compile(r"\b(xy|None|nan|inf|array|np\.)\b")


def plan_of(name: str) -> Plan:
    return plan_press(PICTURES[name])


@EVERY
def test_fields_have_their_words(name: str) -> None:
    plan = plan_of(name)
    assert plan.state in STATES and plan.timing in TIMINGS and plan.steer in ("left", "right", "none")
    assert plan.presser is None or plan.assignments[plan.presser].role == "pressure"
    assert (plan.presser is None) <= (plan.timing == "hold")
    assert set(plan.assignments) == {q.number for q in plan.situation.pressing}


@EVERY
def test_assignments_are_whole(name: str) -> None:
    plan = plan_of(name)
    theirs = {q.number for q in plan.situation.possession}
    stems = [duty.split(" {")[0] for duty in DUTIES]
    for a in plan.assignments.values():
        assert a.role in ROLES and any(a.duty.startswith(stem) for stem in stems)
        assert a.mark is None or a.mark in theirs
        assert a.anchor_xy.shape == a.target_xy.shape == (2,) and a.path.ndim == 2 and a.path.shape[1] == 2
        start = plan.situation.player("pressing", a.number).xy
        assert np.allclose(a.path[0], start) and np.allclose(a.path[-1], a.target_xy)


@EVERY
def test_arrival_is_never_sooner_than_running_through(name: str) -> None:
    plan = plan_of(name)
    for a in plan.assignments.values():
        q = plan.situation.player("pressing", a.number)
        assert a.arrival_s >= float(arrival_time(q.xy, q.velocity, a.target_xy, reaction_s=0.3)) - 1e-9


@EVERY
def test_rows_have_their_keys(name: str) -> None:
    plan = plan_of(name)
    ours, theirs = ({q.number for q in team} for team in (plan.situation.pressing, plan.situation.possession))
    for lane in plan.lanes:
        assert set(lane) == {"opponent", "state", "margin_s", "closed_by"} and lane["opponent"] in theirs
        state = "open" if lane["margin_s"] > 0.2 else "closed" if lane["margin_s"] < -0.2 else "contested"
        assert abs(abs(lane["margin_s"]) - 0.2) < 1e-3 or lane["state"] == state
        assert (lane["closed_by"] in ours) != (lane["state"] == "open")
    for gap in plan.gaps:
        assert set(gap) == {"between", "width_m", "limit_m", "state", "filled_by"} and set(gap["between"]) <= ours
        assert gap["state"] in ("closed", "open", "empty")
        assert gap["filled_by"] is None or (gap["filled_by"] in ours and gap["state"] == "closed")
    assert set(plan.take_over) == {"outside", "straight", "inside"}
    assert all((who in ours) != np.isinf(time) for who, time in plan.take_over.values())


@EVERY
def test_every_opponent_is_accounted_for(name: str) -> None:
    plan = plan_of(name)
    assert set(plan.account) == {q.number for q in plan.situation.possession}
    assert set(plan.account.values()) <= set(ACCOUNTS)
    holder = plan.situation.receiver or plan.situation.on_ball
    pressed = [n for n, word in plan.account.items() if word == "pressed"]
    assert pressed == ([holder] if holder and plan.presser else [])


@EVERY
def test_plain_values_are_fit_for_json(name: str) -> None:
    plan = plan_of(name)
    again = json.loads(json.dumps(plan.to_dict(), allow_nan=False))
    assert again["presser"] == plan.presser and again["danger"] == list(plan.danger)
    assert again["assignments"] == json.loads(json.dumps(plan.table()))


@EVERY
def test_words_and_reasons_are_sentences_without_jargon(name: str) -> None:
    plan = plan_of(name)
    for text in (plan.words, *(a.reason for a in plan.assignments.values())):
        assert len(text) > 10 and text[-1] == "." and not UNITS.search(text), text


@EVERY
def test_words_say_what_the_plan_says(name: str) -> None:
    plan = plan_of(name)
    if plan.state == "won":
        assert plan.words == "We have the ball."
        return
    free = {n for n, word in plan.account.items() if word == "free"}
    assert free == set(re.findall(r"\d+", plan.words.split("Open: their ")[-1])) if free else "Nobody" in plan.words
    if plan.timing != "hold":
        assert plan.words.startswith(f"{plan.presser} ")
        assert f"{plan.assignments[plan.presser].arrival_s:.1f} s" in plan.words


def test_every_duty_is_reached_or_known_to_be_rare() -> None:
    """Each reason was read once: duties that no scene reaches would be sentences that nobody has seen."""
    duties = [a.duty for name in PICTURES for a in plan_of(name).assignments.values()]
    seen = {re.sub(r" (their \S+|the ball)$", "", duty) for duty in duties}
    stems = {duty.split(" {")[0] for duty in DUTIES}
    assert stems - seen <= {"guard the inside way out", "guard the outside way out", "step into the gap",
                            "step up with the line", "contain"}


def test_a_plan_of_something_else_is_refused() -> None:
    with pytest.raises(ValueError, match="expected a Situation"):
        plan_press({"ball": (0, 0)})
    with pytest.raises(ValueError, match="expected a Rulebook"):
        plan_press(scene("worked scene"), "stock")


def test_lanes_start_at_the_receiver_while_a_pass_travels() -> None:
    s = Situation.line_up(ball_xy=(35.0, 12.0))
    receiver = max(s.possession, key=lambda q: q.xy[0] - abs(q.xy[1]) if q.number != s.on_ball else -99).number
    travelling = Situation(s.pitch, s.pressing, s.possession, s.ball_xy, receiver=receiver, ball_velocity=(-3.0, -12.0))
    plan = plan_press(travelling)
    assert plan.account[receiver] == "pressed" and receiver not in {lane["opponent"] for lane in plan.lanes}
