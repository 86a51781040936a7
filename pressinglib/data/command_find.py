"""The command `find`: teachable moments of a planned match, as a list and as scenes for the board."""

from __future__ import annotations

import argparse
from pathlib import Path

from pressinglib.data.command import CLEAN, say
from pressinglib.data.find_moments import Question, find_moments
from pressinglib.data.match_folder import open_match
from pressinglib.data.match_plan import MatchPlan
from pressinglib.data.plan_match import read_plans
from pressinglib.errors import BadInput
from pressinglib.field.scene_file import save_situation


def add_find(parser: argparse.ArgumentParser) -> None:
    """What `find` asks for."""
    parser.description = """Find teachable moments in a planned match, by a kind of fault or by a condition, and keep
        their pictures as scenes for the board, with numbers only."""
    parser.add_argument("plans", type=Path, help="folder made by plan")
    parser.add_argument("fault", nargs="?", help='kind of fault, such as "two press one ball"')
    parser.add_argument("--where", help='condition on the table of frames, such as "danger_after > 0.6"')
    parser.add_argument("--lasts", type=float, default=0.0, metavar="S", help="at least so many seconds")
    parser.add_argument("--before-switch", action="store_true", help="only if the ball goes across within 5 s")
    parser.add_argument("--first", type=int, default=20, metavar="N", help="show at most N moments (20)")
    parser.add_argument("--match", type=Path, help="folder made by import, for --scenes")
    parser.add_argument("--scenes", type=Path, metavar="FOLDER", help="keep each moment as a scene file")


def run_find(told: argparse.Namespace) -> int:
    """List the moments, and keep them if asked to."""
    question = Question(told.fault, told.where, told.lasts, told.before_switch)
    found = find_moments(read_plans(told.plans), read_plans(told.plans, "faults"), question)
    say(f"{question.words}: {len(found)} moments")
    for moment in found[: told.first]:
        say(f"period {moment.period}, {moment.start_s:.2f} s, {moment.lasts_s:.2f} s long, {moment.pressing} presses, "
            f"frame {moment.frame_id}" + (f", players {moment.players}" if moment.players else ""))
    if told.scenes is not None:
        if told.match is None:
            raise BadInput("--scenes", expected="--match as well", got="none", todo="say which match was planned")
        _keep(told, question, [moment.frame_id for moment in found[: told.first]])
    return CLEAN


def _keep(told: argparse.Namespace, question: Question, frame_ids: list[int]) -> None:
    plan = MatchPlan.of(open_match(told.match))
    told.scenes.mkdir(parents=True, exist_ok=True)
    for frame_id in frame_ids:
        save_situation(plan.situation(frame_id), told.scenes / f"frame_{frame_id}.json",
                       title=f"Frame {frame_id}", notes=question.words)
    say(f"{len(frame_ids)} scenes are in {told.scenes}")
