"""Layers that come from a field of values: zones (who is first where) and control; and the ways past the presser."""

from __future__ import annotations

from math import ceil, isfinite

import numpy as np
from numpy.typing import NDArray
from shapely import LineString, MultiLineString, Polygon

from pressinglib.field.situation import Situation
from pressinglib.physics.pitch_control import control_field
from pressinglib.roles.plan import Plan
from pressinglib.roles.presser import DRIBBLE_MPS, way_points
from pressinglib.roles.settings import WAYS
from pressinglib.show.labels import LabelPlacement, around
from pressinglib.show.layers import words_at
from pressinglib.show.marks import Area, Arrow, Line, Mark, Points, as_points, place_along, trimmed
from pressinglib.show.style import TOKEN_M

Floats = NDArray[np.float64]
ZONE_STEP_M = 3.0
CONTROL_STEP_M = 2.5
SMOOTH_M = 0.12  # less than a line is wide
OURS, THEIRS = 2 / 3, 1 / 3
HATCH_M = 4.0
MIDDLE_S = 0.6  # arrows of the ways out are at least that long


def zones(situation: Situation, plan: Plan, placement: LabelPlacement) -> list[Mark]:
    """Borders between the parts of the pitch that each of the pressing team reaches first (dominant regions)."""
    from contourpy import contour_generator

    x, y = (np.linspace(-half, half, round(2 * half / ZONE_STEP_M) + 1) for half in situation.pitch.corner_xy)
    time = _times(plan, np.stack(np.meshgrid(x, y), axis=-1))
    ways = [(i, j, np.asarray(LineString(way).segmentize(1.0).coords)) for i, j in neighbours(time.argmin(0))
            for way in contour_generator(x, y, time[i] - time[j]).lines(0.0)]
    if not ways:
        return []
    along = np.split(_times(plan, np.concatenate([xy for *_, xy in ways])),
                     np.cumsum([len(xy) for *_, xy in ways])[:-1], axis=1)
    borders = [part for (i, j, xy), times in zip(ways, along, strict=True)
               for part in first_stretches(xy, np.delete(times, [i, j], 0).min(0, initial=np.inf) - times[i])]
    return [Line("zones", "zone", _smooth(border)) for border in borders if len(border) > 1]


def _times(plan: Plan, places: Floats) -> Floats:
    """(N, ...) seconds of each of the pressing team to places (..., 2), from where they are and as they run."""
    law, ours = plan.rulebook.settings.running, plan.situation.pressing
    return np.stack([law.of(q.top_speed_mps or np.nan).time(q.xy, q.velocity, places) for q in ours])


def neighbours(first: NDArray[np.intp]) -> set[tuple[int, int]]:
    """Pairs of players whose cells touch, also across a corner."""
    corners = np.stack([first[:-1, :-1], first[1:, :-1], first[:-1, 1:], first[1:, 1:]]).reshape(4, -1)
    pairs = np.concatenate([np.sort(corners[[a, b]].T, axis=1) for a in range(4) for b in range(a)])
    return {(int(i), int(j)) for i, j in np.unique(pairs, axis=0) if i != j}


def first_stretches(xy: Floats, lead: Floats) -> list[Floats]:
    """The stretches of a line (n, 2) on which `lead` (n,) is above zero, cut between its points."""
    lead = np.minimum(lead, 1e6)
    cuts = np.flatnonzero((lead[:-1] > 0) != (lead[1:] > 0))
    share = lead[cuts] / (lead[cuts] - lead[cuts + 1])
    ends = xy[cuts] + share[:, None] * (xy[cuts + 1] - xy[cuts])
    parts = np.split(np.insert(xy, cuts + 1, ends, axis=0), cuts + 1 + np.arange(len(cuts)))
    whole = [np.concatenate([part, ends[k : k + 1]]) for k, part in enumerate(parts)]
    ahead = lead[np.concatenate([[0], cuts + 1])] > 0
    return [part for part, first in zip(whole, ahead, strict=True) if first]


def _smooth(way: Floats) -> Points:
    return as_points(LineString(way).simplify(SMOOTH_M).coords)


def control(situation: Situation, plan: Plan, placement: LabelPlacement) -> list[Mark]:
    """Where two balls in three that are played there would be ours, and where theirs; the line between."""
    from contourpy import contour_generator

    x, y, share = control_field(situation, CONTROL_STEP_M, plan.rulebook.settings.running)
    half_x, half_y = situation.pitch.corner_xy
    field = contour_generator(np.array([-half_x, *x, half_x]), np.array([-half_y, *y, half_y]),
                              np.pad(share, 1, mode="edge"), fill_type="OuterOffset")
    areas = [Area("control", style, ring) for style, band in (("control ours", (OURS, 2.0)),
             ("control theirs", (-1.0, THEIRS))) for ring in _rings(*field.filled(*band))]
    hatches = [line for area in areas if area.style == "control theirs" for line in hatch("control", area.points)]
    return [*areas, *hatches, *(Line("control", "control even", _smooth(way)) for way in field.lines(0.5))]


def _rings(points: list[Floats], offsets: list[NDArray[np.uint32]]) -> list[Points]:
    """Filled shapes as single rings: a hole hangs on its outline by a cut that has no width."""
    rings = []
    for xy, starts in zip(points, offsets, strict=True):
        parts = [as_points(Polygon(xy[a:b]).exterior.simplify(SMOOTH_M).coords)
                 for a, b in zip(starts, starts[1:], strict=False)]
        start = parts[0][0]
        rings.append((*parts[0], *(corner for hole in parts[1:] for corner in (*hole, start))))
    return rings


def hatch(layer: str, corners: Points, apart_m: float = HATCH_M) -> list[Line]:
    """Slanting lines over a shape, so that its colour is not all that tells it."""
    shape = Polygon(corners).buffer(0)
    x0, y0, x1, y1 = shape.bounds
    first = ceil((x0 - y1) / apart_m) * apart_m
    slants = MultiLineString([((c + y0, y0), (c + y1, y1)) for c in np.arange(first, x1 - y0, apart_m)])
    seen = slants.intersection(shape)
    ways = [way for way in getattr(seen, "geoms", [seen]) if isinstance(way, LineString) and way.length > 0]
    return [Line(layer, "hatch", as_points(way.coords)) for way in ways]


def take_over(situation: Situation, plan: Plan, placement: LabelPlacement) -> list[Mark]:
    """The ways past the presser, each as far as the next man lets the carrier get, and who he is."""
    if plan.presser is None:
        return []
    ways = plan.picture.turned_back(way_points(plan.picture))[0]
    marks: list[Mark] = []
    for points, way in zip(map(as_points, ways), WAYS, strict=True):
        number, time_s = plan.take_over[way]
        shown_s = max(time_s, MIDDLE_S) if isfinite(time_s) else 2.0
        meets = place_along(points, DRIBBLE_MPS * shown_s)
        words = "nobody" if number is None else f"{number}: {time_s:.1f} s"
        marks.append(Arrow("take-over", "way out", trimmed((points[0], meets), TOKEN_M, 0.0)))
        placement.take(meets, (0.8, 0.8))
        marks.append(words_at("take-over", "next", words, around(meets, 3.0), placement))
        if number is not None:
            man_xy = situation.player("pressing", number).xy
            marks.append(Line("take-over", "next", trimmed((man_xy, meets), TOKEN_M + 0.2, 0.2)))
    return marks
