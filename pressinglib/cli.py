"""The commands: what each does; what each asks for stands in `commands.toml`."""

from __future__ import annotations

import argparse
import os
import sys
import tomllib
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, nullcontext
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from pressinglib.data.common_tracking import read_common
from pressinglib.data.coordinates import Coordinates, many
from pressinglib.data.long_table import read_long
from pressinglib.data.match_folder import match_hash, open_match, save_match
from pressinglib.data.match_plan import MatchPlan
from pressinglib.data.match_planning import Question, check_same, find_moments, left_out, plan_match, read_plans
from pressinglib.data.match_statistics import compare_match
from pressinglib.data.season import helpers, matches_in, pair, plan_season, plan_together, plans_in, rulebook_of, trends
from pressinglib.data.table_files import kind_of, write_table
from pressinglib.data.without_ball import team_report
from pressinglib.errors import BadInput, PressingError, shown
from pressinglib.field.pitch import Pitch
from pressinglib.field.scene_file import load_scene, save_situation, scene
from pressinglib.files import made_folder, write_file
from pressinglib.roles.compare import compare_rulebooks
from pressinglib.roles.plan import plan_press
from pressinglib.show.drawing import draw_plan, draw_situation
from pressinglib.show.export import save_picture
from pressinglib.tables import needed
from pressinglib.teach.charts import danger_chart
from pressinglib.teach.report_page import save_comparison, save_report

Args = argparse.Namespace
CLEAN, SKIPPED, FAILED = 0, 1, 2  # how a command ends: all well, something left out, nothing done


COMMANDS = tomllib.loads(Path(__file__).with_name("commands.toml").read_text("utf-8"))
HELP = COMMANDS.pop("help") + "".join(f"  {name:8} {command['does']}\n" for name, command in COMMANDS.items())
KINDS: dict[str, dict[str, Any]] = {
    "path": {"type": Path}, "number": {"type": float}, "count": {"type": int}, "text": {},
    "texts": {"action": "append", "default": []}, "flag": {"action": "store_true"}}


def run_command(name: str, given: Sequence[str]) -> int:
    """Run one command; what goes wrong is said in a line on the error stream, and ends with 2."""
    parser = argparse.ArgumentParser(prog=f"python -m pressinglib {name}", description=COMMANDS[name]["more"])
    for option, kind, words, *more in COMMANDS[name]["options"]:
        how = {**KINDS[kind.rstrip("!")], **({"required": True} if kind.endswith("!") else {}), **dict(*more)}
        parser.add_argument(option, help=words, **how)
    args = parser.parse_args(given)
    try:
        code = RUN[name](args)
        sys.stdout.flush()
        return code
    except BrokenPipeError:  # who reads on has seen enough, as `head` has; nothing more is written there
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return CLEAN
    except PressingError as error:
        sys.stderr.write(f"{error}\n")
    except OSError as error:
        sys.stderr.write(f"{error.filename or name}: {error.strerror or error}\n")
    except KeyboardInterrupt:
        sys.stderr.write("stopped; what was finished is kept\n")
    return FAILED


def _say(words: object) -> None:
    sys.stdout.write(f"{words}\n")


@contextmanager
def _bar(words: str, quiet: bool, unit: str = "frames") -> Iterator[Callable[[int, int], None]]:
    """Gives a function that shows how many are done of how many, on the error stream; without tqdm nothing."""
    if find_spec("tqdm") is None:
        yield lambda done, total: None
        return
    with import_module("tqdm").tqdm(desc=words, unit=f" {unit}", disable=quiet, delay=0.001,
                                         mininterval=0, file=sys.stderr) as bar:
        def show(done: int, total: int) -> None:
            bar.total = total
            bar.update(done - bar.n)

        yield show


# -- import: a match read, reported on, and kept in a folder.


