"""The layers of a picture, each a function to marks: both teams and the ball; what the plan says; own marks."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from math import dist, hypot, pi

import numpy as np
from shapely import LineString, Point, Polygon, clip_by_rect, get_parts
from shapely.geometry.base import BaseGeometry

from pressinglib.field.player import BACK, XY, Player
from pressinglib.field.scene_file import OwnMark
from pressinglib.field.situation import Situation
from pressinglib.physics.lanes import offside_line_m
from pressinglib.roles.plan import Assignment, Plan
from pressinglib.roles.presser import surplus as sides_of
from pressinglib.roles.settings import NOBODY
from pressinglib.show.labels import LabelPlacement, around, text_half
from pressinglib.show.marks import Area, Arrow, Label, Line, Mark, Points, Spot, arc, as_points, sector, trimmed, waves
from pressinglib.show.playback import brake_xy
from pressinglib.show.style import BALL_M, LABEL_M, LETTER_M, ROLES, TICKED, TOKEN_M

DIAMOND_M = 2.0  # from the middle of the presser's form to its sides
FORM_M = 2.4  # room that a role's outline form takes around the spot
MINUS = str.maketrans("-", "\N{MINUS SIGN}")
TICK_M = 0.9
BESIDE_M = 1.4
BRAKE_M = 0.9
ANGLE_M, ANGLE_STEPS = 6.0, 12  # the bow of the approach angle: how far from the ball, of how many pieces
STRAIGHT_RAD = np.radians(3.0)
SHADOW_FROM_M = 0.5  # nearer to the ball than this a presser has it
BEYOND_M = 2.0  # how far past the man it hides a shadow is drawn
SIDE_LABEL_M = 13.0  # how far to the side of the ball its surplus is written
ASIDE_M = 1.2
OFFSIDE_LABEL_M = 6.5
ROOM_M = 4.5  # so far apart there is something to see between two
CONE_M = 0.8
SHORTEST_DISTANCE_M = 3.0  # no distance is written between two who touch


def words_at(layer: str, style: str, words: str, places: object, placement: LabelPlacement) -> Label:
    """Words at the place of some that covers least."""
    return Label(layer, style, placement.place(places, text_half(words, LABEL_M)), words)


def between(layer: str, style: str, ends: Points, trims: XY, words: str, placement: LabelPlacement) -> list[Mark]:
    """A line from one to another, cut where they stand, with words on it, if there is room."""
    line = trimmed(ends, *trims)
    if not line:
        return []
    label = words_at(layer, style, words, places_on(line), placement)
    return [Line(layer, style, line), *ticks(layer, style, line), label]


def places_on(line: Points) -> np.ndarray:
    """Places on a line, the middle first, then the same beside it."""
    start, end = np.asarray(line[0]), np.asarray(line[-1])
    on = start + np.array([0.55, 0.65, 0.45, 0.75, 0.35, 0.85, 0.25])[:, None] * (end - start)
    aside = np.array([start[1] - end[1], end[0] - start[0]]) / dist(start, end) * BESIDE_M
    return np.concatenate([on, on + aside, on - aside])


def ticks(layer: str, style: str, line: Points) -> list[Line]:
    """Short bars across both ends of a line, where its style has them."""
    if style not in TICKED or line[0] == line[-1]:
        return []
    return [Line(layer, style, _across(xy, (line[0], line[-1]), TICK_M)) for xy in (line[0], line[-1])]


def _across(xy: XY, way: Points, half_m: float) -> Points:
    """A bar at a place across a way."""
    (x0, y0), (x1, y1) = way
    length = dist(*way) / half_m
    ax, ay = (y0 - y1) / length, (x1 - x0) / length
    return (xy[0] - ax, xy[1] - ay), (xy[0] + ax, xy[1] + ay)


def _on_pitch(situation: Situation, shape: BaseGeometry, least_m: float = 0.0) -> list[Points]:
    """The parts of a line or of a simple shape that lie on the pitch, and are longer than that."""
    seen = get_parts(clip_by_rect(shape, *np.negative(situation.pitch.corner_xy), *situation.pitch.corner_xy))
    return [as_points(part.exterior.coords[:-1] if part.area else part.coords) for part in seen
            if part.length > least_m]


def _circle(situation: Situation, layer: str, centre: XY, radius_m: float) -> list[Mark]:
    """A circle in the layer's own style, as far as it lies on the pitch."""
    ring = LineString(arc(centre, radius_m, -pi, pi, 72))
    return [Line(layer, layer, bow) for bow in _on_pitch(situation, ring, 1.0)]


# -- Roles, shadow, lanes and gaps.

