"""Drawings: what is in a picture, as data."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest

from pressinglib import Pitch, Plan, PressingError, Situation, plan_press
from pressinglib.field.scene_file import scene, scene_names
from pressinglib.show.drawing import LAYERS, Drawing, draw_plan, draw_situation
from pressinglib.show.labels import LabelPlacement, situation_title, text_half
from pressinglib.show.marks import Area, Arrow, Label, Line, Mark, Spot, Token, arc, trimmed
from tests.show.drawn_text import drawn_text

ALL = tuple(LAYERS)


def marks(drawing: Drawing, kind: type[Mark], layer: str) -> list[Mark]:
    return [mark for mark in drawing.marks if type(mark) is kind and mark.layer == layer]


def mirrored(mark: Mark) -> Mark:
    if isinstance(mark, Line):
        return replace(mark, points=tuple((x, -y) for x, y in mark.points))
    return replace(mark, xy=(mark.xy[0], -mark.xy[1])) if isinstance(mark, Spot) else mark


def test_the_worked_scene_as_text(worked: Situation, worked_plan: Plan) -> None:
    lines = drawn_text(draw_plan(worked, worked_plan)).splitlines()
    assert lines[0] == "Their 5 on the ball, high, near their box, left of centre"
    assert lines[1] == worked_plan.words
    x, y = worked_plan.assignments["10"].target_xy
    assert f"roles: spot cover {x:.1f},{y:.1f}" in lines
    assert "players: token pressing '9' 27.0,-2.0" in lines
    assert "pitch: line marking 0.0,-34.0 0.0,34.0" in lines


def test_the_same_picture_gives_the_same_text(worked: Situation) -> None:
    assert draw_plan(worked, plan_press(worked), ALL) == draw_plan(worked, plan_press(worked), reversed(ALL))


def test_every_player_has_a_token_a_spot_and_a_letter(worked: Situation, worked_plan: Plan) -> None:
    drawing = draw_plan(worked, worked_plan)
    assert len(marks(drawing, Token, "players")) == 23
    spots = {(mark.style, mark.xy) for mark in marks(drawing, Spot, "roles")}
    true = {(a.role, tuple(a.target_xy.tolist())) for a in worked_plan.assignments.values()}
    ((_, aside),), ((_, spot),) = spots - true, true - spots  # the presser's lies beside the carrier
    assert 0.5 < np.hypot(*np.subtract(aside, spot)) < 3.0
    assert sorted(m.words for m in marks(drawing, Label, "roles")) == sorted("PCCBBBLLLLG")


def test_a_run_leaves_the_token_and_ends_at_the_form(worked: Situation, worked_plan: Plan) -> None:
    job = worked_plan.assignments["9"]
    drawing = draw_plan(worked, worked_plan)
    run = next(mark for mark in marks(drawing, Arrow, "roles") if mark.style == "pressure")
    spot = next(mark for mark in marks(drawing, Spot, "roles") if mark.style == "pressure")
    assert 1.6 < np.hypot(*np.subtract(run.points[0], job.path[0])) < 2.2
    assert 1.0 < np.hypot(*np.subtract(run.points[-1], spot.xy)) < 2.5
    assert len(run.points) > 3  # an arc, not a line


@pytest.mark.parametrize("layer", ALL)
def test_only_the_layers_asked_for_are_drawn(worked: Situation, worked_plan: Plan, layer: str) -> None:
    bare = {mark.layer for mark in draw_situation(worked).marks}
    assert {mark.layer for mark in draw_plan(worked, worked_plan, [layer]).marks} - bare == {layer}
    assert {mark.layer for mark in draw_plan(worked, worked_plan, layer).marks} - bare == {layer}


def test_an_unknown_layer_is_named_with_those_that_exist(worked: Situation, worked_plan: Plan) -> None:
    with pytest.raises(PressingError, match="roles, shadow, gaps, lanes, .*; got 'space'"):
        draw_plan(worked, worked_plan, ["space"])


def test_lanes_and_gaps_are_those_of_the_plan(worked: Situation, worked_plan: Plan) -> None:
    drawing = draw_plan(worked, worked_plan, ALL)
    drawn = sorted(m.style for m in marks(drawing, Line, "lanes"))
    assert drawn == sorted(row["state"] for row in worked_plan.lanes)
    gap = next(iter(worked_plan.gaps))
    assert f"{gap['width_m']:.1f} / {gap['limit_m']:.1f}" in [m.words for m in marks(drawing, Label, "gaps")]


def test_the_shadow_starts_at_the_presser_and_stays_on_the_pitch(worked: Situation, worked_plan: Plan) -> None:
    wedge = np.array(marks(draw_plan(worked, worked_plan, ["shadow"]), Area, "shadow")[0].points)
    away = np.hypot(*(wedge - worked.ball_xy).T)
    assert away.min() == pytest.approx(1.5, abs=0.1) and away.max() <= 25.0 + 1e-6
    assert worked.pitch.holds(wedge).all()


@pytest.mark.parametrize("name", scene_names())
def test_every_scene_can_be_drawn_with_all_layers(name: str) -> None:
    situation = scene(name)
    drawing = draw_plan(situation, plan_press(situation), ALL)
    assert drawing.words and "nan" not in drawn_text(drawing)


@pytest.mark.parametrize("name", ["worked scene", "press broken", "throw-in"])
def test_a_mirrored_picture_gives_the_mirrored_drawing(name: str) -> None:
    """All but labels, which go where there is room, and borders that are thinned out along their way."""
    situation, exact = scene(name), set(ALL) - {"zones", "control"}
    one, other = (draw_plan(s, plan_press(s), exact).marks for s in (situation, situation.mirrored()))
    assert Counter(map(figure, map(mirrored, one))) == Counter(map(figure, other))


def figure(mark: Mark) -> tuple[str, str, frozenset[tuple[float, float]]]:
    """What a mark shows, whichever end it starts from; places to a millimetre."""
    points = mark.points if isinstance(mark, Line) else () if type(mark) is Label else (mark.xy,)
    return type(mark).__name__, mark.style, frozenset((round(x, 3) + 0.0, round(y, 3) + 0.0) for x, y in points)


@pytest.mark.parametrize("name", scene_names())
def test_labels_of_roles_keep_clear_of_tokens(name: str) -> None:
    """In nine of ten at least: a crowd in a corner leaves no better place."""
    situation = scene(name)
    drawing = draw_plan(situation, plan_press(situation))
    tokens = np.array([mark.xy for mark in marks(drawing, Token, "players")])
    letters = marks(drawing, Label, "roles")
    half = np.add(text_half("P", 1.95), 1.2)
    hidden = [m for m in letters if (np.abs(tokens - m.xy) < half - 0.2).all(1).any()]
    assert len(hidden) <= 1


@pytest.mark.parametrize("name", scene_names())
def test_the_form_of_the_presser_lies_on_his_side_and_covers_neither_ball_nor_opponent(name: str) -> None:
    plan = plan_press(scene(name))
    job = plan.assignments.get(plan.presser or "")
    if job is None or np.hypot(*(job.path[0] - job.target_xy)) < 1.6:
        return
    drawing, ball = draw_plan(plan.situation, plan), plan.picture.turned_back(plan.picture.focus)[0]
    (shown,) = (m.xy for m in marks(drawing, Spot, "roles") if m.style == "pressure")
    away = {(m.style, m.number): np.hypot(*np.subtract(shown, m.xy)) for m in marks(drawing, Token, "players")}
    assert min(metres - (0.75 if team == "ball" else 1.6) for (team, _), metres in away.items()
               if team != "pressing") >= 2.0 - 1e-9
    (ax, ay), (bx, by) = shown - ball, job.target_xy - ball
    assert abs(np.degrees(np.arctan2(ax * by - ay * bx, ax * bx + ay * by))) < 1e-6


def test_a_ball_at_the_feet_does_not_hide_the_number(worked: Situation) -> None:
    def shown(situation: Situation, style: str, number: str = "") -> tuple[float, float]:
        return next(m.xy for m in draw_situation(situation).marks
                    if isinstance(m, Token) and (m.style, m.number) == (style, number))

    feet = shown(worked, "ball")
    assert np.hypot(*np.subtract(feet, shown(worked, "possession", "5"))) == pytest.approx(2.0, abs=0.05)
    assert shown(worked.with_ball((0, 0)), "ball") == (0.0, 0.0)
    assert shown(worked.mirrored(), "ball") == pytest.approx((feet[0], -feet[1]))


@pytest.mark.parametrize("name", [*scene_names(), "a crowd"])
@pytest.mark.parametrize("held", [None, ("pressing", "9"), ("ball", "")])
def test_no_number_lies_under_another_token(name: str, held: tuple[str, str] | None) -> None:
    """Also where twelve stand within three metres, and whoever is in a hand stays in it."""
    situation = scene("worked scene") if name == "a crowd" else scene(name)
    if name == "a crowd":
        near = np.random.default_rng(1).uniform(-1.5, 1.5, (12, 2)) + situation.ball_xy
        for team, places in (("pressing", near[:6]), ("possession", near[6:])):
            for player, xy in zip(situation.players(team)[5:], places, strict=True):
                situation = situation.moved(team, player.number, xy)
    drawing = draw_situation(situation, held=held)
    tokens = marks(drawing, Token, "players")
    xy = np.array([m.xy for m in tokens])
    away = np.hypot(*(xy[:, None] - xy).transpose(2, 0, 1)) + 9 * np.eye(len(xy))
    assert away[:-1, :-1].min() > 2 * 1.6 - 0.2 and away[-1, :-1].min() > 1.7
    for mark in tokens:
        if (mark.style, mark.number) == held:
            true = situation.ball_xy if held == ("ball", "") else situation.player(*held).xy
            assert mark.xy == pytest.approx(true)
    true = {xy for team in ("pressing", "possession") for xy in (p.xy for p in situation.players(team))}
    assert all(line.points[1] in true for line in marks(drawing, Line, "players"))


def test_a_pass_that_travels_is_an_arrow_to_its_receiver(worked: Situation) -> None:
    travelling = replace(worked, carrier=None, receiver="3", ball_velocity=(-5.0, 14.0))
    arrow, = marks(draw_situation(travelling), Arrow, "ball")
    assert arrow.points[0] == worked.ball_xy
    assert np.hypot(*np.subtract(arrow.points[-1], worked.player("possession", "3").xy)) < 3


def test_running_and_facing_are_shown_where_they_are_known(worked: Situation) -> None:
    runner = replace(worked.possession[0], velocity=(-4.0, 3.0), facing_deg=90.0)
    drawing = draw_situation(replace(worked, possession=(runner, *worked.possession[1:])))
    assert {"body", "run"} <= {mark.layer for mark in drawing.marks}
    assert not {"body", "run"} & {mark.layer for mark in draw_situation(worked).marks}


@pytest.mark.parametrize("pitch", [Pitch(), Pitch(120, 90), Pitch.youth("7v7")])
def test_the_markings_lie_on_the_pitch(pitch: Pitch) -> None:
    drawing = draw_situation(Situation.line_up(ball_xy=(5, 5), pitch=pitch))
    points = np.array([xy for mark in drawing.marks if mark.layer == "pitch" for xy in mark.points])
    assert pitch.holds(points, outside_m=2.0).all()


def test_law_1_distances() -> None:
    """IFAB Laws of the Game, Law 1: 16.5 m, 9.15 m, 7.32 m."""
    text = drawn_text(draw_situation(Situation.line_up()))
    assert "pitch: line marking 36.0,-20.2 52.5,-20.2 52.5,20.2 36.0,20.2 36.0,-20.2" in text
    assert "52.5,-3.7 54.5,-3.7 54.5,3.7 52.5,3.7" in text
    assert "9.1,0.0" in text or "9.2,0.0" in text


def test_lines_are_trimmed_and_arcs_run_from_x_to_y() -> None:
    assert trimmed(((0, 0), (10, 0)), 2, 3) == ((2.0, 0.0), (7.0, 0.0))
    assert trimmed(((0, 0), (1, 0)), 2, 3) == ()
    np.testing.assert_allclose(arc((1, 0), 2, 0, np.pi / 2, steps=1), [(3, 0), (1, 2)], atol=1e-12)


def test_words_go_where_they_cover_least_and_the_room_is_taken() -> None:
    placement = LabelPlacement(Pitch(), [(0, 0, 2, 2)])
    assert placement.place([(1, 0), (9, 0), (9, 1)], (1, 1)) == (9.0, 0.0)
    assert placement.place([(9, 0), (9, 9)], (1, 1)) == (9.0, 9.0)


def test_a_title_says_who_has_the_ball_and_where() -> None:
    loose = Situation.line_up(ball_xy=(30, 0)).with_ball((0, 0))
    assert situation_title(loose) == "Loose ball, around halfway, in the middle"
