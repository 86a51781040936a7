"""Layers that show the team as a whole: block, zones, back line, far side, distances, surplus."""

from __future__ import annotations

from collections.abc import Iterable
from math import dist, hypot, pi

import numpy as np
from shapely import LineString, Point, Polygon, box
from shapely.ops import substring

from pressinglib.field.annotation import OwnMark
from pressinglib.field.player import BACK, Player
from pressinglib.field.situation import Situation
from pressinglib.physics.pitch_control import offside_line_m
from pressinglib.roles.approach import surplus as sides_of
from pressinglib.roles.plan import Plan
from pressinglib.roles.settings import NOBODY
from pressinglib.show.labels import LabelPlacement, around, text_half
from pressinglib.show.marks import XY, Area, Arrow, Label, Line, Mark, Points, Spot, arc, as_points
from pressinglib.show.playback import brake_xy, length_of
from pressinglib.show.style import LABEL_M, LETTER_M, ROLES, TOKEN_M

# -- The layers of a plan: roles and runs, cover shadow, lanes, gaps; each a function from plan to marks.


FORM_M = 2.4  # room that a role's outline form takes around the spot
MINUS = str.maketrans("-", "\N{MINUS SIGN}")
SHORTEST_M = 0.9  # an arrow shorter than this is only a head: left out
TICK_M = 0.9
BESIDE_M = 1.4
BRAKE_M = 0.9
ANGLE_M = 6.0
STRAIGHT_RAD = np.radians(3.0)
SHADOW_STEPS = 12
SHADOW_FROM_M = 0.5  # nearer to the ball than this a presser has it


def roles(situation: Situation, plan: Plan, placement: LabelPlacement) -> list[Mark]:
    """Where each should stand, in the outline form of his role, with the letter; and the run there."""
    jobs = [(job.role, as_points([job.target_xy])[0], as_points(job.path)) for job in plan.assignments.values()]
    spots: list[Mark] = [Spot("roles", role, spot) for role, spot, _ in jobs]
    ways = [(role, trimmed(path, TOKEN_M + 0.2, ROLES[role].rim_m)) for role, _, path in jobs]
    runs = [Arrow("roles", role, way) for role, way in ways if way]
    for run in runs:
        for xy in run.points:
            placement.take(xy, (0.4, 0.4))
    return [*runs, *spots, *_braking(plan), *(_letter(role, spot, placement) for role, spot, _ in jobs)]


def _braking(plan: Plan) -> list[Line]:
    """A bar across the presser's run where he begins to brake."""
    place = None if plan.presser is None else brake_xy(plan, plan.presser)
    if place is None or dist(place, plan.assignments[plan.presser].path[0]) < TOKEN_M:
        return []
    path = LineString(plan.assignments[plan.presser].path)
    metres = path.project(Point(place))
    (x0, y0), (x1, y1) = (path.interpolate(max(metres + step, 0.0)).coords[0] for step in (-0.2, 0.2))
    ax, ay = (y0 - y1) / 0.4 * BRAKE_M, (x1 - x0) / 0.4 * BRAKE_M
    return [Line("roles", "brake", ((place[0] - ax, place[1] - ay), (place[0] + ax, place[1] + ay)))]


def _letter(role: str, spot: XY, placement: LabelPlacement) -> Label:
    letter = ROLES[role].letter
    places = around(spot, FORM_M + 1.3, level=role == "back line")  # between its two bars a run comes in
    return Label("roles", role, placement.place(places, text_half(letter, LETTER_M)), letter)


def trimmed(points: Points, start_m: float, end_m: float) -> Points:
    """A line without its first and last metres; empty if next to nothing is left.

    Examples
    --------
    >>> trimmed(((0, 0), (10, 0)), 2, 3)
    ((2.0, 0.0), (7.0, 0.0))
    >>> trimmed(((0, 0), (1, 0)), 2, 3)
    ()
    """
    if len(points) < 2:
        return ()
    line = LineString(points)
    if line.length < start_m + end_m + SHORTEST_M:
        return ()
    return as_points(substring(line, start_m, line.length - end_m).simplify(0.04).coords)


