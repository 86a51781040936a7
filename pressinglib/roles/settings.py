"""The words of a plan and their codes in arrays; the numbers of the method, each with range, grade and source."""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from functools import cached_property
from typing import Any

from pressinglib.errors import as_items, as_known, as_number
from pressinglib.physics.motion import Running
from pressinglib.tables import Table, table_of

PRESSURE, COVER, BALANCE, BACK_LINE, GOALKEEPER = range(5)
ROLES = ("pressure", "cover", "balance", "back line", "goalkeeper")

IN_TIME, LATE, HOLD = range(3)
TIMINGS = ("in time", "late", "hold")
STEERS = ("right", "none", "left")  # the code of a side is -1, 0 or 1: its place here, less one

OPEN_PLAY, LOOSE, WON, THROW_IN, GOAL_KICK, KEEPER_HOLDS = range(6)
STATES = ("open play", "loose", "won", "throw-in", "goal kick", "keeper holds")

NOBODY = -1  # an index that points at no player

# What a player is sent to do; the phrase a coach would use. `{mark}` is the number of the opponent concerned.
(PRESS, CONTAIN, DENY, GUARD_STRAIGHT, GUARD_INSIDE, DROP_ONTO, GUARD_FAR_SIDE, KEEP_BLOCK,
 RECOVER, HOLD_LINE, STEP_UP, DROP_LINE, STEP_OUT, SWEEP, MIND) = range(15)
DUTIES = ("press {mark}", "contain {mark}", "deny {mark}", "guard the straight way out", "guard the inside way out",
          "drop onto {mark}", "guard the far side", "keep the block", "run back towards goal", "hold the line",
          "step up with the line", "drop with the line", "step out and press {mark}", "sweep behind the line",
          "mind {mark}")
WAYS = ("outside", "straight", "inside")
ON_A_MAN = (DENY, DROP_ONTO, GUARD_FAR_SIDE)  # their man must stay in reach


# Grades: A law, federation or peer-reviewed source; B named author; P common practice; D own arithmetic.


def _number(default: float | tuple[float, ...] | None, low: float, high: float, grade: str, source: str) -> Any:
    many = {"many": len(default)} if isinstance(default, tuple) else {}
    return field(default=default, metadata={"low": low, "high": high, **many, "grade": grade, "source": source})


def _words(default: str, choices: tuple[str, ...], grade: str, source: str) -> Any:
    return field(default=default, metadata={"choices": choices, "grade": grade, "source": source})