def roles(situation: Situation, plan: Plan, placement: LabelPlacement) -> list[Mark]:
    """Where each should stand, in the outline form of his role, with the letter; and the run there."""
    jobs = [(job.role, *_seen(plan, job, placement)) for job in plan.assignments.values()]
    spots: list[Mark] = [Spot("roles", role, spot) for role, spot, _ in jobs]
    runs = [Arrow("roles", role, trimmed(path, TOKEN_M + 0.2, ROLES[role].rim_m)) for role, _, path in jobs]
    for run in runs:
        for xy in run.points:
            placement.take(xy, (0.4, 0.4))
    bars = [bar for role, _, path in jobs if role == "pressure" for bar in _braking(plan, path)]
    return [*runs, *spots, *bars, *(_letter(role, spot, placement) for role, spot, _ in jobs)]


def _seen(plan: Plan, job: Assignment, placement: LabelPlacement) -> tuple[XY, Points]:
    """Where a spot is drawn, and the run to it: the presser's beside the carrier and the ball, which it would cover."""
    spot, path = job.target_xy, job.path
    if job.number == plan.presser:
        here = next(t.xy for t in placement.tokens if (t.style, t.number) == ("pressing", job.number))
        moved = np.subtract(here, path[0]) if dist(path[0], spot) < TOKEN_M else _clear(plan, spot, placement) - spot
        spot, path = spot + moved, path + moved * np.linspace(0.0, 1.0, len(path))[:, None]
    return as_points([spot])[0], as_points(path)


def _clear(plan: Plan, spot: np.ndarray, placement: LabelPlacement) -> np.ndarray:
    """A place for the diamond on the presser's side of the ball, as near as it covers neither ball nor opponent."""
    ball = plan.picture.turned_back(plan.picture.focus)[0]
    metres = hypot(*(spot - ball))
    way = (spot - ball) / metres if metres > SHADOW_FROM_M else np.array([-1.0, 0.0])
    there = [(t.xy - ball, DIAMOND_M + (BALL_M if t.style == "ball" else TOKEN_M)) for t in placement.tokens
             if t.style != "pressing"]
    for xy, need_m in sorted(there, key=lambda one: float(one[0] @ way)):  # the ray is left where it runs through one
        aside2 = need_m**2 - (xy[0] * way[1] - xy[1] * way[0]) ** 2
        if aside2 > 0 and abs(metres - xy @ way) < aside2**0.5:
            metres = float(xy @ way) + aside2**0.5
    return np.asarray(ball + metres * way)


def _braking(plan: Plan, path: Points) -> list[Line]:
    """A bar across the presser's run where he begins to brake."""
    job, run = plan.assignments[plan.presser], LineString(path)
    place = brake_xy(plan, job.number)
    if place is None or dist(place, job.path[0]) < TOKEN_M:
        return []
    metres = LineString(job.path).project(Point(place), normalized=True) * run.length
    before, at, after = as_points(run.interpolate(max(metres + step, 0.0)).coords[0] for step in (-0.2, 0.0, 0.2))
    return [Line("roles", "brake", _across(at, (before, after), BRAKE_M))] if metres > BRAKE_M else []


def _letter(role: str, spot: XY, placement: LabelPlacement) -> Label:
    letter = ROLES[role].letter
    # Between the two bars of the back line a run comes in.
    places = np.concatenate([around(spot, FORM_M + out_m, level=role == "back line") for out_m in (1.3, 2.6)])
    return Label("roles", role, placement.place(places, text_half(letter, LETTER_M)), letter)


def shadow(situation: Situation, plan: Plan, placement: LabelPlacement) -> list[Mark]:
    """What the presser hides from the passer once he is at his spot, as far as a short pass goes, or whom he hides.

    The half-angle is the one that the plan trusts, less than geometry gives: the carrier shifts the ball.
    """
    if plan.presser is None:
        return []
    settings, ball = plan.rulebook.settings, plan.picture.turned_back(plan.picture.focus)[0]
    way = plan.assignments[plan.presser].target_xy - ball
    if not SHADOW_FROM_M < hypot(*way) < settings.short_pass_m:
        return []
    hidden = [situation.player("possession", o).xy for o, state in plan.account.items() if state == "shadow"]
    far_m = max([settings.short_pass_m, *(dist(ball, xy) + BEYOND_M for xy in hidden)])
    half = np.radians(settings.trusted_shadow_deg)
    wedge = sector((ball[0], ball[1]), hypot(*way), far_m, np.arctan2(way[1], way[0]), half)
    seen = _on_pitch(situation, Polygon(wedge))
    if len(seen) != 1:
        return []
    return [Area("shadow", "shadow", seen[0]), *_approach(situation, ball, way, placement)]