def _import(args: Args) -> int:
    """Read, report, keep."""
    said = [way.strip() for way in (args.home_attacks or "").split(",")]
    ways: Any = dict(enumerate(said, start=1)) if len(said) > 1 else said[0] or None
    if args.source.is_dir() or args.source.name.endswith((".jsonl", ".jsonl.gz")):
        match, report = read_common(args.source, args.meta, ways, _pitch(args.pitch))
    else:
        kind_of(args.source)
        if None in (args.unit, args.origin, ways):
            raise BadInput("table", expected="--unit, --origin and --home-attacks: they are never guessed",
                           got="not all of them", todo="say them")
        names = dict(pair(text, "--column") for text in args.column)
        match, report = read_long(args.source, Coordinates(args.unit, args.origin, ways, args.y), args.home, args.away,
                                  _pitch(args.pitch), names)
    plan = MatchPlan.of(match)
    if not len(plan.rows):
        raise BadInput(report.file, expected="moments in which somebody has the ball", got=f"none: {_counted(plan)}",
                       todo="check the places and the height of the ball, and the columns alive and possession")
    folder = save_match(match, args.to, args.table)
    write_file(folder / "report.txt", f"{report}\n".encode("utf-8", "replace"))
    _say(report)
    if args.check:
        needed("matplotlib", "pictures")
        frame = int(match.frame_id[plan.rows[0]])
        drawing = draw_situation(plan.situation(frame), plan.title(frame))
        _say(f"the first moment with the ball is drawn in {save_picture(drawing, folder / 'check.png')}")
    _say(f"kept in {args.to}: {_counted(plan)}")
    return CLEAN if report.clean and not report.skipped else SKIPPED


def _counted(plan: MatchPlan) -> str:
    return ", ".join(f"{n} {words}" for words, n in plan.counts().items())


def _pitch(text: str | None) -> Pitch | None:
    try:
        length, width = map(float, (text or "105x68").lower().split("x"))
    except ValueError as error:
        raise BadInput("--pitch", expected="length x width in metres", got=shown(text), todo="write 105x68") from error
    return Pitch(length, width) if text else None


# -- plan, season: a match, or many, planned into folders.


def _plan(args: Args) -> int:
    """Plan chunk by chunk."""
    rules = rulebook_of(args.settings, args.rules)
    with helpers(args.workers) if args.workers > 1 else nullcontext() as pool:
        plan = MatchPlan.of(open_match(args.match), rules, args.per_second, not args.no_faults)
        _say(_counted(plan))
        for phase in plan.phases:
            start = plan.match.frame_id[phase.start]
            _say(f"from frame {start}, period {phase.period}: home {phase.home}, away {phase.away}")
        with _bar("planning", args.quiet) as show:
            given = args.to, args.table, show, args.skip_failing
            if pool is None:
                plan_match(plan, *given)
            else:
                plan_together(pool, plan, (args.settings, args.rules), *given)
    return _missed(left_out(args.to), f"plans are in {args.to}")


def _missed(failing: Sequence[str], words: str) -> int:
    """Say how many frames a rule failed on, and the first of them."""
    if failing:
        _say(f"{len(failing)} frames left out, on which a rule failed; the first: {failing[0]}")
    _say(words)
    return SKIPPED if failing else CLEAN


def _season(args: Args) -> int:
    """Plan them and say how each went."""
    with _bar("planning", args.quiet, "matches") as show:
        found = plan_season(matches_in(args.matches), args.to, args.settings, args.rules, args.per_second,
                            not args.no_faults, args.workers, args.skip_failing, args.scheduler, show)
    passed = [path.name for path in sorted(args.matches.iterdir()) if path.is_dir() and path.name not in found]
    if passed:
        _say(f"passed over, no match was imported there: {', '.join(passed)}")
    for name, words in found.items():
        _say(f"{name}: {words}")
    _say(trends(args.to))
    return CLEAN if set(found.values()) == {"planned"} else SKIPPED


# -- find, picture: what a match shows, as a list, as scenes for the board, as a picture.


def _find(args: Args) -> int:
    """List the moments, and keep them if asked to."""
    question, several = Question(args.fault, args.where, args.lasts), len(plans_in(args.plans)) > 1
    for place in plans_in(args.plans):
        frames, faults, players = (read_plans(place, table) for table in ("frames", "faults", "players"))
        found = find_moments(frames, faults, question, players)
        _say(f"{f'{place.name}: ' if several else ''}{question.words}: {many(len(found), 'moment')}")
        for moment in found[: args.first]:
            _say(f"period {moment.period}, {moment.start_s:.2f} s, {moment.lasts_s:.2f} s long, {moment.pressing} "
                 f"presses, frame {moment.frame_id}" + (f", players {moment.players}" if moment.players else ""))
        if args.scenes is not None:
            if args.match is None or several:
                raise BadInput("--scenes", expected="the plans of one match, and --match", got="none or several",
                               todo="say which match was planned")
            plan = MatchPlan.of(open_match(args.match))
            check_same(place, match=match_hash(plan.match))
            made_folder(args.scenes)
            for moment in found[: args.first]:
                save_situation(plan.situation(moment.frame_id), args.scenes / f"frame_{moment.frame_id}.json",
                               title=plan.title(moment.frame_id), notes=question.words)
            _say(f"kept in {args.scenes}: {many(len(found[: args.first]), 'scene')}")
    return CLEAN