@dataclass(frozen=True, repr=False)
class Settings:
    """Settings of the method; metres, seconds, degrees. `Settings.table()` lists ranges, grades and sources.

    UnknownName (also a TypeError) for a setting that does not exist, BadInput for a value outside its range.

    Examples
    --------
    >>> Settings(pressers="anyone", short_pass_m=20).short_pass_m
    20.0
    """

    pressers: str = _words("front", ("front", "anyone"), "P", "who may press: midfield and attack first, or all")
    steering: str = _words("to_surplus", ("to_surplus", "outside", "inside"), "P", "contested: both ways are taught")
    open_ball: str = _words("pressure", ("pressure", "playable"), "P", "contested: what the back line reads")
    confrontation_x_m: float | None = _number(None, -40.0, 52.5, "D",
                                              "line of confrontation; None: press everywhere; mid 17, low 0")
    lead_time_s: float = _number(0.5, 0, 1, "D", "chosen on 52 duels of open match data (Bassek et al. 2025)")
    step_out_s: float = _number(1.0, 0.3, 3, "D", "the back line steps if it is there this much before the midfield")
    in_time_s: float = _number(3.0, 1, 4, "D", "a carrier met within this time is pressed in time")
    end_distance_m: float = _number(1.5, 0.9, 2, "A", "arm's length: The FA, 2025; 1.15-1.69 m: Headrick et al. 2012")
    contain_distance_m: float = _number(2.0, 2, 4, "D", "where a late presser stops: near end of the band")
    trusted_shadow_deg: float = _number(20, 10, 37, "D", "half-angle; less than geometry: the carrier shifts the ball")
    approach_limits_deg: tuple[float, ...] = _number((75, 60, 40, 20), 0, 90, "D",
                                                     "attacking, middle, own third, within 25 m of goal")
    short_pass_m: float = _number(25, 15, 30, "P", "radius of the short options")
    count_goalkeeper: str = _words("no", ("no", "yes"), "P", "is their goalkeeper a short option?")
    take_over_limit_s: float = _number(3.0, 2, 4, "D", "1.2 s from rest covers only 4.6 m")
    touchline_counts: float = _number(2, 0, 3, "D", "the touchline as a helper in the surplus")
    touchline_m: float = _number(14, 8, 20, "D", "within this of a touchline it counts")
    surplus_radius_m: float = _number(25, 15, 35, "D", "radius of the surplus")
    control_m: float = _number(1.5, 1, 2, "D", "who is this near has the ball")
    cover_distances_m: tuple[float, ...] = _number((2.5, 4, 6, 8), 1.5, 12, "D",
                                                   "own box, own, middle, attacking third (B/P: 1.8 m to ten steps)")
    cover_angle_deg: float = _number(35, 30, 45, "B", "off the presser, or on the ball-goal line")
    block_length_m: float = _number(32, 25, 40, "A", "32.5 +- 8.7 m: Forcher et al. 2024, 10.1177/17479541231172695")
    block_width_m: float = _number(38, 30, 45, "A", "37.3 +- 4.8 m: the same")
    back_gap_m: float = _number(10, 7, 15, "A", "10.2 +- 3.8 m, defence to midfield: the same")
    front_gap_m: float = _number(13, 7, 15, "A", "13.3 +- 4.2 m, midfield to forwards: the same")
    lateral_shift: float = _number(0.5, 0.3, 0.8, "P", "share of the ball's y; no published ratio found")
    reaction_s: float = _number(0.3, 0.2, 0.8, "D", "a player who is set")
    alpha_per_s: float = _number(1.3, 0.8, 2, "A", "Fujimura and Sugihara 2005 (value from memory)")
    top_speed_mps: float = _number(7.8, 5, 10, "A", "the same (value from memory)")
    deceleration_mps2: float = _number(6, 4, 6.3, "A", "peaks: Oliva-Lozano et al. 2020, 10.1371/journal.pone.0236959")
    control_time_s: float = _number(0.5, 0.3, 0.8, "P", "the receiver's first touch")
    reach_m: float = _number(0.9, 0.7, 1, "A", "0.7: Cascioli, Wang et al. 2025; 1 m P")
    ball_mps: float = _number(15, 10, 20, "D", "ground pass")
    switch_mps: float = _number(28, 20, 32, "D", "lofted switch, kicked at 25 degrees")
    line_drop_m: float = _number(5, 1, 8, "P", "the back line with an open ball")
    line_step_m: float = _number(4, 1, 8, "P", "the back line on a back pass")
    line_spread_m: float = _number(2, 1, 4, "P", "how far the back line may be from one line")
    covered_s: float = _number(1.0, 0.5, 2, "P", "a ball with a defender this near in time is covered")
    run_time_s: float = _number(2.0, 1, 4, "D", "the running after which spots are judged")

    def __new__(cls, /, *args: Any, **named: Any) -> Settings:
        known = [f.name for f in fields(cls)]
        for name in named:
            as_known(name, known, "setting")
        return super().__new__(cls)

    def __post_init__(self) -> None:
        for f in fields(self):
            object.__setattr__(self, f.name, _checked(f, getattr(self, f.name)))

    def __repr__(self) -> str:
        changed = {f.name: value for f in fields(self) if (value := getattr(self, f.name)) != f.default}
        return f"Settings({', '.join(f'{name}={value!r}' for name, value in changed.items())})"

    @cached_property
    def running(self) -> Running:
        """The law of running, with the numbers of these settings."""
        return Running(self.alpha_per_s, self.top_speed_mps, self.deceleration_mps2)

    @classmethod
    def table(cls) -> Table:
        """Rows of name, default, range, grade and source."""
        return table_of({"setting": f.name, "default": f.default,
                         "range": f.metadata.get("choices", (f.metadata.get("low"), f.metadata.get("high"))),
                         "grade": f.metadata["grade"], "source": f.metadata["source"]} for f in fields(cls))


def _checked(of: Any, value: Any) -> Any:
    what, meta = f"setting {of.name}", of.metadata
    if "choices" in meta:
        return as_known(value, meta["choices"], what, "use one of them")
    if value is None and of.default is None:
        return None
    limits = {"low": meta["low"], "high": meta["high"]}
    if (many := meta.get("many")) is None:
        return as_number(value, what, **limits)
    return tuple(as_number(one, what, **limits) for one in as_items(
        value, object, what, f"{many} numbers", "give them all", many, many))
