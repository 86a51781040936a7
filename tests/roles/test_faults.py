"""Faults: each kind has a picture that shows it, a near miss that does not, and its mirror; each can be mended."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pressinglib import Pitch, PressingError, Rulebook, Situation
from pressinglib.field.scene_file import scene, scene_names
from pressinglib.roles.faults import KINDS, Fault, find_faults
from tests.plugin import examples
from tests.roles.fault_cases import ALONE, CASES, Spoil

Pictures = st.SearchStrategy[Situation]
Spoiled = Callable[..., Situation]


def kinds(situation: Situation, rulebook: Rulebook | None = None, **more: Any) -> list[str]:
    return [fault.kind for fault in find_faults(situation, rulebook, **more)]


def the(kind: str, situation: Situation, before: Situation | None = None) -> Fault:
    """The first fault of this kind."""
    return next(fault for fault in find_faults(situation, before=before) if fault.kind == kind)


def pair(spoiled: Spoiled, spoil: Spoil) -> tuple[Situation, Situation | None]:
    """A picture, and the one before it if there is one."""
    then = spoil.get("before")
    return spoiled(**{k: v for k, v in spoil.items() if k != "before"}), then and spoiled(**then)


def test_has_a_case_for_every_kind() -> None:
    assert set(CASES) == set(KINDS)


def test_sound_picture_has_none(spoiled: Spoiled) -> None:
    assert find_faults(spoiled()) == find_faults(spoiled().mirrored()) == []


@pytest.mark.parametrize("kind", KINDS)
def test_shows_in_its_picture(kind: str, spoiled: Spoiled) -> None:
    fault = the(kind, *pair(spoiled, CASES[kind].shown))
    assert sorted(fault.players) == sorted(CASES[kind].players)
    assert all(number in fault.why or number in fault.change for number in fault.players)
    assert fault.why.endswith((".", "!")) and fault.change.endswith(".")
    assert fault.unless and not fault.unless.endswith(".")


@pytest.mark.parametrize("kind", KINDS)
def test_does_not_show_in_the_near_miss(kind: str, spoiled: Spoiled) -> None:
    picture, before = pair(spoiled, CASES[kind].near_miss)
    assert kind not in kinds(picture, before=before)


@pytest.mark.parametrize("kind", KINDS)
def test_is_gone_once_mended(kind: str, spoiled: Spoiled) -> None:
    picture, before = pair(spoiled, CASES[kind].shown)
    fault = the(kind, picture, before)
    assert fault.changed is not None and kind not in kinds(fault.changed, before=before)
    moved = [q.number for q, r in zip(picture.pressing, fault.changed.pressing, strict=True) if q.xy != r.xy]
    assert moved and fault.changed.possession == picture.possession and fault.changed.ball_xy == picture.ball_xy
    assert any(number in fault.change for number in moved)


@pytest.mark.parametrize("kind", KINDS)
def test_what_mends_it_brings_no_other_fault(kind: str, spoiled: Spoiled) -> None:
    picture, before = pair(spoiled, CASES[kind].shown)
    changed = the(kind, picture, before).changed
    assert changed is not None
    assert set(kinds(changed, before=before)) <= set(kinds(picture, before=before)) - {kind}


@pytest.mark.parametrize("kind", KINDS)
def test_mirrored_picture_has_the_mirrored_fault(kind: str, spoiled: Spoiled) -> None:
    picture, before = pair(spoiled, CASES[kind].shown)
    same_faults(find_faults(picture, before=before),
                find_faults(picture.mirrored(), before=before and before.mirrored()), mirrored=True)


def same_faults(some: list[Fault], others: list[Fault], mirrored: bool = False) -> None:
    """Same kinds, players and mended places; words may name the other side."""
    assert [(f.kind, f.players) for f in some] == [(f.kind, f.players) for f in others]
    for f, g in zip(some, others, strict=True):
        assert (f.changed is None) == (g.changed is None)
        if f.changed is not None and g.changed is not None:
            there = {q.number: q.xy for q in (g.changed.mirrored() if mirrored else g.changed).pressing}
            for q in f.changed.pressing:
                np.testing.assert_allclose(q.xy, there[q.number], atol=1e-9)


def test_words_name_the_side_that_the_pressing_team_sees(spoiled: Spoiled) -> None:
    kind = "cover on the wrong side"
    picture = spoiled(**CASES[kind].shown)
    assert "to the left" in the(kind, picture).why and "to the right" in the(kind, picture.mirrored()).why


# -- exceptions --------------------------------------------------------------------------------------------------------


def test_ball_beyond_the_line_of_confrontation_needs_no_pressure(spoiled: Spoiled) -> None:
    picture = spoiled(**CASES["nobody goes"].shown)
    mid = Rulebook().with_settings(confrontation_x_m=17)
    assert {"no pressure on the ball", "nobody goes"} <= set(kinds(picture))
    assert not {"no pressure on the ball", "nobody goes"} & set(kinds(picture, mid))


def test_block_that_waits_is_no_fault(spoiled: Spoiled) -> None:
    low = dict(zip(("9", "11", "10", "7"), ((24, 1), (20, 22), (18, 3), (20, -16)), strict=True))
    assert "no pressure on the ball" not in kinds(spoiled(low))
    assert "no pressure on the ball" in kinds(spoiled({**low, "9": (28, 6)}))


def test_full_back_in_the_corner_is_not_watched_from_afar(spoiled: Spoiled) -> None:
    """All goal-side, the nearest 11 m off: a block that waits further up the pitch, a fault in our corner."""
    box = {"9": (-22, 6), "10": (-28, -2), "11": (-36, 18), "7": (-34, -14), "6": (-39, 8), "8": (-38, -2),
           "3": (-45, 14), "4": (-46, 5), "5": (-46, -3), "2": (-45, -11), "1": (-51, 1)}
    theirs = {"11": (-40, 29), "9": (-44, 3), "10": (-38, -6), "8": (-30, 10), "7": (-40, -20)}
    corner = spoiled({**box, "9": (-40, 4), "10": (-41, 6), "11": (-42, 18)}, theirs, (-40, 29))
    assert "no pressure on the ball" in kinds(corner)
    assert "no pressure on the ball" not in kinds(corner.moved("pressing", "3", (-41, 26)))


def test_centre_back_who_runs_up_at_an_open_ball(spoiled: Spoiled) -> None:
    """Seen from his run alone; a walk is none, nor a covered ball."""
    for ours, run_mps, shows in ((ALONE, 4.0, True), (ALONE, 2.0, False), ({}, 4.0, False)):
        assert ("runs up with an open ball" in kinds(spoiled(ours, our_runs={"4": (run_mps, 0.0)}))) == shows


def test_carrier_facing_his_own_goal_is_no_open_ball(spoiled: Spoiled) -> None:
    picture = spoiled(**CASES["no pressure on the ball"].shown)
    away = replace(picture, possession=tuple(
        replace(q, facing_deg=0.0) if q.number == "5" else q for q in picture.possession))
    assert "no pressure on the ball" not in kinds(away)


def test_runner_who_is_there_within_a_second_is_pressure(spoiled: Spoiled) -> None:
    picture = spoiled(ours={"9": (29, 6)})
    runs = replace(picture, pressing=tuple(
        replace(q, velocity=(5.0, 3.3)) if q.number == "9" else q for q in picture.pressing))
    assert "no pressure on the ball" in kinds(picture) and "no pressure on the ball" not in kinds(runs)


def test_cover_who_denies_is_not_called_flat_or_near(spoiled: Spoiled) -> None:
    shown = spoiled(**CASES["flat cover"].shown)
    assert "flat cover" in kinds(shown)
    his = replace(shown, possession=tuple(q.at((34.5, 0.5)) if q.number == "6" else q for q in shown.possession))
    assert "flat cover" not in kinds(his)


@pytest.mark.parametrize("restart", ["throw-in", "goal kick", "keeper holds"])
def test_restarts_are_not_judged(restart: str, spoiled: Spoiled) -> None:
    picture = spoiled(**CASES["block too long"].shown)
    assert find_faults(picture) and find_faults(replace(picture, restart=restart)) == []


def test_loose_ball_and_our_ball_are_not_judged(spoiled: Spoiled) -> None:
    picture = spoiled(**CASES["block too long"].shown)
    assert find_faults(picture.with_ball((40, 25))) == find_faults(picture.with_ball((22.2, 2.1))) == []


def test_outnumbered_line_that_gives_way_is_no_fault() -> None:
    counter = scene("counter-attack 4 v 3")
    assert "no pressure on the ball" not in kinds(counter) and "nobody goes" not in kinds(counter)
    assert "not goal-side after loss" in kinds(counter)


def test_far_side_needs_a_ball_off_the_middle(spoiled: Spoiled) -> None:
    middle = dict(theirs={"5": (35, 3), "4": (36, -18)}, ball=(35, 3))
    assert not any(kind.startswith("far side") for kind in kinds(spoiled({"9": (33.6, 2.8), "7": (22, -8)}, **middle)))


def test_picture_before_is_needed_for_some_kinds_only(spoiled: Spoiled) -> None:
    for kind, case in CASES.items():
        picture, before = pair(spoiled, case.shown)
        assert (kind in kinds(picture)) == (before is None), kind


TRAPPED = {"presser opens his own man": "2", "gap open": "8", "gap open with a man in it": "8",
           "striker presses, midfield stays": "6", "far side too narrow": "3", "no balance": "3"}


@pytest.mark.parametrize(("kind", "man"), TRAPPED.items())
def test_man_who_is_left_free_as_a_trap_is_no_fault(kind: str, man: str, spoiled: Spoiled) -> None:
    picture = spoiled(**CASES[kind].shown)
    assert kind not in kinds(picture, trap=man)
    assert kind in kinds(picture, trap="1")


def test_two_may_close_a_trap(spoiled: Spoiled) -> None:
    picture = spoiled(**CASES["two press one ball"].shown)
    assert "two press one ball" not in kinds(picture, trap="5") and "two press one ball" in kinds(picture, trap="10")


@pytest.mark.parametrize("kind", ["far side too narrow", "no balance"])
def test_carrier_who_faces_his_own_goal_plays_no_switch(kind: str, spoiled: Spoiled) -> None:
    picture = spoiled(**CASES[kind].shown)
    assert kind in kinds(turned(picture, "5", 180.0)) and kind not in kinds(turned(picture, "5", 0.0))


def turned(picture: Situation, number: str, facing_deg: float) -> Situation:
    """The picture with one of theirs facing so."""
    return replace(picture, possession=tuple(
        replace(q, facing_deg=facing_deg) if q.number == number else q for q in picture.possession))


@pytest.mark.parametrize("kind", ["diving in", "late jump"])
def test_man_with_his_back_to_us_may_be_run_at(kind: str, spoiled: Spoiled) -> None:
    picture, before = pair(spoiled, CASES[kind].shown)
    assert kind not in kinds(turned(picture, "5", 0.0), before=before)


def test_ball_that_ran_too_far_may_be_gone_for(spoiled: Spoiled) -> None:
    picture = spoiled(**CASES["diving in"].shown)
    heavy = replace(picture, ball_xy=(35, 8.9), carrier="5")
    assert "diving in" in kinds(replace(picture, carrier="5")) and "diving in" not in kinds(heavy)


def test_who_is_run_at_does_not_dive(spoiled: Spoiled) -> None:
    assert "diving in" not in kinds(spoiled(runs={"5": (-1.0, -5.0)}))
    away = {"runs": {"5": (1.0, 4.0)}, "our_runs": {"9": (1.0, 4.9)}}
    assert "diving in" not in kinds(spoiled(**away))


def test_pictures_without_velocities_tell_the_least_speed(spoiled: Spoiled) -> None:
    """6.5 m in a second, braking all the time at 6 m/s2: 3.5 m/s are left. 6 m: 3 m/s."""
    for run_m, dives in ((6.6, True), (5.9, False)):
        before = spoiled({"9": (34.7, 8.5 - run_m)})
        assert ("diving in" in kinds(spoiled(), before=before)) == dives


def test_man_who_had_the_ball_already_is_not_jumped_at_late(spoiled: Spoiled) -> None:
    picture, _ = pair(spoiled, CASES["late jump"].shown)
    assert "late jump" not in kinds(picture, before=spoiled(**{**CASES["late jump"].shown["before"], "ball": (35, 10)}))


def test_first_touch_that_rolls_on_is_not_under_control(spoiled: Spoiled) -> None:
    picture, before = pair(spoiled, CASES["late jump"].shown)
    assert "late jump" not in kinds(replace(picture, ball_velocity=(-1.0, 6.0)), before=before)


@pytest.mark.parametrize(("kind", "runs"), [
    ("no pressure on the ball", {"9": (4.0, 3.0)}), ("nobody goes", {"9": (2.9, 2.4), "11": (2.9, -2.4)})])
def test_who_is_on_his_way_need_not_be_told_to_go(kind: str, runs: Spoil, spoiled: Spoiled) -> None:
    jogs = {number: (x / 2, y / 2) for number, (x, y) in runs.items()}
    assert kind not in kinds(spoiled(**CASES[kind].shown, our_runs=runs))
    assert kind in kinds(spoiled(**CASES[kind].shown, our_runs=jogs))


def test_pass_back_to_his_own_man_beats_no_presser(spoiled: Spoiled) -> None:
    kind = "presser opens his own man"
    shown = {**CASES[kind].shown, "theirs": {"2": (38, 20)}}
    assert kind not in kinds(spoiled(**shown))
    assert kind in kinds(spoiled(**{**shown, "theirs": {"2": (34, 20)}}))


def test_third_man_behind_gives_depth_to_flat_two(spoiled: Spoiled) -> None:
    ours = CASES["flat cover"].shown["ours"]
    assert "flat cover" not in kinds(spoiled({**ours, "8": (28, 6)}))
    assert "flat cover" in kinds(spoiled({**ours, "8": (22, 2)}))


def test_line_may_go_with_a_runner(spoiled: Spoiled) -> None:
    kind = "line drops with a covered ball"
    before = spoiled(**CASES[kind].shown["before"])
    for run_mps, shows in ((5.0, False), (2.0, True)):
        assert (kind in kinds(spoiled(runs={"9": (-run_mps, 0.0)}), before=before)) == shows


def test_line_that_runs_back_is_not_broken(spoiled: Spoiled) -> None:
    shown = CASES["broken line"].shown
    for run_mps, shows in ((5.0, False), (1.0, True)):
        runs = dict.fromkeys(("2", "5", "4", "3"), (-run_mps, 0.0))
        assert ("broken line" in kinds(spoiled(**shown, our_runs=runs))) == shows


LINES = ("runs up with an open ball", "line drops with a covered ball")


@pytest.mark.parametrize("kind", LINES)
def test_ball_in_the_air_and_restarts_excuse_the_line(kind: str, spoiled: Spoiled) -> None:
    picture, before = pair(spoiled, CASES[kind].shown)
    assert before is not None
    assert kind not in kinds(replace(picture, ball_height_m=4.0), before=before)
    assert kind not in kinds(picture, before=replace(before, restart="goal kick"))


@pytest.mark.parametrize(("kind", "back_m"), [(LINES[0], -3.0), (LINES[1], 3.0)])
def test_line_may_go_with_the_ball(kind: str, back_m: float, spoiled: Spoiled) -> None:
    """The carrier has brought the ball as far as the line has gone."""
    picture, before = pair(spoiled, CASES[kind].shown)
    assert before is not None
    there = {q.number: q.xy for q in before.pressing}
    carried = spoiled(ours={**there, "9": (there["9"][0] + back_m, there["9"][1])}, theirs={"5": (35 + back_m, 10)},
                      ball=(35 + back_m, 10))
    assert kind in kinds(picture, before=before) and kind not in kinds(picture, before=carried)


def test_line_may_step_where_nobody_can_run_behind(spoiled: Spoiled) -> None:
    kind, away = "runs up with an open ball", {"9": (9, 1), "11": (8, 29), "7": (8, -29)}
    picture, before = pair(spoiled, CASES[kind].shown)
    nobody = replace(picture, possession=tuple(q.at(away.get(q.number, q.xy)) for q in picture.possession))
    assert kind not in kinds(nobody, before=before)


# -- a plan carried out ------------------------------------------------------------------------------------------------


def test_worked_scene_carried_out_shows_none(carried_out: Spoiled) -> None:
    worked = scene("worked scene")
    assert find_faults(worked) and find_faults(carried_out(worked)) == find_faults(carried_out(worked.mirrored())) == []


# What cannot be closed at once. Press broken, and behind the midfield: he who gives way waits before his line, and the
# others come back first; then one of them goes. Press broken: 5 slides as far as he may, not as far as their winger.
LEFT_OPEN = {"behind the midfield": ["no pressure on the ball", "nobody goes"],
             "press broken": ["no pressure on the ball", "full-back steps, nobody slides"]}
# One picture later. Four against three: the rest are back only now. The far side: its guard goes in with the nearer man
# whom the slide of the line has uncovered, and the line reaches the wide one a picture later.
LEFT_OPEN_NEXT = {"counter-attack 4 v 3": ["no pressure on the ball", "nobody goes"],
                  "full-back on the ball": ["far side too narrow"]}


@pytest.mark.parametrize("name", sorted(scene_names()))
def test_named_scene_carried_out_shows_none(name: str, carried_out: Spoiled) -> None:
    there = carried_out(scene(name))
    assert kinds(there) == kinds(carried_out(scene(name).mirrored())) == LEFT_OPEN.get(name, [])


@pytest.mark.parametrize("name", sorted(scene_names()))
def test_what_was_left_open_is_closed_two_pictures_later(name: str, carried_out: Spoiled) -> None:
    there = carried_out(carried_out(scene(name)))
    assert kinds(there) == LEFT_OPEN_NEXT.get(name, []) and kinds(carried_out(there)) == []


def test_line_that_is_sliding_need_not_be_told_to(spoiled: Spoiled) -> None:
    shown = CASES["full-back steps, nobody slides"].shown
    for run_mps, shows in ((5.0, False), (1.0, True)):
        slides = spoiled(**shown, our_runs={"4": (0.0, run_mps)})
        assert ("full-back steps, nobody slides" in kinds(slides)) == shows


def test_line_on_the_halfway_line_need_not_go_up(spoiled: Spoiled) -> None:
    back = {number: (-0.5, y) for number, y in (("2", -13), ("5", -3), ("4", 8), ("3", 20))}
    high = dict(theirs={"5": (46, 10), "9": (3, 1)}, ball=(46, 10))
    assert "block too long" not in kinds(spoiled({**back, "11": (46, 26)}, **high))
    deeper = {number: (-5.0, y) for number, (_, y) in back.items()}
    assert "block too long" in kinds(spoiled({**deeper, "11": (46, 26)}, **high))


# -- any picture -------------------------------------------------------------------------------------------------------


@examples(60)
@given(data=st.data())
def test_any_picture_gives_faults_in_whatever_order_its_players_come(
        data: st.DataObject, pictures: Pictures) -> None:
    picture = data.draw(pictures)
    found = find_faults(picture)
    assert all(fault.kind in KINDS and fault.players and fault.why and fault.change for fault in found)
    turned = replace(picture, pressing=picture.pressing[::-1], possession=picture.possession[::-1])
    same_faults(found, find_faults(turned))


@examples(60)
@given(data=st.data())
def test_mirrored_picture_has_mirrored_faults(data: st.DataObject, leaning: Pictures) -> None:
    picture = data.draw(leaning)
    same_faults(find_faults(picture), find_faults(picture.mirrored()), mirrored=True)


@examples(60)
@given(data=st.data(), seconds=st.floats(0.2, 3.0))
def test_any_two_pictures_mirror(data: st.DataObject, seconds: float, leaning: Pictures) -> None:
    """The picture before is any on the same pitch: other numbers of players, another ball side, another carrier."""
    picture, other = data.draw(leaning), data.draw(leaning)
    before = other if other.pitch == picture.pitch else picture.mirrored()
    found = find_faults(picture, None, before, seconds)
    same_faults(found, find_faults(picture.mirrored(), None, before.mirrored(), seconds), mirrored=True)


@examples(40)
@given(data=st.data())
def test_mended_picture_has_fewer_of_the_kind(data: st.DataObject, pictures: Pictures) -> None:
    picture = data.draw(pictures)
    found = find_faults(picture)
    for fault in found:
        if fault.changed is not None:
            assert kinds(fault.changed).count(fault.kind) < [f.kind for f in found].count(fault.kind)


@pytest.mark.parametrize("wrong", [None, 3, "a picture"])
def test_says_what_it_wants(wrong: Any, spoiled: Spoiled) -> None:
    with pytest.raises(PressingError, match="expected a Situation"):
        find_faults(wrong)
    with pytest.raises(PressingError, match="expected a Rulebook"):
        find_faults(spoiled(), "rules")  # type: ignore[arg-type]
    with pytest.raises(PressingError, match="picture before"):
        find_faults(spoiled(), before="earlier")  # type: ignore[arg-type]
    with pytest.raises(PressingError, match="the same pitch"):
        find_faults(spoiled(), before=Situation.line_up(pitch=Pitch(95, 60)))
    with pytest.raises(PressingError, match=r"0\.2 to 3"):
        find_faults(spoiled(), before=spoiled(), before_s=10)
    with pytest.raises(PressingError, match="possession team"):
        find_faults(spoiled(), trap="99")
