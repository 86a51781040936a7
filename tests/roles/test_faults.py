"""Faults: each kind has a picture that shows it, a near miss that does not, and its mirror; each can be mended."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pressinglib import PressingError, Rulebook, Situation
from pressinglib.data import read_tracking
from pressinglib.field.scenes import SCENES, scene
from pressinglib.roles.faults import KINDS, Fault, find_faults

Spoil = dict[str, Any]
Pictures = st.SearchStrategy[Situation]
MATCH = Path(__file__).parents[2] / "notebooks" / "data" / "dfl-open"


class Case(NamedTuple):
    """How the sound picture is spoiled, who is at fault, and a picture almost the same that is not faulty."""

    shown: Spoil
    players: tuple[str, ...]
    near_miss: Spoil


OPPONENT_IN_GAP = {"8": (12, 12)}
WRONG_SIDE = {"11": (18, -2), "6": (4, 8), "3": (-5, 12)}
NOBODY_NEAR = {"6": (8, 4), "3": (2, 30), "4": (44, -20), "8": (0, 0)}
FAR = {"6": (2, 13), "8": (0, -8), "11": (18, 30)}
FAR_MEN = {"6": (16, -12), "3": (20, 34), "8": (-2, 14), "10": (-3, -10)}
WING = {"11": (20, 24), "10": (14, 14), "6": (8, 20), "9": (20, 5), "7": (12, -8), "8": (4, 2), "3": (10.8, 29)}
WING_MEN = {"3": (12, 30), "11": (-5, 28), "8": (3, 18), "6": (18, 8), "5": (30, 14), "10": (4, -6), "4": (32, -8)}
LEVEL = {"5": (-8, -6), "4": (-8, 10), "2": (-8, -16), "3": (-8, 24), "9": (3.5, 3), "10": (-1, 8), "6": (-1, -3),
         "8": (0, -9), "7": (3, -18), "11": (4, 16)}
LEVEL_MEN = {"9": (-5, 3), "5": (5, 3), "8": (2, 14), "10": (2, -12), "6": (9, -4)}
DEEP = {"9": (-21.5, 1.5), "2": (-40, -12), "5": (-41, -4), "4": (-41, 4), "3": (-40, 12)}
BREAK = {"9": (20, 2), "10": (14, 6), "11": (16, 20), "7": (15, -18), "6": (9, -3), "8": (8, -12), "3": (5, 22),
         "2": (-20, -10), "5": (-22, -2), "4": (-22, 8)}
BREAK_MEN = {"8": (-5, 4), "11": (-18, 22), "9": (-19, 2), "7": (-18, -18), "10": (-10, -10)}

CASES = {
    "no pressure on the ball": Case(dict(ours={"9": (27, 4)}), ("9",), dict(ours={"9": (31.3, 8.9)})),
    "two press one ball": Case(dict(ours={"10": (33.5, 7.5)}), ("9", "10"), dict(ours={"10": (33.5, 11.5)})),
    "nobody goes": Case(dict(ours={"9": (29, 5), "11": (29, 15)}), ("9", "11"),
                        dict(ours={"9": (29, 5), "11": (27, 15)})),
    "straight press": Case(dict(ours={"9": (33.5, 9.8), "10": (20, -3), "11": (22, 19)}), ("9",),
                           dict(ours={"9": (33.7, 9.2), "10": (20, -3), "11": (22, 19)})),
    "presser opens his own man": Case(dict(ours={"11": (33.6, 10.6), "9": (27, -2)}), ("11",),
                                      dict(ours={"11": (33.6, 10.6), "9": (27, -2), "6": (17, 25)})),
    "flat cover": Case(dict(ours={"10": (34.7, 2)}), ("10",), dict(ours={"10": (33, 2)})),
    "cover too near": Case(dict(ours={"10": (31.5, 7)}), ("10",), dict(ours={"10": (30.2, 6.5)})),
    "cover too far": Case(dict(ours=FAR | {"10": (20, -9)}, theirs=FAR_MEN), ("10",),
                          dict(ours=FAR | {"10": (25.5, 5.5)}, theirs=FAR_MEN)),
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
    "block too long": Case(dict(ours={"2": (-19, -13), "5": (-20, -3), "4": (-20, 8), "3": (-19, 20), "11": (27, 26)}),
                           ("11", "5"),
                           dict(ours={"2": (-17, -13), "5": (-18, -3), "4": (-18, 8), "3": (-17, 20), "11": (26, 26)})),
    "broken line": Case(dict(ours={"5": (-11, -1)}, theirs={"9": (-9, 1)}), ("5",),
                        dict(ours={"5": (-8.3, -1)}, theirs={"9": (-9, 1)})),
    "keeper too high": Case(dict(ours=DEEP | {"1": (-28, 0)}, theirs={"5": (-20, 2)}, ball=(-20, 2)), ("1",),
                            dict(ours=DEEP | {"1": (-40, 0)}, theirs={"5": (-20, 2)}, ball=(-20, 2))),
    "keeper too deep": Case(
        dict(ours=LEVEL | {"1": (-49, 0)}, theirs=LEVEL_MEN, ball=(5, 3), runs={"9": (-4, 0)}), ("1",),
        dict(ours=LEVEL | {"1": (-28.5, 1.5)}, theirs=LEVEL_MEN, ball=(5, 3), runs={"9": (-4, 0)})),
    "striker presses, midfield stays": Case(dict(ours={"10": (14, -4)}), ("9", "10"), dict(ours={"10": (17.5, 0)})),
    "not goal-side after loss": Case(dict(ours=BREAK, theirs=BREAK_MEN, ball=(-5, 4)), ("3", "6"),
                                     dict(ours=BREAK | {"6": (-7, -3), "3": (-8, 20)}, theirs=BREAK_MEN, ball=(-5, 4))),
    "no balance": Case(dict(ours={"7": (22, 4), "8": (4, 2)}), ("10",), dict(ours={"7": (22, 4), "8": (4, -3)})),
}


def kinds(situation: Situation, rulebook: Rulebook | None = None) -> list[str]:
    return [fault.kind for fault in find_faults(situation, rulebook)]


def the(kind: str, situation: Situation) -> Fault:
    """The first fault of this kind."""
    return next(fault for fault in find_faults(situation) if fault.kind == kind)


def test_has_a_case_for_every_kind() -> None:
    assert set(CASES) == set(KINDS)


def test_sound_picture_has_none(spoiled: Callable[..., Situation]) -> None:
    assert find_faults(spoiled()) == find_faults(spoiled().mirrored()) == []


@pytest.mark.parametrize("kind", KINDS)
def test_shows_in_its_picture(kind: str, spoiled: Callable[..., Situation]) -> None:
    fault = the(kind, spoiled(**CASES[kind].shown))
    assert fault.players == CASES[kind].players
    assert all(number in fault.why or number in fault.change for number in fault.players)
    assert fault.why.endswith((".", "!")) and fault.change.endswith(".")


@pytest.mark.parametrize("kind", KINDS)
def test_does_not_show_in_the_near_miss(kind: str, spoiled: Callable[..., Situation]) -> None:
    assert kind not in kinds(spoiled(**CASES[kind].near_miss))


@pytest.mark.parametrize("kind", KINDS)
def test_is_gone_once_mended(kind: str, spoiled: Callable[..., Situation]) -> None:
    picture = spoiled(**CASES[kind].shown)
    changed = the(kind, picture).changed
    assert changed is not None and kind not in kinds(changed)
    moved = [q.number for q, r in zip(picture.pressing, changed.pressing, strict=True) if q.xy != r.xy]
    assert moved and changed.possession == picture.possession and changed.ball_xy == picture.ball_xy
    assert any(number in the(kind, picture).change for number in moved)


@pytest.mark.parametrize("kind", KINDS)
def test_mirrored_picture_has_the_mirrored_fault(kind: str, spoiled: Callable[..., Situation]) -> None:
    picture = spoiled(**CASES[kind].shown)
    same_faults(find_faults(picture), find_faults(picture.mirrored()), mirrored=True)


def same_faults(some: list[Fault], others: list[Fault], mirrored: bool = False) -> None:
    """Same kinds, players and mended places; words may name the other side."""
    assert [(f.kind, f.players) for f in some] == [(f.kind, f.players) for f in others]
    for f, g in zip(some, others, strict=True):
        assert (f.changed is None) == (g.changed is None)
        if f.changed is not None and g.changed is not None:
            there = {q.number: q.xy for q in (g.changed.mirrored() if mirrored else g.changed).pressing}
            for q in f.changed.pressing:
                np.testing.assert_allclose(q.xy, there[q.number], atol=1e-9)


def test_words_name_the_side_that_the_pressing_team_sees(spoiled: Callable[..., Situation]) -> None:
    kind = "cover on the wrong side"
    picture = spoiled(**CASES[kind].shown)
    assert "to the left" in the(kind, picture).why and "to the right" in the(kind, picture.mirrored()).why


# -- exceptions --------------------------------------------------------------------------------------------------------


def test_ball_beyond_the_line_of_confrontation_needs_no_pressure(spoiled: Callable[..., Situation]) -> None:
    picture = spoiled(**CASES["nobody goes"].shown)
    mid = Rulebook().with_settings(confrontation_x_m=17)
    assert {"no pressure on the ball", "nobody goes"} <= set(kinds(picture))
    assert not {"no pressure on the ball", "nobody goes"} & set(kinds(picture, mid))


def test_block_that_waits_is_no_fault(spoiled: Callable[..., Situation]) -> None:
    low = dict(zip(("9", "11", "10", "7"), ((24, 1), (20, 22), (18, 3), (20, -16)), strict=True))
    assert "no pressure on the ball" not in kinds(spoiled(low))
    assert "no pressure on the ball" in kinds(spoiled({**low, "9": (28, 6)}))


def test_carrier_facing_his_own_goal_is_no_open_ball(spoiled: Callable[..., Situation]) -> None:
    picture = spoiled(**CASES["no pressure on the ball"].shown)
    away = replace(picture, possession=tuple(
        replace(q, facing_deg=0.0) if q.number == "5" else q for q in picture.possession))
    assert "no pressure on the ball" not in kinds(away)


def test_runner_who_is_there_within_a_second_is_pressure(spoiled: Callable[..., Situation]) -> None:
    picture = spoiled(ours={"9": (29, 6)})
    runs = replace(picture, pressing=tuple(
        replace(q, velocity=(5.0, 3.3)) if q.number == "9" else q for q in picture.pressing))
    assert "no pressure on the ball" in kinds(picture) and "no pressure on the ball" not in kinds(runs)


def test_cover_who_denies_is_not_called_flat_or_near(spoiled: Callable[..., Situation]) -> None:
    shown = spoiled(**CASES["flat cover"].shown)
    assert "flat cover" in kinds(shown)
    his = replace(shown, possession=tuple(q.at((34.5, 0.5)) if q.number == "6" else q for q in shown.possession))
    assert "flat cover" not in kinds(his)


@pytest.mark.parametrize("restart", ["throw-in", "goal kick", "keeper holds"])
def test_restarts_are_not_judged(restart: str, spoiled: Callable[..., Situation]) -> None:
    picture = spoiled(**CASES["block too long"].shown)
    assert find_faults(picture) and find_faults(replace(picture, restart=restart)) == []


def test_loose_ball_and_our_ball_are_not_judged(spoiled: Callable[..., Situation]) -> None:
    picture = spoiled(**CASES["block too long"].shown)
    assert find_faults(picture.with_ball((40, 25))) == find_faults(picture.with_ball((22.2, 2.1))) == []


def test_outnumbered_line_that_gives_way_is_no_fault() -> None:
    counter = scene("counter-attack 4 v 3")
    assert "no pressure on the ball" not in kinds(counter) and "nobody goes" not in kinds(counter)
    assert "not goal-side after loss" in kinds(counter)


def test_far_side_needs_a_ball_off_the_middle(spoiled: Callable[..., Situation]) -> None:
    middle = dict(theirs={"5": (35, 3), "4": (36, -18)}, ball=(35, 3))
    assert not any(kind.startswith("far side") for kind in kinds(spoiled({"9": (33.6, 2.8), "7": (22, -8)}, **middle)))


# -- a plan carried out ------------------------------------------------------------------------------------------------


def test_worked_scene_carried_out_shows_none(carried_out: Callable[..., Situation]) -> None:
    worked = scene("worked scene")
    assert find_faults(worked) and find_faults(carried_out(worked)) == find_faults(carried_out(worked.mirrored())) == []


# Outnumbered, or with the press broken, not everything can be closed at once.
MORE_OF_THEM = {"press broken", "counter-attack 4 v 3"}


@pytest.mark.parametrize("name", sorted(set(SCENES) - MORE_OF_THEM))
def test_named_scene_carried_out_shows_none(name: str, carried_out: Callable[..., Situation]) -> None:
    assert find_faults(carried_out(scene(name))) == find_faults(carried_out(scene(name).mirrored())) == []


# -- real frames -------------------------------------------------------------------------------------------------------


def test_no_kind_shows_in_more_than_a_fifth_of_professional_frames() -> None:
    """100 frames of each side defending, from the match of Bassek et al. 2025 (CC BY 4.0): a plausibility check."""
    match, counts = read_tracking(MATCH), Counter[str]()
    for frames in (match.defending("home"), match.defending("away")):
        for f in np.linspace(0, len(frames) - 1, 100).astype(int):
            counts.update(set(kinds(frames.situation(int(f)))))
    print({kind: f"{counts[kind] / 2:.1f} %" for kind in KINDS})
    assert counts and max(counts.values()) <= 40


# -- any picture -------------------------------------------------------------------------------------------------------


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_any_picture_gives_faults_in_whatever_order_its_players_come(
        data: st.DataObject, told_apart: Pictures) -> None:
    picture = data.draw(told_apart)
    found = find_faults(picture)
    assert all(fault.kind in KINDS and fault.players and fault.why and fault.change for fault in found)
    turned = replace(picture, pressing=picture.pressing[::-1], possession=picture.possession[::-1])
    same_faults(found, find_faults(turned))


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_mirrored_picture_has_mirrored_faults(data: st.DataObject, told_apart: Pictures) -> None:
    picture = data.draw(told_apart)
    same_faults(find_faults(picture), find_faults(picture.mirrored()), mirrored=True)


@settings(max_examples=40, deadline=None)
@given(data=st.data())
def test_mended_picture_has_fewer_of_the_kind(data: st.DataObject, pictures: Pictures) -> None:
    picture = data.draw(pictures)
    found = find_faults(picture)
    for fault in found:
        if fault.changed is not None:
            assert kinds(fault.changed).count(fault.kind) < [f.kind for f in found].count(fault.kind)


@pytest.mark.parametrize("wrong", [None, 3, "a picture"])
def test_says_what_it_wants(wrong: Any, spoiled: Callable[..., Situation]) -> None:
    with pytest.raises(PressingError, match="expected a Situation"):
        find_faults(wrong)
    with pytest.raises(PressingError, match="expected a Rulebook"):
        find_faults(spoiled(), "rules")  # type: ignore[arg-type]
    with pytest.raises(PressingError, match="picture before"):
        find_faults(spoiled(), before="earlier")  # type: ignore[arg-type]
