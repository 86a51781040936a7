"""The layers beyond roles: each says what the plan says, where it says it."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations
from math import dist, exp, hypot

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.spatial import cKDTree
from shapely import LineString, Point, Polygon, box

from pressinglib import Board, Plan, PressingError, Rulebook, Situation, plan_press
from pressinglib.field.scene_file import OwnMark, scene
from pressinglib.physics import arrival_time
from pressinglib.physics.lanes import offside_line_m
from pressinglib.show.drawing import differences, draw_compared, draw_plan, draw_situation
from pressinglib.show.labels import Labels, text_half
from pressinglib.show.marks import Arrow, Label, Line, Mark, Token
from pressinglib.show.playback import Runs, brake_xy
from pressinglib.show.primitives import crop_box, cropped
from pressinglib.show.style import PENS


def of(situation: Situation, layer: str, kind: type[Mark] = Mark, **how: object) -> list[Mark]:
    drawing = draw_plan(situation, plan_press(situation), [layer], **how)
    return [mark for mark in drawing.marks if mark.layer == layer and isinstance(mark, kind)]


def said(marks: list[Mark]) -> list[str]:
    return [mark.words for mark in marks if isinstance(mark, Label)]


def test_zones_of_players_at_rest_are_the_nearest_places(worked: Situation) -> None:
    """Equal players at rest: borders of Voronoi; a border is off the true one by less than its pen is wide."""
    players = np.array([player.xy for player in worked.pressing])
    borders = of(worked, "zones", Line)
    assert len(borders) >= 15
    for border in borders:
        away, who = cKDTree(players).query(border.points, k=2)
        between = np.linalg.norm(players[who[:, 0]] - players[who[:, 1]], axis=1)
        off_m = (away[:, 1] ** 2 - away[:, 0] ** 2) / (2 * between)  # to the perpendicular bisector
        assert off_m.max() < PENS["zone"].width_m, border.points


def test_zones_follow_a_run(worked: Situation) -> None:
    runner = replace(worked.player("pressing", "9"), velocity=(-6.0, 0.0))
    others = tuple(runner if p.number == "9" else p for p in worked.pressing)
    assert of(replace(worked, pressing=others), "zones") != of(worked, "zones")


def slowed(worked: Situation, **tops: float) -> Situation:
    """Some have a top speed of their own, by number."""
    return replace(worked, pressing=tuple(replace(p, top_speed_mps=tops.get(f"n{p.number}")) for p in worked.pressing))


def test_zones_know_top_speeds(worked: Situation) -> None:
    """On a border two are there at once, each at his own speed, and nobody sooner."""
    slow = slowed(worked, n9=5.5, n4=6.0)
    for border in of(slow, "zones", Line):
        first, second, *_ = np.sort([arrival_time(p.xy, p.velocity, border.points, top_speed_mps=p.top_speed_mps or 7.8)
                                     for p in slow.pressing], axis=0)
        assert (second - first).max() < 0.1


def test_one_player_has_the_whole_pitch(worked: Situation) -> None:
    alone = replace(worked, pressing=worked.pressing[:1])
    assert of(alone, "zones") == []


def test_control_covers_ours_and_theirs_without_overlap(worked: Situation) -> None:
    areas = {style: [Polygon(m.points).buffer(0) for m in of(worked, "control") if m.style == f"control {style}"]
             for style in ("ours", "theirs")}
    ours, theirs = (sum(shape.area for shape in shapes) for shapes in areas.values())
    assert ours > 2000 and theirs > 500 and ours + theirs < 105 * 68
    assert sum(a.intersection(b).area for a in areas["ours"] for b in areas["theirs"]) < 1.0


def test_take_over_names_the_next_man_on_each_way(worked: Situation, worked_plan: Plan) -> None:
    wanted = [f"{who}: {time:.1f} s" for who, time in worked_plan.take_over.values()]
    assert said(of(worked, "take-over")) == wanted
    assert len(of(worked, "take-over", Arrow)) == 3


def test_surplus_is_the_one_that_the_rule_counts(worked: Situation) -> None:
    ours = [p.xy for p in worked.pressing if not p.is_goalkeeper and p.number != plan_press(worked).presser]
    theirs = [p.xy for p in worked.possession if not p.is_goalkeeper and p.number != "5"]
    x, y = worked.ball_xy
    left, right = (sum(one * (sign * (py - y) > 0 and hypot(px - x, py - y) <= 25.0)
                       for one, team in ((1, ours), (-1, theirs)) for px, py in team) for sign in (1, -1))
    assert said(of(worked, "surplus")) == [f"left {left:+d}".replace("+0", "0"),
                                           f"right {right:+d}".replace("-", "\N{MINUS SIGN}")]
    mirrored = said(of(worked.mirrored(), "surplus"))
    assert {words.split()[0]: words.split()[1] for words in mirrored} == {
        {"left": "right", "right": "left"}[words.split()[0]]: words.split()[1] for words in said(of(worked, "surplus"))}


def test_the_offside_line_is_that_of_law_11(worked: Situation) -> None:
    line = next(m for m in of(worked, "back line", Line) if m.style == "offside")
    assert {x for x, _ in line.points} == {offside_line_m(worked)}
    assert "hold the line" in said(of(worked, "back line"))


def test_the_far_side_limit_is_a_circle_about_the_far_man(worked: Situation, worked_plan: Plan) -> None:
    away = [dist(xy, worked.player("possession", "3").xy) for m in of(worked, "far side", Line) for xy in m.points]
    assert away == pytest.approx([worked_plan.far_side_limit_m] * len(away), abs=0.05)
    assert said(of(worked, "far side")) == [f"{worked_plan.far_side_limit_m:.1f}"]


def test_block_and_distances_are_measured_on_the_picture(worked: Situation) -> None:
    xy = np.array([p.xy for p in worked.pressing if not p.is_goalkeeper])
    assert said(of(worked, "block")) == [f"{size:.1f}" for size in np.ptp(xy, axis=0)]
    pair = [worked.player("pressing", number).xy for number in ("2", "5")]
    assert f"{dist(*pair):.1f}" in said(of(worked, "distances"))


def test_lengths_can_be_yards(worked: Situation) -> None:
    """The international yard of 1959: 0.9144 m."""
    metres, yards = (said(of(worked, "distances", labels=Labels(unit=unit))) for unit in ("metres", "yards"))
    assert [float(m) / 0.9144 for m in metres] == pytest.approx([float(y) for y in yards], abs=0.11)
    drawing = draw_plan(worked, plan_press(worked), labels=Labels(unit="yards"))
    assert "1.6 yd off" in drawing.words and " m " not in drawing.words


def test_the_brake_bar_lies_on_the_run_before_its_end(worked: Situation, worked_plan: Plan) -> None:
    run, place = LineString(worked_plan.assignments["9"].path), Point(brake_xy(worked_plan, "9"))
    assert run.distance(place) < 0.05
    # From rest, v = 7.8 (1 - e^-1.3t) and its integral; he brakes where v^2 / (2 * 6) is the way that is left.
    settings = worked_plan.rulebook.settings
    assert (settings.top_speed_mps, settings.alpha_per_s, settings.deceleration_mps2) == (7.8, 1.3, 6.0)

    def left_over(time_s: float) -> float:
        speed = 7.8 * (1 - exp(-1.3 * time_s))
        return run.length - (7.8 * time_s - speed / 1.3) - speed**2 / 12

    time_s = brentq(left_over, 0, 10)
    assert run.project(place) == pytest.approx(7.8 * time_s - 6 * (1 - exp(-1.3 * time_s)), abs=0.2)
    assert [m.style for m in of(worked, "roles", Line)].count("brake") == 1


def test_runs_end_at_the_spots_when_the_plan_says(worked: Situation, worked_plan: Plan) -> None:
    for plan in (worked_plan, plan_press(slowed(worked, n9=5.0, n10=4.0, n2=9.5))):
        runs = Runs(plan)
        for number, job in plan.assignments.items():
            before, there = (runs.at(job.arrival_s + late).player("pressing", number).xy for late in (-0.4, 0.3))
            assert dist(there, job.target_xy) < 0.05
            assert dist(before, job.target_xy) > 0.05 or dist(job.path[0], job.target_xy) < 0.7
        assert runs.at(99.0).possession == worked.possession


def test_nobody_runs_faster_than_he_can(worked: Situation, worked_plan: Plan) -> None:
    runs, top = Runs(worked_plan), worked_plan.rulebook.settings.top_speed_mps
    places = np.array([[p.xy for p in runs.at(t).pressing] for t in np.arange(0, runs.lasts_s, 0.1)])
    assert np.linalg.norm(np.diff(places, axis=0), axis=-1).max() <= (top * 0.1) + 1e-6


def test_a_travelling_ball_arrives_with_the_runs(worked: Situation) -> None:
    travelling = replace(worked, carrier=None, receiver="2", ball_velocity=(-5.0, 14.0))
    runs = Runs(plan_press(travelling))
    assert runs.at(0.2).receiver == "2" and runs.at(4.0).on_ball == "2"
    assert 0 < dist(runs.at(0.2).ball_xy, worked.ball_xy) < 4.0


def test_shirts_can_be_without_numbers(worked: Situation) -> None:
    blank = draw_situation(worked, labels=Labels("none"))
    assert {m.words for m in blank.marks if isinstance(m, Token)} == {""}


def test_who_moved_leaves_a_ghost(worked: Situation) -> None:
    now = worked.moved("pressing", "9", (10.0, 0.0))
    ghosts = [m for m in draw_situation(now, start=worked).marks if m.layer == "start" and isinstance(m, Token)]
    assert [(m.words, m.xy) for m in ghosts] == [("9", worked.player("pressing", "9").xy)]
    assert not [m for m in draw_situation(worked, start=worked).marks if m.layer == "start"]


def test_own_marks_are_drawn_with_their_words(worked: Situation) -> None:
    marks = [OwnMark("arrow", [(0, 0), (9, 0)], "go"), OwnMark("zone", [(0, 0), (9, 0), (9, 9)]),
             OwnMark("note", [(0, 20)], "<b>wait</b>"), OwnMark("ruler", [(0, 0), (0, 9.144)])]
    drawn = [m for m in draw_situation(worked, marks=marks, labels=Labels(unit="yards")).marks if m.layer == "own"]
    assert said(drawn) == ["go", "<b>wait</b>", "10.0"]


def test_two_rulebooks_on_one_picture(worked: Situation) -> None:
    inside = plan_press(worked, Rulebook().with_settings(steering="inside"))
    drawing = draw_compared(worked, plan_press(worked), inside, ("outside", "inside"))
    places = [m.xy for m in drawing.marks if m.layer == "other" and m.style == "other pressure" and type(m) is not Label
              and not isinstance(m, Line)]
    assert places == [tuple(inside.assignments["9"].target_xy.tolist())]
    assert "Outside: 9 presses from the right" in drawing.words and "With inside: he is steered right" in drawing.words


def test_what_differs_is_said(worked: Situation, worked_plan: Plan) -> None:
    inside = plan_press(worked, Rulebook().with_settings(steering="inside"))
    phrases = differences(worked_plan, inside)
    assert "he is steered right" in phrases and worked_plan.steer == "left"
    for number, job in worked_plan.assignments.items():
        mine, other = job.target_xy, inside.assignments[number]
        told = [phrase for phrase in phrases if phrase.split()[0].rstrip(":") == number]
        assert len(told) == (dist(mine, other.target_xy) >= 1.0 or job.role != other.role)
        if told and job.role == other.role and abs(other.target_xy[1] - mine[1]) >= 0.5:
            assert f"{abs(other.target_xy[1] - mine[1]):.1f} m further" in told[0]
    free = [{n for n, state in plan.account.items() if state == "free"} for plan in (worked_plan, inside)]
    assert any("no longer open" in phrase for phrase in phrases) == bool(free[0] - free[1])
    assert any("open as well" in phrase for phrase in phrases) == bool(free[1] - free[0])
    same = draw_compared(worked, worked_plan, worked_plan).words
    assert same.endswith("Nobody stands elsewhere.")


@pytest.mark.parametrize("part", ["attacking half", "own half", (0.0, 30.0, -10.0, 20.0)])
def test_a_part_of_the_pitch_holds_what_is_in_it(worked: Situation, part: object) -> None:
    x0, x1, y0, y1 = crop_box(worked.pitch, part, 3.6)
    drawing = draw_plan(worked, plan_press(worked), ["roles", "control", "lanes"])
    kept = list(cropped(drawing.marks, (x0, x1, y0, y1)))
    points = np.array([xy for m in kept for xy in (m.points if isinstance(m, Line) else [m.xy])])
    assert (points >= np.array([x0, y0]) - 1e-9).all() and (points <= np.array([x1, y1]) + 1e-9).all()
    tokens = [m.xy for m in drawing.marks if isinstance(m, Token) and m.style != "ball"]
    assert sum(isinstance(m, Token) and m.style != "ball" for m in kept) == sum(
        x0 <= x <= x1 and y0 <= y <= y1 for x, y in tokens)


@pytest.mark.parametrize("part", ["left", (0, 5, 0, 5), (1, 2, 3), (0, "a", 0, 50)])
def test_what_is_no_part_is_refused(worked: Situation, part: object) -> None:
    with pytest.raises(PressingError):
        crop_box(worked.pitch, part, 3.6)


def test_the_approach_angle_is_that_of_the_plan(worked: Situation, worked_plan: Plan) -> None:
    way = np.subtract(worked_plan.end_xy, worked.ball_xy)
    goal = np.subtract(worked.pitch.own_goal_xy, worked.ball_xy)
    angle = np.degrees(np.arccos(way @ goal / hypot(*way) / hypot(*goal)))
    assert said(of(worked, "shadow")) == [f"{angle:.0f}\N{DEGREE SIGN}"]
    assert said(of(scene("throw-in"), "shadow")) == [] or "\N{DEGREE SIGN}" in said(of(scene("throw-in"), "shadow"))[0]


def test_the_shadow_reaches_whom_it_hides_and_the_words_follow(worked: Situation) -> None:
    """At 70 degrees off the ball-goal line a man 36 m away counts as hidden."""
    board = Board(scene("build-up left"))
    said: dict[int, str] = {}
    for angle in (45, 70):
        board.approach_at(angle)
        said[angle] = board.panel.words.text.removeprefix(board.plan.words)
        wedge = next(m for m in board.drawing.marks if m.style == "shadow")
        hidden = [n for n, state in board.plan.account.items() if state == "shadow"]
        assert all(Polygon(wedge.points).contains(Point(board.place_of("possession", n))) for n in hidden)
        assert all(f" {n}" in said[angle] for n in hidden) and bool(hidden) == bool(said[angle])
    assert said[45] != said[70]


def test_words_keep_clear_of_each_other_on_an_upright_page() -> None:
    """Boxes of words as they lie on a page that is turned: they overlap less if the drawing knows of it."""

    def overlap(labels: Labels) -> float:
        drawing = draw_plan(crowded, plan_press(crowded), ["roles", "lanes", "gaps"], labels=labels)
        boxes = [box(y - wide, x - high, y + wide, x + high) for mark in drawing.marks if isinstance(mark, Label)
                 and not isinstance(mark, Token) for (x, y), (wide, high) in [(mark.xy, text_half(mark.words, 1.5))]]
        return sum(a.intersection(b).area for a, b in combinations(boxes, 2))

    crowded = scene("throw-in")
    assert overlap(Labels(upright=True)) < 0.7 * overlap(Labels())
