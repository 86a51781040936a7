"""Two rulebooks on the same pictures: where they differ, and what each does to danger, lanes, gaps and faults."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import repeat
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pressinglib.errors import BadInput, as_a, as_bool, as_items, shown
from pressinglib.field.frames import Frames
from pressinglib.field.pitch import third
from pressinglib.field.scene_file import scene, scene_names
from pressinglib.field.situation import Situation
from pressinglib.roles.balance import block_reference
from pressinglib.roles.decisions import Decisions, frame_rule
from pressinglib.roles.faults import faults_in_frames
from pressinglib.roles.measures import OPEN
from pressinglib.roles.picture import OPEN_S, Picture, norm
from pressinglib.roles.pipeline import plan_frames
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import ROLES, STATES, STEERS, TIMINGS
from pressinglib.tables import Table

Columns = dict[str, NDArray[Any]]
FEWEST, TRIES, SEED = 5, 2000, 1  # stretches of which an interval can be said, and how often they are drawn
DIFFERS_M = 1.0  # a spot this far from the other one is another spot (own choice)
MEASURES = {"danger": "danger after the runs", "open_lanes": "open lanes", "open_gaps": "open gaps",
            "faults": "faults once the runs are made"}
BASELINES = {"nearest": "the nearest goes, the rest as the first", "block": "the block shifts, nobody goes",
             "stand": "nobody moves"}
LESS = "Less is better for the pressing team, by the method's own measure."
MOST_ROWS, MOST_SHOWN, SLACK = 20, 10, 1e-6
THIRDS = ("our third", "middle third", "their third")
PASSED = "a pass on its way"
SHOWN = {"goes": ("presser", ""), "steers": ("steer", ""), "danger": ("danger", ".3f"),
         "open lanes": ("open_lanes", ""), "open gaps": ("open_gaps", "")}  # heads of the table: which value, its form


@dataclass(frozen=True)
class Rate:
    """A mean with its 95 % interval; printed, both."""

    value: float
    low: float
    high: float

    @property
    def sign(self) -> int:
        """1 or -1 where the whole interval lies above or below 0, else 0."""
        return int(self.low > 0) - int(self.high < 0)

    def __repr__(self) -> str:
        if self.value != self.value:
            return "-"
        size = max(abs(self.value), abs(self.high) if self.high == self.high else 0.0)
        places = 0 if size >= 10 or not size else 1 if size >= 1 else 2 if size >= 0.1 else 3
        value, low, high = (f"{round(part, places) + 0.0:.{places}f}" for part in (self.value, self.low, self.high))
        return f"{value} ({'too few' if self.low != self.low else f'{low} to {high}'})"


def rate(values: Any, stretch: Any = None, weights: Any = None, factor: float = 1.0) -> Rate:
    """A mean over the moments of a match, with an interval that minds that neighbouring moments say the same.

    Whole stretches (minutes, say) are drawn again and again, as many as there are: the middle 95 % of what their means
    come to (cluster bootstrap: Efron and Tibshirani 1993, chapter 8, grade A). No interval of fewer than 5 stretches.
    Without stretches each value is drawn for itself.

    Examples
    --------
    >>> print(rate([1, 1, 0, 0, 1, 0, 1, 1], [1, 1, 2, 2, 3, 4, 5, 6], factor=100))
    62 (22 to 100)
    """
    values = np.asarray(values, float)
    known = np.isfinite(values)
    weight = np.where(known, 1.0 if weights is None else weights, 0.0)
    _, which = np.unique(np.arange(len(values)) if stretch is None else np.asarray(stretch), return_inverse=True)
    sums, sizes = (np.bincount(which[known], part[known]) for part in (np.nan_to_num(values) * weight, weight))
    sums, sizes = sums[sizes > 0], sizes[sizes > 0]
    if not len(sizes):
        return Rate(np.nan, np.nan, np.nan)
    low, high = np.nan, np.nan
    if len(sizes) >= FEWEST:
        drawn = np.random.default_rng(SEED).multinomial(len(sizes), np.full(len(sizes), 1 / len(sizes)), TRIES)
        low, high = np.percentile(drawn @ sums / (drawn @ sizes), [2.5, 97.5])
    return Rate(*(float(factor * part) for part in (sums.sum() / sizes.sum(), low, high)))


@dataclass(frozen=True, eq=False, repr=False)
class Comparison:
    """What two rulebooks make of the same pictures.

    `rows` has one dict a picture: `picture` (its name, or its number), and for each rulebook, with 1 or 2 behind the
    name: presser, timing, steer, danger (after the runs), open_lanes, open_gaps, faults (how many), kinds (of faults);
    `moved_m`, how far the spots lie apart on average, and `differs`; zone and phase; nearest, block and stand, the
    danger after simple ways to defend; by role of the first `others_` (other men have it) and `moved_` (m).
    """

    names: tuple[str, str]
    rows: tuple[dict[str, Any], ...]

    @property
    def differing(self) -> list[dict[str, Any]]:
        """The pictures in which presser, timing, side or a spot differ."""
        return [row for row in self.rows if row["differs"]]

    def measures(self) -> dict[str, tuple[float, float]]:
        """For each measure the mean of both rulebooks, over all pictures; less is better for the pressing team."""
        return {words: (float(one.mean()), float(two.mean())) for words, one, two in self._both()}

    def better(self) -> tuple[int, int, int]:
        """In how many pictures the first lowers danger more, the second, neither."""
        off = self._values("danger2") - self._values("danger1")
        return int((off > SLACK).sum()), int((off < -SLACK).sum()), int((np.abs(off) <= SLACK).sum())

    def table(self) -> Table:
        """The pictures that differ, twenty at most, both answers in a cell."""
        rows = [(row["picture"], *(" / ".join(_words(row[f"{name}{k}"], spec) for k in (1, 2))
                                   for name, spec in SHOWN.values())) for row in self.differing[:MOST_ROWS]]
        return Table(("picture", *SHOWN), rows, title=" / ".join(self.names), empty="They differ in no picture.")

    def experiment(self) -> Table:
        """Paired, moment by moment: what the second changes, everywhere, by where the ball is and by phase.

        Intervals are those of `rate`: a match is drawn by minutes, named pictures one by one.
        """
        cells = [(words, where, int(of.sum()), one[of].mean(), two[of].mean(), self._rate(two - one, of))
                 for words, one, two in self._both() for where, of in self._parts()]
        return Table(("measure", "where", "moments", *self.names, "difference"), cells,
                     dict.fromkeys(self.names, ".3f"), f"{self.names[1]} minus {self.names[0]}", (LESS,))

    def baselines(self) -> Table:
        """Both beside simple ways to defend: mean danger after the runs, and how much lower or higher it is by each."""
        danger = [self._values(f"danger{k}") for k in (1, 2)]
        cells = [(words, where, other[of].mean(), *(self._rate(mine - other, of) for mine in danger))
                 for name, words in BASELINES.items() for other in [self._values(name)] for where, of in self._parts()]
        return Table(("instead", "where", "its danger", *(f"{name} minus it" for name in self.names)), cells,
                     {"its danger": ".3f"}, title="Beside simple ways to defend", notes=(LESS,))

    def by_role(self) -> Table:
        """For each role of the first: in how many moments others have it, and how far its men's spots lie apart."""
        cells = [(role, self._rate(100.0 * self._values(f"others_{role}")), self._rate(self._values(f"moved_{role}")))
                 for role in ROLES]
        return Table(("role", "% of moments with other men", "spots apart, m"), cells, title="Who is sent elsewhere")

    def most(self) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
        """The ten pictures in which the second lowers danger most, and in which it raises it most."""
        rows = sorted(self.rows, key=lambda row: row["danger2"] - row["danger1"])
        return ([row for row in rows[:MOST_SHOWN] if row["danger2"] < row["danger1"]],
                [row for row in rows[::-1][:MOST_SHOWN] if row["danger2"] > row["danger1"]])

    def _values(self, name: str) -> NDArray[Any]:
        return np.array([row[name] for row in self.rows], float)

    def _both(self) -> Iterator[tuple[str, NDArray[Any], NDArray[Any]]]:
        """Each measure in words, with its values by both."""
        for name, words in MEASURES.items():
            if f"{name}1" in self.rows[0]:
                yield words, self._values(f"{name}1"), self._values(f"{name}2")

    def _parts(self) -> list[tuple[str, NDArray[Any]]]:
        """The moments everywhere, with the ball in each third, and in each phase."""
        zone, phase = (np.array([row[name] for row in self.rows]) for name in ("zone", "phase"))
        parts = [("everywhere", zone == zone), *((where, zone == where) for where in THIRDS),
                 *((name, phase == name) for name in np.unique(phase))]
        return [(where, of) for where, of in parts if of.any()]

    def _rate(self, values: NDArray[Any], of: Any = slice(None)) -> Rate:
        of_match = "pressing" in self.rows[0]
        stretch = np.array([row["time_s"] // 60 if of_match else k for k, row in enumerate(self.rows)])
        return rate(values[of], stretch[of])

    def __repr__(self) -> str:
        first, second = self.names
        lines = [f"{first} against {second}: {len(self.differing)} of {len(self.rows)} pictures differ"]
        lines += [f"{words}: {a:.3f} against {b:.3f}" for words, (a, b) in self.measures().items()]
        less, more, same = self.better()
        return "\n".join([*lines, f"danger is lower by {first} in {less}, by {second} in {more}, the same in {same}"])


def _words(value: Any, spec: str) -> str:
    return "nobody" if value is None else format(value, spec)


def compare_rulebooks(first: Rulebook, second: Rulebook, pictures: Mapping[str, Situation] | Frames | None = None,
                      names: tuple[str, str] = ("these rules", "others"), with_faults: bool = True) -> Comparison:
    """Plan the same pictures by two rulebooks.

    Without pictures the named scenes are taken; `names` is what the two are called. Faults are looked for in the
    picture in which everybody has reached his spot, which takes most of the time. BadInput without a picture, RuleError
    where an own rule fails.

    Both are judged by the method's own danger, lanes, gaps and faults (grade D): a rule that lowers them is better by
    this method, which does not prove that it is better football.

    Examples
    --------
    >>> stock, inside = Rulebook(), Rulebook().with_settings(steering="inside")
    >>> found = compare_rulebooks(stock, inside, {"worked scene": scene("worked scene")}, ("stock", "inside"))
    >>> found.rows[0]["steer1"], found.rows[0]["steer2"], len(found.differing)
    ('left', 'right', 1)
    >>> compare_rulebooks(stock, stock, {})
    Traceback (most recent call last):
    pressinglib.errors.BadInput: pictures: expected at least one; got none. ...
    """
    first, second = (as_a(rules, Rulebook, "rulebook", "make one with Rulebook(...)") for rules in (first, second))
    as_bool(with_faults, "with_faults")
    names = as_items(names, str, "names", "two names", "give one for each", 2, 2)  # type: ignore[assignment]
    rows = tuple(_rows(_parts(pictures), first, second, with_faults))
    if not rows:
        raise BadInput("pictures", expected="at least one", got="none", todo="give scenes by name, or Frames")
    return Comparison(names, rows)


def _parts(pictures: Mapping[str, Situation] | Frames | None) -> Iterator[tuple[list[Any], Frames]]:
    """Names and frames: all of them at once, or each picture for itself, since their sheets may differ."""
    named = {name: scene(name) for name in scene_names()} if pictures is None else pictures
    if isinstance(named, Frames):
        yield list(range(len(named))), named
    elif isinstance(named, Mapping) and all(isinstance(one, Situation) for one in named.values()):
        yield from (([name], Frames.of([situation])) for name, situation in named.items())
    else:
        raise BadInput("pictures", expected="Situations by name, or Frames", got=shown(pictures), todo="give either")


def _rows(parts: Iterator[tuple[list[Any], Frames]], first: Rulebook, second: Rulebook,
          with_faults: bool) -> Iterator[dict[str, Any]]:
    instead = {"nearest": first.with_rules(choose_presser=nearest_presses),
               "block": first.with_rules(settle_spots=block_shift)}
    for names, frames in parts:
        plans = [plan_frames(frames, rules) for rules in (first, second)]
        phase = np.where(frames.receiver >= 0, PASSED, np.array(STATES)[plans[0]["state"]])
        columns = {"picture": np.array(names, object), "time_s": frames.time_s, "phase": phase,
                   "zone": np.array(THIRDS)[third(frames.pitch, frames.ball_xy[:, 0])],
                   "stand": plans[0]["danger_before"],
                   **{name: plan_frames(frames, rules)["danger_after"] for name, rules in instead.items()}}
        for k, (plan, rules) in enumerate(zip(plans, (first, second), strict=True), 1):
            columns |= {f"{name}{k}": values for name, values in _side(frames, plan, rules, with_faults).items()}
        columns |= _apart(*plans)
        plain = zip(*(values.tolist() for values in columns.values()), strict=True)
        yield from (dict(zip(columns, values, strict=True)) for values in plain)


def _apart(one: Columns, two: Columns) -> Columns:
    """How far the spots of two plans lie apart, on average and by role, and whether they differ."""
    apart_m = norm(two["target_xy"] - one["target_xy"])
    differs = np.nanmax(apart_m, axis=1) >= DIFFERS_M
    for key in ("presser", "timing", "steer"):
        differs |= one[key] != two[key]
    found = {"moved_m": np.nanmean(apart_m, axis=1).round(2), "differs": differs}
    for k, role in enumerate(ROLES):
        his = one["role"] == k
        found[f"others_{role}"] = ((two["role"] == k) != his).any(1)
        found[f"moved_{role}"] = np.where(his, apart_m, 0.0).sum(1) / np.where(his.any(1), his.sum(1), np.nan)
    return found


def _side(frames: Frames, plan: Columns, rules: Rulebook, with_faults: bool) -> Columns:
    """What one rulebook makes of the frames; faults once everybody has reached his spot."""
    columns = {"presser": np.array([*frames.pressing_numbers, None])[plan["presser"]],
               "timing": np.array(TIMINGS)[plan["timing"]], "steer": np.array(STEERS)[plan["steer"] + 1],
               "danger": plan["danger_after"], "open_lanes": (plan["lane_margin_s"] > OPEN_S).sum(1),
               "open_gaps": (plan["gap_state"] == OPEN).sum(1)}
    if with_faults:
        still = np.zeros_like(frames.pressing_velocity)
        there = replace(frames, pressing_xy=plan["target_xy"], pressing_velocity=still)
        kinds = np.fromiter(repeat((), len(frames)), object)
        for fault in faults_in_frames(there, rules):
            kinds[fault.frame] += (fault.kind,)
        columns |= {"kinds": kinds, "faults": np.array([len(found) for found in kinds])}
    return columns


# -- Simple ways to defend, to set a plan beside.


@frame_rule
def nearest_presses(p: Picture, d: Decisions) -> Any:
    """The outfield player nearest to the ball goes."""
    away = np.where(p.outfield, norm(p.own - p.focus[:, None]), np.inf)
    return np.where(np.isfinite(away.min(1)), away.argmin(1), -1)


@frame_rule
def block_shift(p: Picture, _: Decisions | None = None) -> Any:
    """Everybody keeps his place in the block, which moves with the ball."""
    return block_reference(p, np.zeros(p.line.shape, bool))
