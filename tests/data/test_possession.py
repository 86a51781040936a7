"""Whose ball it is: gained in 0.2 s, kept until the others have it, forgotten at a dead ball and at a break."""

from __future__ import annotations

import numpy as np

from pressinglib.data import Team, Tracking, possession
from pressinglib.field.pitch import Pitch

HOME_X, AWAY_X, FAR_X = -10.0, 10.0, 0.0
SPOT = {"h": (HOME_X, 0.0), "m": (HOME_X, 20.0), "a": (AWAY_X, 0.0), ".": (FAR_X, 0.0), "x": (np.nan, np.nan)}


def match(path: str, dead: str = "", given: str = "", step_s: float = 0.1, period: str = "") -> Tracking:
    """A letter a frame: h, m two home players, a an away player on the ball, . nobody, x no ball."""
    count = len(path)
    home = Team(("4", "6"), ("outfield",) * 2, np.tile([SPOT["h"], SPOT["m"]], (count, 1, 1)))
    away = Team(("9",), ("outfield",), np.tile([SPOT["a"]], (count, 1, 1)))
    alive = np.array([k >= len(dead) or dead[k] != "d" for k in range(count)])
    told = np.array([{"h": 1, "a": -1}.get(c, 0) for c in given.ljust(count)])
    return Tracking(Pitch(), home, away, np.arange(count) * step_s, [SPOT[c] for c in path], np.zeros(count), alive,
                    np.arange(count), [int(c) for c in period] or None, told)


def teams(path: str, **given: str) -> str:
    return "".join("a h"[k + 1] for k in possession(match(path, **given)).team)


def states(path: str, **given: str) -> str:
    return "".join("HPLD"[k] for k in possession(match(path, **given)).state)


def test_the_ball_is_kept_until_the_other_team_has_it() -> None:
    assert teams("..hh....aa..") == "  hhhhhhaaaa"
    assert states("..hh....aa..") == "LLHHLLLLHHLL"


def test_a_touch_of_a_tenth_of_a_second_gains_nothing() -> None:
    assert teams("hh.a.hh") == "hhhhhhh"
    assert states("hh.a.hh") == "HHLLLHH"  # the ball went to an opponent: nobody's for the moment
    assert teams("h.aa") == "  aa"


def test_a_pass_has_a_receiver() -> None:
    found = possession(match("hh...mm"))
    assert states("hh...mm") == "HHPPPHH"
    assert found.receiver.tolist() == [-1, -1, 1, 1, 1, -1, -1]
    assert found.carrier.tolist() == [0, 0, -1, -1, -1, 1, 1]


def test_a_dead_ball_a_missing_one_a_break_and_a_new_half_end_it() -> None:
    assert teams("hh..hh", dead="...d") == "hhh hh"
    assert states("hh..mm", dead="...d") == "HHLDHH"
    assert states("hh.x.mm") == "HHLDLHH"
    assert teams("hh...mm", period="1112222") == "hhh  hh"


def test_a_long_flight_is_no_pass() -> None:
    assert set(states("hh" + "." * 60 + "mm")[2:-2]) == {"L"}


def test_what_the_source_says_holds() -> None:
    assert teams("hh..", given="aa  ") == "aahh"
    assert states("hh..", given="aa  ") == "LLLL"


def test_the_invented_match(invented: Tracking) -> None:
    found = possession(invented)
    assert found.counts() == {"held": 150, "pass": 0, "loose": 0, "dead": 10}
    assert found.team[0] == 1 and found.team[79] == -1 and found.planned.sum() == 150