def shadow(situation: Situation, plan: Plan, placement: LabelPlacement) -> list[Mark]:
    """What the presser hides from the passer once he is at his spot, as far as a short pass goes.

    The half-angle is the one that the plan trusts, less than geometry gives: the carrier shifts the ball.
    """
    if plan.presser is None:
        return []
    settings, ball = plan.rulebook.settings, plan.picture.turned_back(plan.picture.focus)[0]
    way = plan.assignments[plan.presser].target_xy - ball
    if not SHADOW_FROM_M < hypot(*way) < settings.short_pass_m:
        return []
    spread = np.radians(np.linspace(-1, 1, SHADOW_STEPS) * settings.trusted_shadow_deg) + np.arctan2(way[1], way[0])
    rays = np.stack([np.cos(spread), np.sin(spread)], axis=-1)
    wedge = Polygon([*(ball + hypot(*way) * rays), *(ball + settings.short_pass_m * rays)[::-1]])
    seen = wedge.intersection(box(*np.negative(situation.pitch.corner_xy), *situation.pitch.corner_xy))
    corners = as_points(seen.exterior.coords[:-1]) if isinstance(seen, Polygon) else ()
    return [Area("shadow", "shadow", corners), *_approach(situation, ball, way, placement)] if corners else []


def _approach(situation: Situation, ball: np.ndarray, way: np.ndarray, placement: LabelPlacement) -> list[Mark]:
    """The angle between the way to the goal and the side from which the presser comes, in degrees."""
    goal = np.subtract(situation.pitch.own_goal_xy, ball)
    start, turn = np.arctan2(goal[1], goal[0]), np.arctan2(goal[0] * way[1] - goal[1] * way[0], goal @ way)
    if hypot(*goal) < ANGLE_M or abs(turn) < STRAIGHT_RAD:
        return []
    bow = arc((ball[0], ball[1]), ANGLE_M, start, start + turn, SHADOW_STEPS)
    words = f"{abs(np.degrees(turn)):.0f}\N{DEGREE SIGN}"
    middle = np.array([np.cos(start + turn / 2), np.sin(start + turn / 2)])
    places = ball + np.array([1.3, 1.6, 0.75, 1.9])[:, None] * ANGLE_M * middle
    label = Label("shadow", "angle", placement.place(places, text_half(words, LABEL_M)), words)
    goal_way = as_points([ball, ball + goal / hypot(*goal) * min(1.6 * ANGLE_M, hypot(*goal))])
    return [Line("shadow", "goal way", goal_way), Line("shadow", "angle", bow), label]


def passer_xy(situation: Situation) -> XY:
    """Where the next pass starts: at the receiver while a pass travels, else at the ball."""
    return situation.ball_xy if situation.receiver is None else situation.player("possession", situation.receiver).xy


def lanes(situation: Situation, plan: Plan, placement: LabelPlacement) -> list[Mark]:
    """The ways of the next pass, by state, with the margin in seconds."""
    start, marks = passer_xy(situation), []
    for row in plan.lanes:
        end = situation.player("possession", row["opponent"]).xy
        line = trimmed((start, end), TOKEN_M + 0.5, TOKEN_M + 0.3)
        if line:
            words = f"{round(row['margin_s'], 1) + 0.0:+.1f}".translate(MINUS)
            label = Label("lanes", row["state"], placement.place(along(line), text_half(words, LABEL_M)), words)
            marks += [Line("lanes", row["state"], line), label]
    return marks


def gaps(situation: Situation, plan: Plan, placement: LabelPlacement) -> list[Mark]:
    """The gaps between presser and covers at their spots, with width and limit in metres."""
    marks: list[Mark] = []
    for row in plan.gaps:
        left, right = (as_points([plan.assignments[n].target_xy])[0] for n in row["between"])
        line = trimmed((left, right), FORM_M + 0.4, FORM_M + 0.4)
        if line:
            style, metres = f"gap {row['state']}", (row["width_m"], row["limit_m"])
            words = " / ".join(map(placement.labels.length, metres))
            label = Label("gaps", style, placement.place(along(line), text_half(words, LABEL_M)), words)
            marks += [Line("gaps", style, line), *ticks("gaps", style, line), label]
    return marks