def _approach(situation: Situation, ball: np.ndarray, way: np.ndarray, placement: LabelPlacement) -> list[Mark]:
    """The angle between the way to the goal and the side from which the presser comes, in degrees."""
    goal = np.subtract(situation.pitch.own_goal_xy, ball)
    start, turn = np.arctan2(goal[1], goal[0]), np.arctan2(goal[0] * way[1] - goal[1] * way[0], goal @ way)
    if hypot(*goal) < ANGLE_M or abs(turn) < STRAIGHT_RAD:
        return []
    bow = arc((ball[0], ball[1]), ANGLE_M, start, start + turn, ANGLE_STEPS)
    words = f"{abs(np.degrees(turn)):.0f}\N{DEGREE SIGN}"
    middle = np.array([np.cos(start + turn / 2), np.sin(start + turn / 2)])
    places = ball + np.array([1.3, 1.6, 0.75, 1.9])[:, None] * ANGLE_M * middle
    label = words_at("shadow", "angle", words, places, placement)
    goal_way = as_points([ball, ball + goal / hypot(*goal) * min(1.6 * ANGLE_M, hypot(*goal))])
    return [Line("shadow", "goal way", goal_way), Line("shadow", "angle", bow), label]


def lanes(situation: Situation, plan: Plan, placement: LabelPlacement) -> list[Mark]:
    """The ways of the next pass, by state, with the margin in seconds; while a pass travels, from its receiver."""
    passer, marks = situation.receiver, []
    start = situation.ball_xy if passer is None else situation.player("possession", passer).xy
    for row in plan.lanes:
        ends = start, situation.player("possession", row["opponent"]).xy
        words = f"{round(row['margin_s'], 1) + 0.0:+.1f}".translate(MINUS)
        marks += between("lanes", row["state"], ends, (TOKEN_M + 0.5, TOKEN_M + 0.3), words, placement)
    return marks


def gaps(situation: Situation, plan: Plan, placement: LabelPlacement) -> list[Mark]:
    """The gaps between presser and covers at their spots, with width and limit."""
    marks: list[Mark] = []
    for row in plan.gaps:
        ends = as_points(plan.assignments[n].target_xy for n in row["between"])
        words = " / ".join(map(placement.labels.length, (row["width_m"], row["limit_m"])))
        marks += between("gaps", f"gap {row['state']}", ends, (FORM_M + 0.4, FORM_M + 0.4), words, placement)
    return marks


# -- The team as a whole.

def lines_of(plan: Plan) -> list[list[Player]]:
    """The pressing team by lines of its outfield (back line first), each from right to left."""
    p = plan.picture
    lines = [[plan.situation.player("pressing", p.own_number(0, int(n))) for n in np.flatnonzero(p.line[0] == line)]
             for line in np.unique(p.line[0]) if line >= BACK]
    return [sorted(line, key=lambda player: player.xy[1]) for line in lines]


def _neighbours(plan: Plan) -> list[tuple[XY, XY]]:
    return [(a.xy, b.xy) for line in lines_of(plan) for a, b in pairwise(line)]


def block(situation: Situation, plan: Plan, placement: LabelPlacement) -> list[Mark]:
    """The block as it stands: its lines, and the box round all outfield players with length and width."""
    xy = np.array([player.xy for line in lines_of(plan) for player in line])
    if len(xy) < 2:
        return []
    (x0, y0), (x1, y1) = xy.min(0) - TOKEN_M, xy.max(0) + TOKEN_M
    length, width = map(placement.labels.length, np.ptp(xy, axis=0))
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    above = [(x, y1 + ASIDE_M), (x, y0 - ASIDE_M)]
    beside = [(side, y + up) for side in (x0 - 2 * ASIDE_M, x1 + 2 * ASIDE_M) for up in (0, 5, -5)]
    round_it = as_points([(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)])
    rows = (Line("block", "team line", trimmed(pair, TOKEN_M + 0.3, TOKEN_M + 0.3)) for pair in _neighbours(plan))
    return [Line("block", "block", round_it), *rows, words_at("block", "block", length, above, placement),
            words_at("block", "block", width, beside, placement)]


def distances(situation: Situation, plan: Plan, placement: LabelPlacement) -> list[Mark]:
    """Distances between neighbours of a line as they stand, and from the ball to its nearest presser."""
    nearest = min((player.xy for player in situation.pressing), key=lambda xy: dist(xy, situation.ball_xy))
    marks: list[Mark] = []
    for pair in [*_neighbours(plan), (nearest, situation.ball_xy)]:
        if (apart_m := dist(*pair)) >= SHORTEST_DISTANCE_M:
            trim_m = (TOKEN_M + 0.2) * (apart_m > ROOM_M)
            words = placement.labels.length(apart_m)
            marks += between("distances", "distance", pair, (trim_m, trim_m), words, placement)
    return marks


