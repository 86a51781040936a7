"""The layers of a plan: roles and runs, cover shadow, lanes, gaps; each a function from plan to marks."""

from __future__ import annotations

from math import dist, hypot

import numpy as np
from shapely import LineString, Point, Polygon, box
from shapely.ops import substring

from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan
from pressinglib.show.look import LABEL_M, LETTER_M, ROLES, TOKEN_M
from pressinglib.show.markings import arc
from pressinglib.show.marks import XY, Area, Arrow, Label, Line, Mark, Points, Spot, as_points
from pressinglib.show.runs import brake_xy
from pressinglib.show.space import Space, around, text_half

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


def roles(situation: Situation, plan: Plan, space: Space) -> list[Mark]:
    """Where each should stand, in the outline form of his role, with the letter; and the run there."""
    jobs = [(job.role, as_points([job.target_xy])[0], as_points(job.path)) for job in plan.assignments.values()]
    spots: list[Mark] = [Spot("roles", role, spot) for role, spot, _ in jobs]
    ways = [(role, trimmed(path, TOKEN_M + 0.2, ROLES[role].rim_m)) for role, _, path in jobs]
    runs = [Arrow("roles", role, way) for role, way in ways if way]
    for run in runs:
        for xy in run.points:
            space.take(xy, (0.4, 0.4))
    return [*runs, *spots, *_braking(plan), *(_letter(role, spot, space) for role, spot, _ in jobs)]


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


def _letter(role: str, spot: XY, space: Space) -> Label:
    letter = ROLES[role].letter
    places = around(spot, FORM_M + 1.3, level=role == "back line")  # between its two bars a run comes in
    return Label("roles", role, space.place(places, text_half(letter, LETTER_M)), letter)


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


def shadow(situation: Situation, plan: Plan, space: Space) -> list[Mark]:
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
    return [Area("shadow", "shadow", corners), *_approach(situation, ball, way, space)] if corners else []


def _approach(situation: Situation, ball: np.ndarray, way: np.ndarray, space: Space) -> list[Mark]:
    """The angle between the way to the goal and the side from which the presser comes, in degrees."""
    goal = np.subtract(situation.pitch.own_goal_xy, ball)
    start, turn = np.arctan2(goal[1], goal[0]), np.arctan2(goal[0] * way[1] - goal[1] * way[0], goal @ way)
    if hypot(*goal) < ANGLE_M or abs(turn) < STRAIGHT_RAD:
        return []
    bow = arc((ball[0], ball[1]), ANGLE_M, start, start + turn, SHADOW_STEPS)
    words = f"{abs(np.degrees(turn)):.0f}\N{DEGREE SIGN}"
    middle = np.array([np.cos(start + turn / 2), np.sin(start + turn / 2)])
    places = ball + np.array([1.3, 1.6, 0.75, 1.9])[:, None] * ANGLE_M * middle
    label = Label("shadow", "angle", space.place(places, text_half(words, LABEL_M)), words)
    goal_way = as_points([ball, ball + goal / hypot(*goal) * min(1.6 * ANGLE_M, hypot(*goal))])
    return [Line("shadow", "goal way", goal_way), Line("shadow", "angle", bow), label]


def passer_xy(situation: Situation) -> XY:
    """Where the next pass starts: at the receiver while a pass travels, else at the ball."""
    return situation.ball_xy if situation.receiver is None else situation.player("possession", situation.receiver).xy


def lanes(situation: Situation, plan: Plan, space: Space) -> list[Mark]:
    """The ways of the next pass, by state, with the margin in seconds."""
    start, marks = passer_xy(situation), []
    for row in plan.lanes:
        end = situation.player("possession", row["opponent"]).xy
        line = trimmed((start, end), TOKEN_M + 0.5, TOKEN_M + 0.3)
        if line:
            words = f"{round(row['margin_s'], 1) + 0.0:+.1f}".translate(MINUS)
            label = Label("lanes", row["state"], space.place(along(line), text_half(words, LABEL_M)), words)
            marks += [Line("lanes", row["state"], line), label]
    return marks


def gaps(situation: Situation, plan: Plan, space: Space) -> list[Mark]:
    """The gaps between presser and covers at their spots, with width and limit in metres."""
    marks: list[Mark] = []
    for row in plan.gaps:
        left, right = (as_points([plan.assignments[n].target_xy])[0] for n in row["between"])
        line = trimmed((left, right), FORM_M + 0.4, FORM_M + 0.4)
        if line:
            style, words = f"gap {row['state']}", " / ".join(map(space.labels.length, (row["width_m"], row["limit_m"])))
            label = Label("gaps", style, space.place(along(line), text_half(words, LABEL_M)), words)
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