def along(line: Points) -> np.ndarray:
    """Places along a line, the middle first, then the same beside it."""
    start, end = np.asarray(line[0]), np.asarray(line[-1])
    on = start + np.array([0.55, 0.65, 0.45, 0.75, 0.35, 0.85, 0.25])[:, None] * (end - start)
    aside = np.array([start[1] - end[1], end[0] - start[0]]) / dist(start, end) * BESIDE_M
    return np.concatenate([on, on + aside, on - aside])


def ticks(layer: str, style: str, line: Points) -> list[Line]:
    """Short bars across both ends of a line."""
    (x0, y0), (x1, y1) = line[0], line[-1]
    length = dist(line[0], line[-1]) / TICK_M
    if not length:
        return []
    ax, ay = -(y1 - y0) / length, (x1 - x0) / length
    return [Line(layer, style, ((x - ax, y - ay), (x + ax, y + ay))) for x, y in (line[0], line[-1])]


# -- A person's own marks, as marks of the picture.


def own(marks: Iterable[OwnMark], placement: LabelPlacement) -> list[Mark]:
    """Arrows, zones, notes and rulers with their words.

    Examples
    --------
    >>> from pressinglib.field.pitch import Pitch
    >>> [mark.text() for mark in own([OwnMark("ruler", [(0, 0), (3, 4)])], LabelPlacement(Pitch()))]
    ['own: line own ruler 0.0,0.0 3.0,4.0', ..., "own: label own ruler '5.0' 1.5,2.0"]
    >>> own([], LabelPlacement(Pitch()))
    []
    """
    return [drawn for mark in marks for drawn in _drawn(mark, placement)]


def _drawn(mark: OwnMark, placement: LabelPlacement) -> list[Mark]:
    style, points = f"own {mark.kind}", mark.points
    middle = np.mean(points, axis=0)
    if mark.kind == "note":
        return [Label("own", style, points[0], mark.words)]
    if mark.kind == "arrow":
        return [Arrow("own", style, points), *_said(style, mark.words, around(middle, 2.0), placement)]
    if mark.kind == "zone":
        return [Area("own", style, points), Line("own", style, (*points, points[0])),
                *_said(style, mark.words, [middle], placement)]
    words = " ".join([placement.labels.length(length_of(points)), mark.words]).strip()
    return [Line("own", style, points), *ticks("own", style, points), *_said(style, words, [middle], placement)]


def _said(style: str, words: str, places: object, placement: LabelPlacement) -> list[Mark]:
    return [Label("own", style, placement.place(places, text_half(words, LABEL_M)), words)] if words else []


# -- Layers that show the team as a whole: block, zones, back line, far side, distances, surplus.


SIDE_LABEL_M = 13.0  # how far to the side of the ball its surplus is written
MINUS_SIGN = "\N{MINUS SIGN}"
ASIDE_M = 1.2
OFFSIDE_LABEL_M = 6.5
SHORTEST_DISTANCE_M = 3.0  # no distance is written between two who touch


def lines_of(plan: Plan) -> dict[int, list[Player]]:
    """The pressing team by lines of its outfield (back line first), each from right to left."""
    p, lines = plan.picture, {}
    for n in np.flatnonzero(p.line[0] >= BACK):
        lines.setdefault(int(p.line[0, n]), []).append(plan.situation.player("pressing", p.own_number(0, int(n))))
    return {line: sorted(lines[line], key=lambda player: player.xy[1]) for line in sorted(lines)}


def words_at(layer: str, style: str, words: str, places: object, placement: LabelPlacement) -> Label:
    """Words at the place of some that covers least."""
    return Label(layer, style, placement.place(places, text_half(words, LABEL_M)), words)


def block(situation: Situation, plan: Plan, placement: LabelPlacement) -> list[Mark]:
    """The block as it stands: its lines, and the box round all outfield players with length and width."""
    lines = lines_of(plan)
    xy = np.array([player.xy for line in lines.values() for player in line])
    if len(xy) < 2:
        return []
    (x0, y0), (x1, y1) = xy.min(0) - TOKEN_M, xy.max(0) + TOKEN_M
    length, width = np.ptp(xy, axis=0)
    rows = [way for line in lines.values() for a, b in zip(line, line[1:], strict=False)
            if (way := trimmed((a.xy, b.xy), TOKEN_M + 0.3, TOKEN_M + 0.3))]
    x, y = (x0 + x1) / 2, (y0 + y1) / 2
    above = [(x, y1 + ASIDE_M), (x, y0 - ASIDE_M)]
    beside = [(side, y + up) for side in (x0 - 2 * ASIDE_M, x1 + 2 * ASIDE_M) for up in (0, 5, -5)]
    return [Line("block", "block", _box(x0, y0, x1, y1)), *(Line("block", "team line", row) for row in rows),
            words_at("block", "block", placement.labels.length(length), above, placement),
            words_at("block", "block", placement.labels.length(width), beside, placement)]


