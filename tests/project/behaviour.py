"""What the library answers, kept in a file and compared later: that a rebuilding changes no behaviour.

    python -m tests.project.behaviour keep before.json.gz
    python -m tests.project.behaviour compare before.json.gz [scenes] [match] [random] [played]

Numbers may differ by 1e-9, words not at all; only public names are asked, so that modules may be renamed and merged.
That answers stay as they were does not say that they are good.
Match data: DFL; Bassek, Rein, Weber, Memmert 2025, 10.1038/s41597-025-04505-y, CC BY 4.0.
"""

from __future__ import annotations

import gzip
import json
import math
import sys
import traceback
from collections.abc import Callable, Iterator
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

import numpy as np

import pressinglib as pl
from pressinglib import scene
from pressinglib.data import open_match
from pressinglib.play import Dribble, Pass, Run, Touch

TOLERANCE, SHOWN = 1e-9, 5  # so many differences of a group are printed
MATCH_FRAMES, SECOND = 300, 12  # about a second in frames of the match
BATCHES, BATCH, STIRRED, PLAYED = 20, 100, 12, 20  # drawn pictures, scenes drawn anew, sequences
EVERY = 10  # words and faults are asked for one picture in ten
SCENES = ("build-up left", "build-up right", "build-up middle", "against a back three", "full-back on the ball",
          "goalkeeper on the ball", "press broken", "counter-attack 4 v 3", "ten men", "low block",
          "behind the midfield", "our corner", "their corner", "throw-in", "back five", "wingers high", "worked scene")
MANNERS: tuple[dict[str, Any], ...] = (
    {}, {"pressers": "anyone"}, {"steering": "outside"}, {"steering": "inside"}, {"open_ball": "playable"},
    {"count_goalkeeper": "yes"}, {"confrontation_x_m": 10.0}, {"short_pass_m": 18.0})
FORMATIONS = ("4-2-3-1", "4-4-2", "4-3-3", "4-1-4-1", "3-5-2", "5-3-2", "3-4-3")
CORNER = np.array((52.0, 33.0))
Team = tuple[pl.Player, ...]
PLAN = ("state", "presser", "timing", "steer", "lanes", "gaps", "take_over", "account", "far_side_limit_m", "danger")
ASSIGNMENT = ("role", "duty", "mark", "anchor_xy", "target_xy", "path", "arrival_s", "reason")
FAULT = ("kind", "players", "why", "change")


def plain(value: Any) -> Any:
    """As JSON holds it; what is neither plain nor an array or a table is refused."""
    return json.loads(json.dumps(value, default=lambda held: held.tolist() if hasattr(held, "tolist") else list(held)))


def plan_values(plan: pl.Plan) -> dict[str, Any]:
    players = [(number, {n: getattr(one, n) for n in ASSIGNMENT}) for number, one in plan.assignments.items()]
    return {**{n: getattr(plan, n) for n in PLAN}, "players": players, "words": plan.to_dict()["words"]}


def fault_values(faults: list[pl.Fault]) -> list[dict[str, Any]]:
    return [{**{n: getattr(f, n) for n in FAULT}, "changed": f.changed and f.changed.to_dict()} for f in faults]


def sequence_values(q: pl.play.Sequence) -> dict[str, Any]:
    """Actions, events, and every moment with its picture and its roles."""
    moments = [{**row, "situation": now.to_dict(), "roles": {n: a.role for n, a in plan.assignments.items()},
                "duties": {n: a.duty for n, a in plan.assignments.items()}}
               for row, now, plan in zip(q.table(), q.situations, q.plans, strict=True)]
    return {"actions": [{"action": type(a).__name__.lower(), **asdict(a)} for a in q.actions],
            "events": [{**asdict(e), "time_s": round(e.time_s, 3)} for e in q.events], "moments": moments}


