"""Layers that show the team as a whole: block, zones, back line, far side, distances, surplus."""

from __future__ import annotations

from math import dist, pi

import numpy as np
from shapely import LineString, Polygon, box

from pressinglib.field.player import Player
from pressinglib.field.situation import Situation
from pressinglib.field.slots import BACK
from pressinglib.physics.offside import offside_line_m
from pressinglib.roles.plan import Plan
from pressinglib.roles.steering import surplus as sides_of
from pressinglib.roles.vocabulary import NOBODY
from pressinglib.show.layers import along, ticks, trimmed
from pressinglib.show.look import LABEL_M, TOKEN_M
from pressinglib.show.markings import arc
from pressinglib.show.marks import XY, Label, Line, Mark, Points, as_points
from pressinglib.show.space import Space, around, text_half

SIDE_LABEL_M = 13.0  # how far to the side of the ball its surplus is written
MINUS = "\N{MINUS SIGN}"
ASIDE_M = 1.2
OFFSIDE_LABEL_M = 6.5
SHORTEST_M = 3.0  # no distance is written between two who touch


def lines_of(plan: Plan) -> dict[int, list[Player]]:
    """The pressing team by lines of its outfield (back line first), each from right to left."""
    p, lines = plan.picture, {}
    for n in np.flatnonzero(p.line[0] >= BACK):
        lines.setdefault(int(p.line[0, n]), []).append(plan.situation.player("pressing", p.own_number(0, int(n))))
    return {line: sorted(lines[line], key=lambda player: player.xy[1]) for line in sorted(lines)}


def words_at(layer: str, style: str, words: str, places: object, space: Space) -> Label:
    """Words at the place of some that covers least."""
    return Label(layer, style, space.place(places, text_half(words, LABEL_M)), words)


def block(situation: Situation, plan: Plan, space: Space) -> list[Mark]:
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
            words_at("block", "block", space.labels.length(length), above, space),
            words_at("block", "block", space.labels.length(width), beside, space)]


def _box(x0: float, y0: float, x1: float, y1: float) -> Points:
    return as_points([(x0, y0), (x1, y0), (x1, y1), (x0, y1), (x0, y0)])


def distances(situation: Situation, plan: Plan, space: Space) -> list[Mark]:
    """Distances between neighbours of a line as they stand, and from the ball to its nearest presser."""
    pairs = [(a.xy, b.xy) for line in lines_of(plan).values() for a, b in zip(line, line[1:], strict=False)]
    nearest = min((player.xy for player in situation.pressing), key=lambda xy: dist(xy, situation.ball_xy))
    marks: list[Mark] = []
    for start, end in [*pairs, (nearest, situation.ball_xy)]:
        marks += measured("distances", "distance", start, end, space) if dist(start, end) >= SHORTEST_M else []
    return marks


def measured(layer: str, style: str, start: XY, end: XY, space: Space) -> list[Mark]:
    """A line between two places with its length."""
    line = trimmed((start, end), TOKEN_M + 0.2, TOKEN_M + 0.2) or (start, end)
    return [Line(layer, style, line), *ticks(layer, style, line),
            words_at(layer, style, space.labels.length(dist(start, end)), along(line), space)]


def back_line(situation: Situation, plan: Plan, space: Space) -> list[Mark]:
    """The back line at its spots with what it does, and the offside line as it is now (Law 11)."""
    jobs = sorted((job for job in plan.assignments.values() if job.role == "back line"), key=lambda j: j.target_xy[1])
    spots = as_points(job.target_xy for job in jobs)
    x, half_y = offside_line_m(situation), situation.pitch.corner_xy[1]
    corner = [(x + aside, sign * (half_y - 1.5)) for aside in (OFFSIDE_LABEL_M, -OFFSIDE_LABEL_M) for sign in (-1, 1)]
    marks = [Line("back line", "offside", ((x, -half_y), (x, half_y))),
             words_at("back line", "offside", "offside line", corner, space)]
    if len(spots) < 2:
        return marks
    doing = max((job.duty for job in jobs), key=[job.duty for job in jobs].count)
    aside = text_half(doing, LABEL_M)[0] + TOKEN_M
    mid_x, mid_y = np.mean(spots, axis=0)
    places = [(mid_x + sign * aside, mid_y + up) for sign in (-1, 1) for up in (0, 4, -4, 9, -9)]
    return [*marks, Line("back line", "level", spots), words_at("back line", "level", doing, places, space)]


def far_side(situation: Situation, plan: Plan, space: Space) -> list[Mark]:
    """How far from the far-side man his guard may stand and still be there with a switch."""
    limit, man = plan.far_side_limit_m, int(plan.decisions.far_man[0])
    if limit is None or man == NOBODY:
        return []
    there = situation.player("possession", plan.picture.opp_number(0, man)).xy
    seen = LineString(arc(there, limit, -pi, pi, 72)).intersection(_pitch_box(situation))
    bows = [as_points(bow.coords) for bow in getattr(seen, "geoms", [seen]) if bow.length > 1.0]
    centre = (there[0], there[1] + np.sign(situation.ball_xy[1] - there[1] or 1.0) * limit)
    return [*(Line("far side", "far side", bow) for bow in bows),
            words_at("far side", "far side", space.labels.length(limit), around(centre, 2.0), space)] if bows else []


def _pitch_box(situation: Situation) -> Polygon:
    return box(*np.negative(situation.pitch.corner_xy), *situation.pitch.corner_xy)


def surplus(situation: Situation, plan: Plan, space: Space) -> list[Mark]:
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
        marks.append(words_at("surplus", "surplus", words, around((ball[0] - 4.0, y), 1.5), space))
    ends = [(ball[0] - radius, ball[1]), (ball[0] - TOKEN_M, ball[1])]
    return [*marks, *(Line("surplus", "surplus", as_points(way.coords)) for way in
                      [LineString(ends).intersection(_pitch_box(situation))] if way.length > SHORTEST_M)]


def _signed(side: str, count: int) -> str:
    """A side and how many more of ours are there.

    Examples
    --------
    >>> _signed("left", 1), _signed("right", 0)
    ('left +1', 'right 0')
    """
    return f"{side} {count:+d}".replace("-", MINUS) if count else f"{side} 0"