def _box(x0: float, y0: float, x1: float, y1: float) -> Points:
    return as_points([(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)])


def distances(situation: Situation, plan: Plan, placement: LabelPlacement) -> list[Mark]:
    """Distances between neighbours of a line as they stand, and from the ball to its nearest presser."""
    pairs = [(a.xy, b.xy) for line in lines_of(plan).values() for a, b in zip(line, line[1:], strict=False)]
    nearest = min((player.xy for player in situation.pressing), key=lambda xy: dist(xy, situation.ball_xy))
    marks: list[Mark] = []
    for start, end in [*pairs, (nearest, situation.ball_xy)]:
        if dist(start, end) >= SHORTEST_DISTANCE_M:
            marks += measured("distances", "distance", start, end, placement)
    return marks


def measured(layer: str, style: str, start: XY, end: XY, placement: LabelPlacement) -> list[Mark]:
    """A line between two places with its length."""
    line = trimmed((start, end), TOKEN_M + 0.2, TOKEN_M + 0.2) or (start, end)
    return [Line(layer, style, line), *ticks(layer, style, line),
            words_at(layer, style, placement.labels.length(dist(start, end)), along(line), placement)]


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
    seen = LineString(arc(there, limit, -pi, pi, 72)).intersection(_pitch_box(situation))
    bows = [as_points(bow.coords) for bow in getattr(seen, "geoms", [seen]) if bow.length > 1.0]
    centre = (there[0], there[1] + np.sign(situation.ball_xy[1] - there[1] or 1.0) * limit)
    if not bows:
        return []
    label = words_at("far side", "far side", placement.labels.length(limit), around(centre, 2.0), placement)
    return [*(Line("far side", "far side", bow) for bow in bows), label]


def _pitch_box(situation: Situation) -> Polygon:
    return box(*np.negative(situation.pitch.corner_xy), *situation.pitch.corner_xy)


def surplus(situation: Situation, plan: Plan, placement: LabelPlacement) -> list[Mark]:
    """Who outnumbers whom near the ball, on its left and right, as the rule of steering counts it."""
    p = plan.picture
    ball, radius = as_points(p.turned_back(p.origin[:, None])[0])[0], p.settings.surplus_radius_m
    counts = sides_of(p, plan.decisions)
    seen = LineString(arc(ball, radius, -pi, pi, 72)).intersection(_pitch_box(situation))
    marks: list[Mark] = [Line("surplus", "surplus", as_points(bow.coords)) for bow in getattr(seen, "geoms", [seen])]
    for count, sign in zip(counts, (1, -1), strict=True):
        y = ball[1] + sign * p.side[0] * SIDE_LABEL_M
        y = float(np.clip(y, -situation.pitch.corner_xy[1], situation.pitch.corner_xy[1]))
        words = _signed("left" if sign * p.side[0] > 0 else "right", int(count[0]))
        marks.append(words_at("surplus", "surplus", words, around((ball[0] - 4.0, y), 1.5), placement))
    ends = [(ball[0] - radius, ball[1]), (ball[0] - TOKEN_M, ball[1])]
    return [*marks, *(Line("surplus", "surplus", as_points(way.coords)) for way in
                      [LineString(ends).intersection(_pitch_box(situation))] if way.length > SHORTEST_DISTANCE_M)]


def _signed(side: str, count: int) -> str:
    """A side and how many more of ours are there.

    Examples
    --------
    >>> _signed("left", 1), _signed("right", 0)
    ('left +1', 'right 0')
    """
    return f"{side} {count:+d}".replace("-", MINUS_SIGN) if count else f"{side} 0"