def scenes() -> dict[str, Any]:
    """Every named scene and its mirror image under several rulebooks, and with our team stirred: plans and faults."""
    books = {str(manner): pl.Rulebook(settings=pl.Settings(**manner)) for manner in MANNERS}
    books["own rule"] = pl.Rulebook().with_rules(choose_presser=lambda s: min(
        s.pressing, key=lambda p: (math.dist(p.xy, s.ball_xy), p.number)).number)

    def answers(k: int, s: pl.Situation) -> dict[str, Any]:
        rng = np.random.default_rng([5, k])
        stirred = [replace(s, pressing=drawn_team(rng, s.pressing, 1.5)) for _ in range(STIRRED)]
        return {"picture": s.to_dict(), "stirred": [fault_values(pl.find_faults(q, before=s)) for q in stirred], **{
            name: {"plan": plan_values(pl.plan_press(s, book)), "faults": fault_values(pl.find_faults(s, book))}
            for name, book in books.items()}}

    pictures = [s for name in SCENES for s in (scene(name), scene(name).mirrored())]
    return {f"{SCENES[k // 2]}{k % 2 * ', mirrored'}": answers(k, s) for k, s in enumerate(pictures)}


def match() -> dict[str, Any]:
    """Frames of the open match, one half of them with either side defending."""
    tracking = open_match(Path(__file__).parents[2] / "notebooks" / "data" / "dfl-open")

    def answers(frames: pl.Frames) -> dict[str, Any]:
        rows = np.linspace(0, len(frames) - 1, MATCH_FRAMES // 2).round().astype(int)
        some = {k: (frames.situation(k), frames.situation(max(k - SECOND, 0))) for k in rows[::EVERY].tolist()}
        return {"pictures": {k: now.to_dict() for k, (now, _) in some.items()},
                "plans": pl.plan_frames(frames.take(rows)),
                "faults": {k: fault_values(pl.find_faults(now, before=then)) for k, (now, then) in some.items()}}

    return {side: answers(tracking.defending(side)) for side in ("home", "away")}


def drawn_team(rng: np.random.Generator, team: Team, spread_m: float, known: bool = True) -> Team:
    """A team shifted together and each player on his own; without known slots all but the goalkeeper are outfield."""
    xy = [p.xy for p in team] + spread_m * (rng.uniform(-2, 2, 2) + rng.normal(0, 1, (len(team), 2)))
    runs = rng.normal(0, 1.5, 2) + rng.normal(0, 1, xy.shape)
    facing = [angle if angle > 90 else None for angle in rng.uniform(-180, 180, len(team)).tolist()]
    slots = [p.slot if known or p.slot == "goalkeeper" else "outfield" for p in team]
    return tuple(pl.Player(p.number, *one) for p, *one in zip(
        team, slots, map(tuple, np.clip(xy, -CORNER, CORNER)), map(tuple, runs), facing, strict=True))


def drawn(rng: np.random.Generator, teams: pl.Situation, k: int) -> pl.Situation:
    """A picture of batch k: the ball mostly at one of theirs, also travelling, in the air, loose, or at a restart."""
    spread_m = 18.0 if k % 5 == 4 else 4.0
    ours = drawn_team(rng, teams.pressing[:10 if k % 6 == 2 else 11], spread_m, k % 4 != 1)
    theirs = drawn_team(rng, teams.possession, spread_m, k % 4 != 2)
    loose, travels, high, stopped = rng.random(4) < (0.1, 0.2, 0.1, 0.06)
    ball = rng.uniform(-CORNER, CORNER) if loose else rng.choice([p.xy for p in theirs]) + rng.normal(0, 0.4, 2)
    restart = str(rng.choice(["throw-in", "goal kick", "keeper holds"])) if stopped else None
    return pl.Situation(pl.Pitch(), ours, theirs, tuple(ball), None, str(rng.integers(2, 8)) if travels else None,
                        tuple(rng.normal(0, 8 if travels else 2, 2)), 4 * rng.random() * high, restart)


def random() -> dict[str, Any]:
    """Drawn pictures, planned in batches of the same two sheets; some of them one by one with words and faults."""
    def answers(k: int) -> dict[str, Any]:
        rng = np.random.default_rng([11, k])
        teams = pl.Situation.line_up(*map(str, rng.choice(FORMATIONS, 2)), ball_xy=(10, 0))
        pictures = [drawn(rng, teams, k) for _ in range(BATCH)]
        some = {i: pictures[i] for i in range(k % EVERY, BATCH, EVERY)}
        return {"pictures": {i: s.to_dict() for i, s in some.items()},
                "plans": pl.plan_frames(pl.Frames.of(pictures)),
                "one by one": {i: plan_values(pl.plan_press(s)) for i, s in some.items()},
                "faults": {i: fault_values(pl.find_faults(s)) for i, s in some.items()}}

    return {f"batch {k}": answers(k) for k in range(BATCHES)}


def played() -> dict[str, Any]:
    """Sequences from the scenes: events and pictures of every moment, and once a second plan and faults."""
    def drawn_action(rng: np.random.Generator, start: pl.Situation, at_s: float) -> Pass | Dribble | Touch | Run:
        them, us = (str(rng.choice([p.number for p in team])) for team in (start.possession, start.pressing))
        way, xy = str(rng.choice(["outside", "straight", "inside"])), tuple(rng.uniform(-CORNER, CORNER))
        actions = (Pass(at_s=at_s), Pass(them, at_s=at_s), Pass(them, "lofted", at_s=at_s), Touch(4.0, at_s=at_s),
                   Dribble(way=way, at_s=at_s), Dribble(xy, at_s=at_s), Run("possession", them, xy, at_s=at_s),
                   Run("pressing", us, xy, at_s=at_s, until_s=at_s + 1))
        return actions[rng.integers(len(actions))]

    def answers(k: int) -> dict[str, Any]:
        rng, start = np.random.default_rng([7, k]), scene(SCENES[k % len(SCENES)])
        book = pl.Rulebook(settings=pl.Settings(confrontation_x_m=10.0 if k % 4 == 3 else None))
        q = pl.simulate(start, [drawn_action(rng, start, t) for t in (0.3, 0.8, 2.0, 3.5)], book, duration_s=6,
                        seed=None if k % 3 == 2 else k, attackers=("stay", "seek")[k % 2], late_s=0.4 * (k % 5 == 1),
                        trap=start.possession[4].number if k % 7 == 3 else None, just_lost=k % 6 == 4)
        return {"moments": sequence_values(q), "plans": [plan_values(plan) for plan in q.plans[::EVERY]],
                "faults": [fault_values(q.faults(float(t))) for t in q.times[::EVERY]]}

    return {f"sequence {k}": answers(k) for k in range(PLAYED)}


GROUPS: dict[str, Callable[[], dict[str, Any]]] = {group.__name__: group for group in (scenes, match, random, played)}


def by_place(value: Any, place: str) -> Iterator[tuple[str, Any]]:
    """Every single number and text with its place."""
    if isinstance(value, (dict, list)):
        for key, one in value.items() if isinstance(value, dict) else enumerate(value):
            yield from by_place(one, f"{place}/{key}")
    else:
        yield place, value


def same(was: Any, now: Any) -> bool:
    if isinstance(was, (int, float)) and isinstance(now, (int, float)):
        return math.isclose(was, now, rel_tol=0, abs_tol=TOLERANCE) or (math.isnan(was) and math.isnan(now))
    return type(was) is type(now) and was == now


def differences(name: str, kept: Any) -> int:
    """How many values of a group differ; a group that fails counts as one, and does not stop the others."""
    try:
        was, now = dict(by_place(kept, name)), dict(by_place(plain(GROUPS[name]()), name))
    except Exception:
        traceback.print_exc()
        return 1
    differ = [p for p in {**was, **now} if p not in was or p not in now or not same(was[p], now[p])]
    print(f"{name}: {len({**was, **now}):,} values compared, {len(differ):,} differ")
    for p in differ[:SHOWN]:
        print(f"    {p}: was {was.get(p, 'absent')!r}, is {now.get(p, 'absent')!r}")
    return len(differ)


def main(what: str, file: str, *asked: str) -> int:
    groups = asked or tuple(GROUPS)
    if what == "keep":
        text = json.dumps({name: plain(GROUPS[name]()) for name in groups})
        Path(file).write_bytes(gzip.compress(text.encode(), mtime=0))
        return 0
    kept = json.loads(gzip.decompress(Path(file).read_bytes()))
    return 1 if sum(differences(name, kept[name]) for name in groups) else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]) if sys.argv[1:2] in (["keep"], ["compare"]) else __doc__)
