"""What a team did while the other side had the ball: tables for a coach, each number with its interval."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np

from pressinglib.data.ball_possession import DEAD
from pressinglib.data.match_folder import match_hash
from pressinglib.data.match_plan import SIDES, MatchPlan
from pressinglib.data.match_planning import (
    Moment,
    Question,
    find_moments,
    plan_sheet,
    read_plans,
    rulebook_hash,
    stands_until,
    stretches,
)
from pressinglib.data.match_statistics import away_m, first_within, receptions
from pressinglib.data.tracking import Floats, Side
from pressinglib.errors import BadInput, UnknownName
from pressinglib.field.pitch import third
from pressinglib.field.player import BACK, GOALKEEPER, LINE_OF_SLOT
from pressinglib.roles.compare import THIRDS, Rate, rate
from pressinglib.roles.picture import norm
from pressinglib.tables import Table, by_number

HORIZONS_S = (5.0, 8.0)
PAST_M = 5.0  # a ball so far behind where the presser came has been played past him (this and the next: own choice)
OFF_M = 5.0  # more than this further off than usual; nobody so near to his spot, and no spot so near to him
NEAR_SPOT_M = 8.0  # an opponent this near to an empty spot, and none of us within OFF_M of him, is a free man
LASTS_S = 1.0
PER_S = 600.0  # "in ten minutes"
QUARTER_S = 900.0
TEACH, APART_S = 5, 30.0
NO_FAULT = "No fault was found, or none was looked for."
PUBLISHED = ("published", None, "32.5, deviation 8.7", "37.3, deviation 4.8", None)
SOURCE = "published: Forcher et al. 2024, doi:10.1177/17479541231172695, teams of the German first division"
ENDS = ("won", "out of play", "played past", "still there")


@dataclass(frozen=True)
class Taught:
    """A moment to teach: what went wrong, who, how much danger the plan would have taken away, what came of it."""

    moment: Moment
    kind: str
    danger: tuple[float, float]
    came: str


@dataclass(frozen=True, repr=False)
class TeamReport:
    """Tables by name, and the moments to teach."""

    side: Side
    minutes: float
    tables: dict[str, Table]
    moments: tuple[Taught, ...]

    def __repr__(self) -> str:
        return f"Report on {self.side}: {self.minutes:.0f} minutes without the ball, tables {', '.join(self.tables)}"


def team_report(plan: MatchPlan, plans: str | Path, side: Side) -> TeamReport:
    """What a team did while the other side had the ball.

    Parameters
    ----------
    plan : MatchPlan
        The match, with the rules by which it was planned.
    plans : path
        A folder made by `plan_match` of it.
    side : "home" or "away"

    Raises
    ------
    UnknownName, BadInput
        For another side; plans of another match, by other rules, or without a moment in which this side presses.

    Notes
    -----
    Intervals come from drawing whole minutes of the match again and again, since neighbouring frames say the same
    (`rate`). A man is pressed when an outfield player comes within 2 m of him in the 3 s after he gets the ball. What
    came of it is what happens first: the ball is ours, it is out of play, it is 5 m behind where the presser arrived.
    Out of place is who is 5 m further from his spot than he himself usually is in that role, with nobody within 5 m of
    his spot, and no spot of anybody within 5 m of him, for a second at least (own definitions, grade D).
    """
    if side not in dict(SIDES):
        raise UnknownName("team", side, tuple(dict(SIDES)))
    sheet, seen = plan_sheet(Path(plans)), _Defending(plan, plans, side)
    for what, ours in (("match", match_hash(plan.match)), ("rules", rulebook_hash(plan.rulebook))):
        if sheet.get(what) != ours:
            raise BadInput(f"plans {Path(plans).name}", expected="plans of this match, by these rules",
                           got=f"another {what}", todo="plan this match first, or say the same settings and rules")
    return TeamReport(side, float(seen.seconds.sum() / 60), {
        "pressing": seen.pressing(), "outcomes": seen.outcomes(), "block": seen.block(),
        "faults": seen.fault_kinds(), "faults by player": seen.faults_by_player(),
        "faults by quarter": seen.faults_by_quarter(), "places": seen.places()}, tuple(seen.taught()))


class _Defending:
    """The planned moments in which a side presses, and all that is counted over them."""

    def __init__(self, plan: MatchPlan, plans: str | Path, side: Side) -> None:
        self.plan, self.side, self.whose = plan, side, dict(SIDES)[side]
        frames, players, faults = (read_plans(plans, name) for name in ("frames", "players", "faults"))
        self.frames, self.players, self.faults = (table[table["pressing"] == side].reset_index(drop=True)
                                                  for table in (frames, players, faults))
        if not len(self.frames):
            raise BadInput(f"plans {Path(plans).name}", expected=f"moments in which {side} presses", got="none",
                           todo="plan more moments a second")
        self.turn = 1.0 if side == "home" else -1.0
        self.ours, self.theirs = ((plan.match.home, plan.match.away) if side == "home"
                                  else (plan.match.away, plan.match.home))
        self.time = self.frames["time_s"].to_numpy(float)
        self.seconds = stands_until(self.time)[1] - self.time
        self.minute = np.floor(self.time / 60.0)
        self.third = third(plan.match.pitch, self.frames["ball_x"])

    def _rate(self, values: Any, of: Any = slice(None), factor: float = 1.0) -> Rate:
        """A mean over some of the planned moments, each for the time it stands for."""
        return rate(np.asarray(values, float)[of], self.minute[of], self.seconds[of], factor)

    # -- who goes, and what comes of it

    @cached_property
    def _presses(self) -> list[tuple[int, float, str, float]]:
        """For each man who gets the ball: row, seconds until one of us is there (NaN: nobody), how it ends, when."""
        found, time = [], self.plan.match.time_s
        for slots, row in receptions(self.plan, self.side):
            who, later = first_within(away_m(self.plan, self.side, slots, row, row))
            found.append((row, float(time[row + later] - time[row]), *self._end(row + later, who)) if who >= 0 else
                         (row, np.nan, "", np.inf))
        return found

    def _end(self, row: int, who: int) -> tuple[str, float]:
        """What happens first within 8 s of a presser's arrival, and after how long."""
        match, whose = self.plan.match, self.plan.whose
        stop = int(np.searchsorted(match.time_s, match.time_s[row] + HORIZONS_S[-1], side="right"))
        rows = np.arange(row, stop)[match.period[row:stop] == match.period[row]]
        past = self.turn * (match.ball_xy[rows, 0] - self.ours.xy[row, who, 0]) < -PAST_M
        happens = np.stack([whose.team[rows] == -self.whose, whose.state[rows] == DEAD, past], axis=1)
        if not happens.any():
            return ENDS[-1], np.inf
        first = int(happens.any(1).argmax())
        return ENDS[int(happens[first].argmax())], float(match.time_s[rows[first]] - match.time_s[row])

    def pressing(self) -> Table:
        """Where and how often somebody goes, and how soon he is there."""
        rows, after_s = (np.array(column) for column in list(zip(*self._presses, strict=True))[:2])
        zone = third(self.plan.match.pitch, self.turn * self.plan.match.ball_xy[rows, 0])
        minute = np.floor(self.plan.match.time_s[rows] / 60.0)
        there = np.isfinite(after_s)
        cells = [(name, int(of.sum()), rate(there[of], minute[of], None, 100.0),
                  rate(after_s[of & there], minute[of & there]))
                 for name, of in [*((name, zone == k) for k, name in enumerate(THIRDS)), ("everywhere", zone >= 0)]]
        return Table(("ball in", "men who got it", "% pressed within 3 s", "s until the first is there"), cells,
                     title="Where and how often the team pressed")

    def outcomes(self) -> Table:
        """What came of it."""
        pressed = [one for one in self._presses if one[2]]
        minute = np.floor(self.plan.match.time_s[[row for row, *_ in pressed]] / 60.0)
        cells = []
        for within_s in HORIZONS_S:
            ends = np.array([end if after_s <= within_s else ENDS[-1] for *_, end, after_s in pressed], object)
            cells.append((f"within {within_s:g} s", len(pressed), *(rate(ends == end, minute, None, 100.0)
                                                                    for end in ENDS)))
        return Table(("after the first is there", "presses", *(f"% {end}" for end in ENDS)), cells,
                     title="What came of it")

    # -- the block, and its faults

    def block(self) -> Table:
        """Length, width and height, by where the ball is."""
        line = self.players["slot"].map(LINE_OF_SLOT)
        men, backs = (self.players[of].groupby("frame_id") for of in (line != GOALKEEPER, line == BACK))
        half = self.plan.match.pitch.length_m / 2
        measures = [(table.reindex(self.frames["frame_id"])).to_numpy(float) for table in (
            men["x"].max() - men["x"].min(), men["y"].max() - men["y"].min(), backs["x"].mean() + half)]
        cells = [(name, float(self.seconds[of].sum() / 60), *(self._rate(values, of) for values in measures))
                 for name, of in ((name, self.third == k) for k, name in enumerate(THIRDS)) if of.any()]
        return Table(("ball in", "minutes", "length, m", "width, m", "back line from goal, m"), [*cells, PUBLISHED],
                     {"minutes": ".1f"}, title="The block", notes=(SOURCE,))

    def fault_kinds(self) -> Table:
        """Each kind: in how much of the time it is seen."""
        shares = {kind: self._rate(self.frames["frame_id"].isin(of["frame_id"]), factor=100.0)
                  for kind, of in self.faults.groupby("kind")}
        return Table(("fault", "% of the time"), sorted(shares.items(), key=lambda row: -row[1].value),
                     title="What is seen most", empty=NO_FAULT)

    def faults_by_player(self) -> Table:
        """Of the time in which a player is on the pitch: how long he is named, and for what most."""
        named = self.faults.assign(number=self.faults["players"].str.split()).explode("number")
        cells = []
        for number, here in self._men():
            his = named[named["number"] == number]
            at = self.frames["frame_id"].isin(his["frame_id"])
            kind = str(his["kind"].mode().iloc[0]) if len(his) else "-"
            cells.append((number, self._slot(number), self._rate(at, here, PER_S), kind))
        return Table(("player", "slot", "s in ten minutes", "most often"), cells if len(self.faults) else [],
                     title="Faults by player", empty=NO_FAULT)

    def faults_by_quarter(self) -> Table:
        """In how much of each quarter of an hour any fault is seen."""
        at, kinds = self.frames["faults"].to_numpy() > 0, dict(tuple(self.faults.groupby("frame_id")["kind"]))
        quarter = np.floor(self.frames["clock_s"].to_numpy(float) / QUARTER_S).astype(int)
        cells = []
        for period, q in sorted(set(zip(self.frames["period"], quarter, strict=True))):
            of = ((self.frames["period"] == period) & (quarter == q)).to_numpy()
            said = [kind for frame in self.frames["frame_id"][of & at] for kind in kinds.get(frame, ())]
            cells.append((f"period {period}, {15 * q}-{15 * q + 15} min", float(self.seconds[of].sum() / 60),
                          self._rate(at, of, 100.0), max(sorted(set(said)), key=said.count, default="-")))
        return Table(("when", "minutes", "% of the time with a fault", "most often"), cells, {"minutes": ".1f"},
                     title="Faults by quarter of an hour")

    # -- who stands where he is not needed

    def places(self) -> Table:
        """Each player against his own usual distance: how long he is out of place, and whom that leaves free."""
        cells = []
        for number, here in self._men():
            off, free, run_m = self._off_place(number)
            spells = list(stretches(self.time, off))
            long = [rows for start, stop, until in spells if until - self.time[start] >= LASTS_S
                    for rows in range(start, stop + 1)]
            out = np.isin(np.arange(len(off)), long)
            start, _, until = max(spells, key=lambda one: one[2] - self.time[one[0]], default=(0, 0, self.time[0]))
            when = f"{until - self.time[start]:.1f} s, {self._when(start)}" if out.any() else "-"
            cells.append((number, self._slot(number), self._rate(run_m, here), self._rate(out, here, PER_S),
                          self._rate(free, out, 100.0) if out.any() else None, when))
        return Table(("player", "slot", "usually off his spot, m", "out of place, s in ten minutes",
                      "% of it with a man free there", "longest"), cells, title="Who stood where he was not needed")

    def _off_place(self, number: str) -> tuple[Any, Any, Floats]:
        """By planned moment: out of place, an opponent free at his spot, how far off he is (NaN: not on the pitch)."""
        xy, spots = self._places
        n = self._numbers.index(number)
        run_m, usual_m = norm(xy[:, n] - spots[:, n]), np.full(len(xy), np.nan)
        his = self.players[self.players["number"] == number]
        usual_m[self._row(his)] = his.groupby("role")["run_m"].transform("mean")
        others = np.arange(len(self._numbers)) != n
        with np.errstate(invalid="ignore"):
            nobody_m = _nearest(spots[:, n], xy[:, others])
            off = (run_m > usual_m + OFF_M) & (nobody_m > OFF_M) & (_nearest(xy[:, n], spots) > OFF_M)
            rows = np.searchsorted(self.plan.match.frame_id, self.frames["frame_id"])
            opponents = self.turn * self.theirs.xy[rows]
            alone = np.stack([_nearest(opponents[:, m], xy) for m in range(opponents.shape[1])], axis=1) > OFF_M
            near = norm(opponents - spots[:, n, None]) < NEAR_SPOT_M
        return off, (near & alone).any(1), run_m

    @cached_property
    def _numbers(self) -> list[str]:
        return sorted(self.players["number"].unique(), key=by_number)

    def _row(self, players: Any) -> Any:
        """The planned moment of each row of players."""
        return np.searchsorted(self.frames["frame_id"].to_numpy(), players["frame_id"])

    @cached_property
    def _places(self) -> tuple[Floats, Floats]:
        """Where everybody is, and should be, (F, N, 2)."""
        at = self._row(self.players), self.players["number"].map(self._numbers.index).to_numpy()
        found = np.full((2, len(self.frames), len(self._numbers), 2), np.nan)
        for k, names in enumerate((["x", "y"], ["target_x", "target_y"])):
            found[k][at] = self.players[names]
        return found[0], found[1]

    def _men(self) -> Iterator[tuple[str, Any]]:
        """Each player's number, and the moments in which he is on the pitch."""
        for n, number in enumerate(self._numbers):
            yield number, np.isfinite(self._places[0][:, n, 0])

    def _slot(self, number: str) -> str:
        return str(self.players["slot"][self.players["number"] == number].mode().iloc[0])

    def _when(self, row: int) -> str:
        minutes, seconds = divmod(int(self.frames["clock_s"][row]), 60)
        return f"period {self.frames['period'][row]}, {minutes}:{seconds:02d}"

    # -- moments to teach

    def taught(self) -> list[Taught]:
        """Of different kinds and apart in time, those in which the plan takes away most danger for longest."""
        danger = self.frames.set_index("frame_id")[["danger_before", "danger_after"]]
        found = []
        for kind in self.faults["kind"].unique():
            for moment in find_moments(self.frames, self.faults, Question(kind, lasts_s=LASTS_S / 2)):
                before, after = danger.loc[moment.frame_id]
                found.append((float((before - after) * min(moment.lasts_s, 3.0)), kind, moment, (before, after)))
        chosen: list[Taught] = []
        for _, kind, moment, levels in sorted(found, key=lambda one: -one[0]):
            if len(chosen) < TEACH and all(kind != one.kind and abs(moment.start_s - one.moment.start_s) > APART_S
                                           for one in chosen):
                chosen.append(Taught(moment, kind, levels, self._came(moment)))
        return sorted(chosen, key=lambda one: one.moment.start_s)

    def _came(self, moment: Moment) -> str:
        """What happened in the next 8 s."""
        time, whose = self.plan.match.time_s, self.plan.whose
        start, stop = np.searchsorted(time, [moment.start_s, moment.end_s + HORIZONS_S[-1]])
        won, dead = whose.team[start:stop] == -self.whose, whose.state[start:stop] == DEAD
        gained_m = -self.turn * (self.plan.match.ball_xy[stop - 1, 0] - self.plan.match.ball_xy[start, 0])
        end = "we won the ball" if won.any() else "it went out of play" if dead.any() else "they kept it"
        way = f", {abs(gained_m):.0f} m {'nearer to' if gained_m > 0 else 'further from'} our goal"
        return end + (way if end == "they kept it" else "")


def _nearest(places: Floats, men: Floats) -> Floats:
    """(F,) from places (F, 2) to the nearest of men (F, N, 2); infinite where there is nobody."""
    return np.asarray(np.nan_to_num(norm(men - places[:, None]), nan=np.inf).min(1))