def back_line(situation: Situation, plan: Plan, placement: LabelPlacement) -> list[Mark]:
    """The back line at its spots with what it does, and the offside line as it is now (Law 11)."""
    jobs = sorted((job for job in plan.assignments.values() if job.role == "back line"), key=lambda j: j.target_xy[1])
    spots = as_points(job.target_xy for job in jobs)
    x, half_y = offside_line_m(situation), situation.pitch.corner_xy[1]
    corner = [(x + aside, sign * (half_y - 1.5)) for aside in (OFFSIDE_LABEL_M, -OFFSIDE_LABEL_M) for sign in (-1, 1)]
    marks = [Line("back line", "offside", ((x, -half_y), (x, half_y))),
             words_at("back line", "offside", "offside line", corner, placement)]
    if len(spots) < 2:
        return marks
    doing = max((job.duty for job in jobs), key=[job.duty for job in jobs].count)
    aside = text_half(doing, LABEL_M)[0] + TOKEN_M
    mid_x, mid_y = np.mean(spots, axis=0)
    places = [(mid_x + sign * aside, mid_y + up) for sign in (-1, 1) for up in (0, 4, -4, 9, -9)]
    return [*marks, Line("back line", "level", spots), words_at("back line", "level", doing, places, placement)]


def far_side(situation: Situation, plan: Plan, placement: LabelPlacement) -> list[Mark]:
    """How far from the far-side man his guard may stand and still be there with a switch."""
    limit, man = plan.far_side_limit_m, int(plan.decisions.far_man[0])
    if limit is None or man == NOBODY:
        return []
    there = situation.player("possession", plan.picture.opp_number(0, man)).xy
    centre = (there[0], there[1] + np.sign(situation.ball_xy[1] - there[1] or 1.0) * limit)
    bows = _circle(situation, "far side", there, limit)
    words = placement.labels.length(limit)
    return [*bows, words_at("far side", "far side", words, around(centre, 2.0), placement)] if bows else []


def surplus(situation: Situation, plan: Plan, placement: LabelPlacement) -> list[Mark]:
    """Who outnumbers whom near the ball, on its left and right, as the rule of steering counts it."""
    p, half_y = plan.picture, situation.pitch.corner_xy[1]
    (ball,), radius = as_points(p.turned_back(p.origin[:, None])[0]), p.settings.surplus_radius_m
    marks = _circle(situation, "surplus", ball, radius)
    for count, sign in zip(sides_of(p, plan.decisions), (p.side[0], -p.side[0]), strict=True):
        y = min(max(ball[1] + sign * SIDE_LABEL_M, -half_y), half_y)
        words = f"{'left' if sign > 0 else 'right'} {int(count[0]):{'+' if count[0] else ''}d}".translate(MINUS)
        marks.append(words_at("surplus", "surplus", words, around((ball[0] - 4.0, y), 1.5), placement))
    back = LineString([(ball[0] - radius, ball[1]), (ball[0] - TOKEN_M, ball[1])])
    return [*marks, *(Line("surplus", "surplus", way) for way in _on_pitch(situation, back, SHORTEST_DISTANCE_M))]


# -- A person's own marks.

def own(marks: Iterable[OwnMark], placement: LabelPlacement) -> list[Mark]:
    """What a person has drawn, with its words."""
    return [part for mark in marks for part in _own(mark, placement)]


def _own(mark: OwnMark, placement: LabelPlacement) -> list[Mark]:
    style, points, words, middle = f"own {mark.kind}", mark.points, mark.words, np.mean(mark.points, axis=0)
    if mark.kind == "note":
        return [Label("own", style, points[0], words)]
    if mark.kind == "ruler":
        words = f"{placement.labels.length(LineString(points).length)} {words}".strip()
    aside = mark.kind in ("arrow", "pass", "dribble", "cone")
    if mark.kind == "zone":
        lines = [Area("own", style, points), Line("own", style, (*points, points[0]))]
    elif mark.kind == "cone":
        lines = [Area("own", style, arc(points[0], CONE_M, pi / 2, -3 * pi / 2, 3))]
    elif aside:
        lines = [Arrow("own", style, waves(points) if mark.kind == "dribble" else points)]
    else:
        lines = [Line("own", style, points), *ticks("own", style, points)]
    places = around(middle, 2.0) if aside else [middle]
    return [*lines, *([words_at("own", style, words, places, placement)] if words else [])]