def _picture(args: Args) -> int:
    """Draw it and say it in words."""
    needed("matplotlib", "pictures")
    rules = rulebook_of(args.settings, args.rules)
    if args.what.suffix == ".json":
        kept = load_scene(args.what)
        situation, title = kept.situation, kept.title or args.what.stem
    elif args.frame is None:
        raise BadInput("--frame", expected="the number of a frame", got="none", todo="say which frame of the match")
    else:
        plan = MatchPlan.of(open_match(args.what))
        situation, title = plan.situation(args.frame), plan.title(args.frame)
    drawing = draw_situation(situation, title) if args.no_plan else draw_plan(
        situation, plan_press(situation, rules), title=title)
    save_picture(drawing, args.picture)
    _say(drawing.words)
    return CLEAN


def _page(args: Args) -> int:
    """Scenes and exercises as one file."""
    needed("mistune", "pages", "lessons")
    from pressinglib.teach.own_exercise import load_exercise
    from pressinglib.teach.page_exercises import save_page

    items = [load_exercise(path) if b'"task"' in path.read_bytes() else load_scene(path) for path in args.files]
    with _bar("planning", args.quiet, "plans") as show:
        save_page(items, args.page, args.title, carry_m=args.carry, progress=show)
    _say(f"{args.page} opens in any browser")
    return CLEAN


# -- compare: rules of one's own against the stock rules, on scenes or on a match.


def _compare(args: Args) -> int:
    """Say the differences; write the rows and draw them if asked to."""
    if args.plot is not None or args.page is not None:
        needed("matplotlib", "pictures")
    rules = rulebook_of(args.both), rulebook_of([*args.both, *args.settings], args.rules)
    own = [f"{value.rpartition(':')[2]} (own {name.removeprefix('choose_')})"
           for name, value in (pair(text, "rule") for text in args.rules)]
    names = ("stock rules", ", ".join([*args.settings, *own]).replace("=", " ").replace("_", " ") or "the same rules")
    failing: list[str] = []
    if args.match is None:
        plan, comparison = None, compare_rulebooks(*rules, None, names, not args.no_faults)
    else:
        plan = MatchPlan.of(open_match(args.match), rules[0], args.per_second, not args.no_faults)
        with _bar("comparing", args.quiet) as show:
            comparison = compare_match(plan, rules[1], names, show, failing if args.skip_failing else None)
    if args.page is not None:
        with _bar("playing on", args.quiet, "pictures") as show:
            save_comparison(comparison, rules, lambda name: (scene(name), name.capitalize()) if plan is None else
                            (plan.situation(name), plan.title(name)), args.page, show)
    if args.to is not None:
        write_table({key: [", ".join(row[key]) if isinstance(row[key], tuple) else row[key] for row in comparison.rows]
                     for key in comparison.rows[0]}, args.to)
    if args.plot is not None:
        write_file(args.plot, danger_chart(comparison)._repr_png_())
    return _missed(failing, repr(comparison))


def _report(args: Args) -> int:
    """Count, and write the page and the tables."""
    needed("matplotlib", "pictures")
    plan = MatchPlan.of(open_match(args.match), rulebook_of(args.settings, args.rules))
    report = team_report(plan, args.plans, args.team)
    _say(report)
    with _bar("playing on", False, "pictures") as show:
        page = save_report(report, plan, args.to, show)
    _say(f"read {page}")
    return CLEAN


RUN: dict[str, Callable[[Args], int]] = {
    "import": _import, "plan": _plan, "season": _season, "find": _find, "picture": _picture, "page": _page,
    "compare": _compare, "report": _report}
