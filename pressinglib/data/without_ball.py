"""What a team did while the other side had the ball: tables for a coach, each number with its interval."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np

from pressinglib.data import match_planning as planning
from pressinglib.data.ball_possession import DEAD
from pressinglib.data.match_folder import match_hash
from pressinglib.data.match_plan import SIDES, MatchPlan
from pressinglib.data.match_statistics import away_m, first_within, receptions
from pressinglib.data.tracking import Floats, Side
from pressinglib.errors import BadInput, as_known
from pressinglib.field.pitch import third
from pressinglib.field.player import BACK, GOALKEEPER, LINE_OF_SLOT
from pressinglib.roles.compare import THIRDS, Rate, rate
from pressinglib.roles.picture import norm
from pressinglib.tables import Table, by_number, pandas_or_say

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

    moment: planning.Moment
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
    """What a team did while the other side had the ball, by a folder that `plan_match` made of it, else BadInput.

    Intervals come from drawing whole minutes of the match again and again, since neighbouring frames say the same
    (`rate`). A man is pressed when an outfield player comes within 2 m of him in the 3 s after he gets the ball. What
    came of it is what happens first: the ball is ours, it is out of play, it is 5 m behind where the presser arrived.
    Out of place is who is 5 m further from his spot than he himself usually is in that role, with nobody within 5 m of
    his spot, and no spot of anybody within 5 m of him, for a second at least (own definitions, grade D).
    """
    as_known(side, dict(SIDES), "team")
    seen = _Defending(plan, plans, side)
    planning.check_same(plans, match=match_hash(plan.match), rules=planning.rulebook_hash(plan.rulebook))
    return TeamReport(side, float(seen.seconds.sum() / 60), {
        "pressing": seen.pressing(), "outcomes": seen.outcomes(), "block": seen.block(),
        "faults": seen.fault_kinds(), "faults by player": seen.faults_by_player(),
        "faults by quarter": seen.faults_by_quarter(), "places": seen.places()}, tuple(seen.taught()))


class _Defending:
    """The planned moments in which a side presses, and all that is counted over them."""

    def __init__(self, plan: MatchPlan, plans: str | Path, side: Side) -> None:
        self.plan, self.side, self.whose, self.match = plan, side, dict(SIDES)[side], plan.match
        frames, players, faults = (planning.read_plans(plans, name) for name in ("frames", "players", "faults"))
        self.frames, self.players, self.faults = (table[table["pressing"] == side].reset_index(drop=True)
                                                  for table in (frames, players, faults))
        if not len(self.frames):
            raise BadInput(f"plans {Path(plans).name}", expected=f"moments in which {side} presses", got="none",
                           todo="plan more moments a second")
        self.ours, self.theirs, self.turn = self.match.sides(side)
        self.ids, self.time = (self.frames[name].to_numpy() for name in ("frame_id", "time_s"))
        self.seconds, self.minute = planning.stands_until(self.time)[1] - self.time, self.time // 60.0
        zone = third(self.match.pitch, self.frames["ball_x"])
        self.thirds = [(name, of) for k, name in enumerate(THIRDS) if (of := zone == k).any()]

    def _rate(self, values: Any, of: Any = slice(None), factor: float = 1.0) -> Rate:
        """A mean over some of the planned moments, each for the time it stands for."""
        return rate(np.asarray(values, float)[of], self.minute[of], self.seconds[of], factor)

    def _seen(self, faults: Any, of: Any = slice(None), factor: float = 100.0) -> Rate:
        """In how much of the time there are these faults."""
        return self._rate(np.isin(self.ids, faults["frame_id"]), of, factor)

    # -- who goes, and what comes of it

    @cached_property
    def _presses(self) -> Any:
        """For each man who gets the ball: row, seconds until one of us is there (NaN: nobody), how it ends, when."""
        found, time = [], self.match.time_s
        for slots, row in receptions(self.plan, self.side):
            who, later = first_within(away_m(self.plan, self.side, slots, row, row))
            ends = (time[row + later] - time[row], *self._end(row + later, who)) if who >= 0 else (np.nan, "", np.inf)
            found.append((row, time[row] // 60.0, self.turn * self.match.ball_xy[row, 0], *ends))
        return pandas_or_say().DataFrame(found, columns=["row", "minute", "x", "after_s", "end", "end_s"])

    def _end(self, row: int, who: int) -> tuple[str, float]:
        """What happens first within 8 s of a presser's arrival, and after how long."""
        match, whose = self.match, self.plan.whose
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
        zone, cells = third(self.match.pitch, self._presses["x"]), []
        for name, of in [*((name, zone == k) for k, name in enumerate(THIRDS)), ("everywhere", zone >= 0)]:
            asked = self._presses[of]
            there = asked["after_s"].notna()
            cells.append((name, len(asked), rate(there, asked["minute"], None, 100.0),
                          rate(asked["after_s"], asked["minute"])))
        return Table(("ball in", "men who got it", "% pressed within 3 s", "s until the first is there"), cells,
                     title="Where and how often the team pressed")

    def outcomes(self) -> Table:
        """What came of it."""
        pressed = self._presses[self._presses["end"] != ""]
        cells = []
        for within_s in HORIZONS_S:
            ends = pressed["end"].where(pressed["end_s"] <= within_s, ENDS[-1])
            cells.append((f"within {within_s:g} s", len(pressed), *(rate(ends == end, pressed["minute"], None, 100.0)
                                                                    for end in ENDS)))
        return Table(("after the first is there", "presses", *(f"% {end}" for end in ENDS)), cells,
                     title="What came of it")

    # -- the block, and its faults

    def block(self) -> Table:
        """Length, width and height, by where the ball is."""
        line = self.players["slot"].map(LINE_OF_SLOT)
        men, backs = (self.players[of].groupby("frame_id") for of in (line != GOALKEEPER, line == BACK))
        half = self.match.pitch.length_m / 2
        measures = [table.reindex(self.ids) for table in (
            men["x"].max() - men["x"].min(), men["y"].max() - men["y"].min(), backs["x"].mean() + half)]
        cells = [(name, float(self.seconds[of].sum() / 60), *(self._rate(values, of) for values in measures))
                 for name, of in self.thirds]
        return Table(("ball in", "minutes", "length, m", "width, m", "back line from goal, m"), [*cells, PUBLISHED],
                     {"minutes": ".1f"}, title="The block", notes=(SOURCE,))

    def fault_kinds(self) -> Table:
        """Each kind: in how much of the time it is seen."""
        shares = {kind: self._seen(of) for kind, of in self.faults.groupby("kind")}
        return Table(("fault", "% of the time"), sorted(shares.items(), key=lambda row: -row[1].value),
                     title="What is seen most", empty=NO_FAULT)

    def faults_by_player(self) -> Table:
        """Of the time in which a player is on the pitch: how long he is named, and for what most."""
        named = self.faults.assign(number=self.faults["players"].str.split()).explode("number")
        cells = []
        for n, number in enumerate(self._numbers):
            his = named[named["number"] == number]
            cells.append((number, self._slot(number), self._seen(his, self._here[:, n], PER_S), _most(his["kind"])))
        return Table(("player", "slot", "s in ten minutes", "most often"), cells if len(self.faults) else [],
                     title="Faults by player", empty=NO_FAULT)

    def faults_by_quarter(self) -> Table:
        """In how much of each quarter of an hour any fault is seen."""
        cells = []
        quarter = (self.frames["clock_s"] // QUARTER_S).astype(int)
        for (period, q), rows in self.frames.groupby(["period", quarter]).indices.items():
            of = self.faults[self.faults["frame_id"].isin(self.ids[rows])]
            cells.append((f"period {period}, {15 * q}-{15 * q + 15} min", float(self.seconds[rows].sum() / 60),
                          self._seen(of, rows), _most(of["kind"])))
        return Table(("when", "minutes", "% of the time with a fault", "most often"), cells, {"minutes": ".1f"},
                     title="Faults by quarter of an hour")

    # -- who stands where he is not needed

    def places(self) -> Table:
        """Each player against his own usual distance: how long he is out of place, and whom that leaves free."""
        off, free, run_m = self._off_place()
        cells = []
        for n, number in enumerate(self._numbers):
            out, longest_s, when = np.zeros(len(off), bool), LASTS_S, "-"
            for start, stop, until in planning.stretches(self.time, off[:, n]):
                lasts_s = until - self.time[start]
                out[start : stop + 1] = lasts_s >= LASTS_S
                if lasts_s >= longest_s:
                    longest_s, when = lasts_s, f"{lasts_s:.1f} s, {self._when(start)}"
            cells.append((number, self._slot(number), self._rate(run_m[:, n]), self._rate(out, self._here[:, n], PER_S),
                          self._rate(free[:, n], out, 100.0) if out.any() else None, when))
        return Table(("player", "slot", "usually off his spot, m", "out of place, s in ten minutes",
                      "% of it with a man free there", "longest"), cells, title="Who stood where he was not needed")

    def _off_place(self) -> tuple[Any, Any, Floats]:
        """(F, N) each: out of place, an opponent free at his spot, how far off he is (infinite: not on the pitch)."""
        xy, spots, usual_m = self._places[..., :2], self._places[..., 2:4], self._places[..., 4]
        opponents = self.turn * self.theirs.xy[np.searchsorted(self.match.frame_id, self.ids)]
        away_m = _apart(xy, spots)  # from everybody to everybody's spot
        run_m = np.diagonal(away_m, axis1=1, axis2=2)
        nobody_m = np.where(np.eye(len(self._numbers), dtype=bool), np.inf, away_m).min(1)
        off = (run_m > usual_m + OFF_M) & (nobody_m > OFF_M) & (away_m.min(2) > OFF_M)
        alone = _apart(opponents, xy).min(2) > OFF_M
        return off, ((_apart(spots, opponents) < NEAR_SPOT_M) & alone[:, None]).any(2), run_m

    @cached_property
    def _numbers(self) -> list[str]:
        return sorted(self.players["number"].unique(), key=by_number)

    @cached_property
    def _places(self) -> Floats:
        """(F, N, 5) where everybody is, where he should be, and how far off he usually is in that role."""
        usual_m = self.players.groupby(["number", "role"])["run_m"].transform("mean")
        found = np.full((len(self.ids), len(self._numbers), 5), np.nan)
        at = np.searchsorted(self.ids, self.players["frame_id"]), self.players["number"].map(self._numbers.index)
        found[at] = self.players[["x", "y", "target_x", "target_y"]].assign(usual_m=usual_m)
        return found

    @property
    def _here(self) -> Any:
        """(F, N) who is on the pitch."""
        return np.isfinite(self._places[..., 0])

    def _slot(self, number: str) -> str:
        return _most(self.players["slot"][self.players["number"] == number])

    def _when(self, row: int) -> str:
        minutes, seconds = divmod(int(self.frames["clock_s"][row]), 60)
        return f"period {self.frames['period'][row]}, {minutes}:{seconds:02d}"

    # -- moments to teach

    def taught(self) -> list[Taught]:
        """Of different kinds and apart in time, those in which the plan takes away most danger for longest."""
        danger = self.frames.set_index("frame_id")[["danger_before", "danger_after"]]
        found = [Taught(moment, kind, tuple(danger.loc[moment.frame_id]), self._came(moment))
                 for kind, rows in self.faults.groupby("kind", sort=False)
                 for moment in planning.find_moments(self.frames, rows, planning.Question(kind, None, LASTS_S / 2))]
        chosen: list[Taught] = []
        for taught in sorted(found, key=lambda one: (one.danger[1] - one.danger[0]) * min(one.moment.lasts_s, 3.0)):
            if taught.danger[1] < taught.danger[0] and len(chosen) < TEACH and all(taught.kind != one.kind and abs(
                    taught.moment.start_s - one.moment.start_s) > APART_S for one in chosen):
                chosen.append(taught)
        return sorted(chosen, key=lambda one: one.moment.start_s)

    def _came(self, moment: planning.Moment) -> str:
        """What happened in the next 8 s."""
        time, whose = self.match.time_s, self.plan.whose
        start, stop = np.searchsorted(time, [moment.start_s, moment.end_s + HORIZONS_S[-1]])
        won, dead = whose.team[start:stop] == -self.whose, whose.state[start:stop] == DEAD
        gained_m = -self.turn * (self.match.ball_xy[stop - 1, 0] - self.match.ball_xy[start, 0])
        end = "we won the ball" if won.any() else "it went out of play" if dead.any() else "they kept it"
        way = f", {abs(gained_m):.0f} m {'nearer to' if gained_m > 0 else 'further from'} our goal"
        return end + (way if end == "they kept it" and abs(gained_m) >= 0.5 else "")


def _apart(ones: Floats, others: Floats) -> Floats:
    """(F, N, M) from places (F, N, 2) to others (F, M, 2); infinite where there is nobody."""
    return np.nan_to_num(norm(ones[:, :, None] - others[:, None]), nan=np.inf)


def _most(words: Any) -> str:
    """The word that stands most often."""
    return str(words.mode().iloc[0]) if len(words) else "-"
