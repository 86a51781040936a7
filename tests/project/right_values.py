"""What is right, for every public function: with it the wrong values of test_doors.py go in one at a time."""

from __future__ import annotations

from dataclasses import fields
from math import dist
from pathlib import Path
from typing import Any

import pressinglib as pl
from pressinglib.roles.faults import KINDS as FAULTS
from pressinglib.teach.lessons import lesson_00
from tests.data.conftest import invented_match
from tests.data.made_files import write_common, write_long


def nearest(situation: pl.Situation) -> str | None:
    """A rule of one's own."""
    outfield = [p for p in situation.pressing if not p.is_goalkeeper]
    return min(outfield, key=lambda p: dist(p.xy, situation.ball_xy)).number


WORKED = pl.scene("worked scene")
PLAN = pl.plan_press(WORKED)
PLAYED = pl.simulate(WORKED, [pl.Pass("6", at_s=0.2)], duration_s=0.5)
RULES = pl.Rulebook()
OPEN_MATCH = Path(__file__).parents[2] / "notebooks" / "data" / "dfl-open"
EXERCISE = lesson_00.place_the_cover
MATCH = invented_match(spell=6)
# What is right, by the name of the argument, else by its kind; what has a default is left as it is.
BY_NAME: dict[str, Any] = {
    "number": "9", "slot": "centre-forward", "team": "pressing", "name": "worked scene", "formation": "4-4-2",
    "slots": ("goalkeeper", "left back"), "points": [(0, 0), (5, 5)], "scenes": [pl.field.SceneFile(WORKED)],
    "path": "a.json", "what": WORKED, "own": [0.5, 0.2], "other": [0.1], "line": [0, 1, 1, 2],
    "passes": 30.0,
    "velocity": (1.0, 0.0), "presser_velocity": [(1.0, 0.0)], "defender_velocity": [(1.0, 0.0)],
    "own_velocity": [(1.0, 0.0)], "opponent_velocity": [(1.0, 0.0)], "attack_s": [1.0], "defence_s": [1.0],
    "carrier_xy": (0.0, 0.0), "goal_xy": (-52.5, 0.0), "ball_xy": (0.0, 0.0), "origin_xy": (0.0, 0.0),
    "receiver_xy": [(20.0, 0.0)], "defender_xy": [(10.0, 1.0)], "places_xy": [(4.0, 0.0)], "points_xy": [(10.0, 1.0)],
    "own_xy": [(20.0, 0.0)], "opponent_xy": [(0.0, 0.0)], "other_xy": [(0.0, 0.0)], "own_x": [-50.0, -20.0],
    "sequence": PLAYED, "frames": PLAYED.frames, "first": RULES, "second": RULES,
    "plans": {"one": PLAN}, "plays": {"one": PLAN}, "shares": {"one": pl.data.Share(1, 2)},
    "course": pl.teach.Course("t", (EXERCISE,)),
    "criteria": (pl.teach.Criterion("there", lambda stand: pl.teach.Finding(True, "there")),), "numbers": ("9",),
    "band": lambda plan: pl.teach.Band(1.0, 2.0, 3.0), "measure": lambda plan: {"9": 1.0}, "folder": "answers",
}
BY_KIND: dict[str, Any] = {
    "Situation": WORKED, "Pitch": pl.Pitch(), "Rulebook": RULES, "Frames": PLAYED.frames, "Settings": pl.Settings(),
    "float": 1.0, "ArrayLike": 1.0, "XY": (0.0, 0.0), "str": "x", "Plan": PLAN, "Exercise": EXERCISE, "Tracking": MATCH,
    "Plan | played.Sequence": PLAN, "Comparison": pl.compare_rulebooks(RULES, RULES, {"one": WORKED}),
    "ModuleType": lesson_00, "Sequence": PLAYED, "MatchPlan": pl.data.MatchPlan.of(MATCH, with_faults=True),
}
BY_BOTH: dict[str, dict[str, Any]] = {
    "Player": {"xy": (0.0, 0.0)}, "OwnMark": {"kind": "arrow"}, "Run": {"number": "9", "to_xy": (0.0, 0.0)},
    "Dribble": {"way": "inside"}, "Situation": {"pressing": WORKED.pressing, "possession": WORKED.possession,
                                              "ball_xy": WORKED.ball_xy},
    "influence": {"xy": [(0.0, 0.0)], "velocity": [(1.0, 0.0)]},
    "first_there": {"xy": [(0.0, 0.0)], "velocity": [(1, 0)]},
    "shadowed": {"presser_xy": (2.0, 0.0)}, "shape_measures": {"xy": [(0.0, 0.0), (5.0, 0.0), (0.0, 7.0)]},
    "least_arrival": {"presser_xy": [(2.0, 0.0)]}, "total_oval": {"presser_xy": [(2.0, 0.0)]},
    "joint_chance": {"chance": [0.5, 0.5]}, "check_rule": {"rule": nearest, "name": "choose_presser"},
    "frame_rule": {"rule": lambda picture, decisions: decisions.presser},
    "compare_rulebooks": {"pictures": {"one": WORKED}},
    "Frames": {one.name: getattr(PLAYED.frames, one.name) for one in fields(pl.Frames)[:8]},
    "save_page": {"what": lesson_00.which_side, "path": "a.html"},
    "simulate": {"duration_s": 0.2}, "choices": {"copies": 8}, "traps": {"copies": 8}, "improve": {"copies": 8},
    "read_season": {"folder": "season"},
    "trends": {"folder": "season"},
    "save_picture": {"path": "a.png"}, "draw_compared": {"other": PLAN},
    "film": {"what": PLAN, "path": "a.gif", "layers": (), "step_s": 2.0, "width_px": 200},
    "strip": {"what": PLAN, "pictures": 2, "layers": ()},
    "Coordinates": {"unit": "m", "origin": "centre", "home_attacks": "right"},
    "make_exercise": {"title": "t", "task": "t", "kind": "who goes"},
    "save_exercise": {"path": "made.json"}, "load_exercise": {"path": "exercises/e.json"},
    "read_exercises": {"path": "exercises"},
    "Course": {"title": "t", "exercises": (EXERCISE,)}, "NameFault": {"fault": FAULTS[0], "others": FAULTS[1:3]},
    "Practice": {"points": ("go",)}, "lesson_practice": {"number": "03"}, "PracticeCard": {"practice": "03"},
    "Question": {"fault": FAULTS[0]}, "compare_match": {"other": RULES},
    "saved": {"what": pl.show.Pages(), "name": "a.pdf"},
    "save_slides": {"path": "s.html", "slides": pl.teach.slides_of(EXERCISE)[:1]},
    "Tracking": {one.name: getattr(MATCH, one.name) for one in fields(MATCH)[:8]},
    "Denial": {"option": "6"}, "drawn": {"title": "loose ball"}, "placed": {"ours": {"9": (0.0, 0.0)}},
    "towards": {"start": (0.0, 0.0), "end": (5.0, 0.0)}, "asks_of": {"file": "lesson_00.md"},
    "Accepted": {"exercise": pl.teach.make_exercise(WORKED, "Who?", "Who goes?", "who goes")},
    "open_match": {"path": "match"},
    "team_report": {"plans": "plans", "side": "home"},
    "save_match": {"folder": "made", "table": "csv"}, "plan_match": {"folder": "planned", "kind": "csv"},
    "read_plans": {"folder": "plans"}, "read_long": {"path": "long.csv", "coordinates": pl.data.METRES},
    "read_common": {"tracking": "common/tracking.jsonl", "home_attacks": "right"},
    **dict.fromkeys(("accelerate_then_cruise", "arrival_time", "react_then_run"),
                    {"xy": (0.0, 0.0), "target_xy": (9.0, 0.0)}),
}


def lay_files(path: Path) -> Path:
    """One of every kind of file, in a folder."""
    pl.save_situation(WORKED, path / "a.json")
    for name in ("exercises", "answers", "match"):
        (path / name).mkdir()
    pl.teach.save_exercise(BY_BOTH["Accepted"]["exercise"], path / "exercises" / "e.json")
    pl.data.save_match(MATCH, path / "match", "csv")
    pl.data.plan_match(BY_KIND["MatchPlan"], path / "plans", "csv")
    pl.data.plan_match(BY_KIND["MatchPlan"], path / "season" / "one", "csv")
    tables = {one: pl.data.read_plans(path / "plans", one) for one in ("frames", "faults")}
    BY_BOTH["find_moments"] = {**tables, "question": pl.data.Question(FAULTS[0])}
    write_long(MATCH, path / "long.csv")
    write_common(MATCH, path / "common")
    return path
