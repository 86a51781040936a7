"""The commands: one table of what each asks for and does."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NamedTuple

from pressinglib.data.common_tracking import read_common
from pressinglib.data.coordinates import DIRECTIONS, ORIGINS, UNITS, Y_WAYS, Coordinates
from pressinglib.data.long_table import NEEDED, OPTIONAL, read_long
from pressinglib.data.match_folder import open_match, save_match
from pressinglib.data.match_plan import MatchPlan
from pressinglib.data.match_planning import Question, find_moments, plan_match, read_plans
from pressinglib.data.match_statistics import compare_match
from pressinglib.data.season import matches_in, plan_season, rulebook_of
from pressinglib.data.table_files import kind_of, write_table
from pressinglib.errors import BadInput, PressingError, shown
from pressinglib.field.pitch import Pitch
from pressinglib.field.scene_file import load_scene, save_situation
from pressinglib.field.situation import Situation
from pressinglib.files import replace_whole
from pressinglib.roles.compare import Comparison, compare_rulebooks
from pressinglib.roles.plan import plan_press
from pressinglib.show.drawing import draw_plan, draw_situation
from pressinglib.show.export import save_picture
from pressinglib.tables import needed
from pressinglib.teach.charts import danger_chart

Args = argparse.Namespace
CLEAN, SKIPPED, FAILED = 0, 1, 2  # how a command ends: all well, something left out, nothing done


def run_command(name: str, given: Sequence[str]) -> int:
    """Run one command; what goes wrong is said in a line on the error stream, and ends with 2."""
    command = COMMANDS[name]
    parser = argparse.ArgumentParser(prog=f"python -m pressinglib {name}", description=command.description)
    for names, how in command.options:
        parser.add_argument(*names, **how)
    args = parser.parse_args(given)
    try:
        return command.run(args)
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
    """Gives a function that shows how many are done of how many, on the error stream."""
    with needed("tqdm", "progress").tqdm(desc=words, unit=f" {unit}", disable=quiet, delay=0.001,
                                         mininterval=0, file=sys.stderr) as bar:
        def show(done: int, total: int) -> None:
            bar.total = total
            bar.update(done - bar.n)

        yield show


# -- import: a match read, reported on, and kept in a folder.


def _import(args: Args) -> int:
    """Read, report, keep."""
    pitch, ways = _pitch(args.pitch), _ways(args.home_attacks)
    if args.source.is_dir() or args.source.name.endswith((".jsonl", ".jsonl.gz")):
        match, report = read_common(args.source, args.meta, ways, pitch)
    else:
        kind_of(args.source)
        names = dict(_pair(text) for text in args.column)
        match, report = read_long(args.source, _coordinates(args, ways), args.home, args.away, pitch, names)
    folder = save_match(match, args.to, args.table)
    replace_whole(folder / "report.txt", f"{report}\n".encode("utf-8", "replace"))
    _say(report)
    _say(f"kept in {args.to}: " + ", ".join(f"{n} {words}" for words, n in MatchPlan.of(match).counts().items()))
    return CLEAN if report.clean and not report.skipped else SKIPPED


def _coordinates(args: Args, ways: Any) -> Coordinates:
    missing = [name for name in ("unit", "origin", "home_attacks") if getattr(args, name) is None]
    if missing:
        raise BadInput("table", expected="--unit, --origin and --home-attacks: they are never guessed",
                       got="no " + ", no ".join("--" + name.replace("_", "-") for name in missing), todo="say them")
    return Coordinates(args.unit, args.origin, ways, args.y)


def _ways(text: str | None) -> str | dict[int, str] | None:
    """ "right", or {1: "right", 2: "left"} from "right,left"."""
    if text is None:
        return None
    ways = [way.strip() for way in text.split(",")]
    if not set(ways) <= set(DIRECTIONS):
        raise BadInput("--home-attacks", expected="right or left, or one for each period", got=shown(text),
                       todo="write it like right or right,left")
    return ways[0] if len(ways) == 1 else dict(enumerate(ways, start=1))


def _pitch(text: str | None) -> Pitch | None:
    if text is None:
        return None
    try:
        length, width = (float(part) for part in text.lower().split("x"))
    except ValueError as error:
        raise BadInput("--pitch", expected="length x width in metres", got=shown(text), todo="write 105x68") from error
    return Pitch(length, width)


def _pair(text: str) -> tuple[str, str]:
    ours, sign, theirs = text.partition("=")
    if not (ours and sign and theirs):
        raise BadInput("--column", expected="ours=theirs", got=shown(text), todo="write it like x=pos_x")
    return ours, theirs


# -- plan, season: a match, or many, planned into folders.


def _plan(args: Args) -> int:
    """Plan chunk by chunk."""
    rules = rulebook_of(args.settings, args.rules)
    plan = MatchPlan.of(open_match(args.match), rules, args.per_second, not args.no_faults)
    _say(", ".join(f"{n} {words}" for words, n in plan.counts().items()))
    for phase in plan.phases:
        start = plan.match.frame_id[phase.start]
        _say(f"from frame {start}, period {phase.period}: home {phase.home}, away {phase.away}")
    with _bar("planning", args.quiet) as show:
        plan_match(plan, args.to, args.table, show)
    _say(f"plans are in {args.to}")
    return CLEAN


def _season(args: Args) -> int:
    """Plan them and say how each went."""
    with _bar("planning", args.quiet, "matches") as show:
        found = plan_season(matches_in(args.matches), args.to, args.settings, args.rules, args.per_second,
                            not args.no_faults, args.workers, args.scheduler, show)
    for name, words in found.items():
        _say(f"{name}: {words}")
    return CLEAN if set(found.values()) == {"planned"} else SKIPPED


# -- find, picture: what a match shows, as a list, as scenes for the board, as a picture.


def _find(args: Args) -> int:
    """List the moments, and keep them if asked to."""
    question = Question(args.fault, args.where, args.lasts)
    found = find_moments(read_plans(args.plans), read_plans(args.plans, "faults"), question)
    _say(f"{question.words}: {len(found)} moments")
    for moment in found[: args.first]:
        _say(f"period {moment.period}, {moment.start_s:.2f} s, {moment.lasts_s:.2f} s long, {moment.pressing} presses, "
             f"frame {moment.frame_id}" + (f", players {moment.players}" if moment.players else ""))
    if args.scenes is not None:
        if args.match is None:
            raise BadInput("--scenes", expected="--match as well", got="none", todo="say which match was planned")
        _keep(args, question, [moment.frame_id for moment in found[: args.first]])
    return CLEAN


def _keep(args: Args, question: Question, frame_ids: list[int]) -> None:
    plan = MatchPlan.of(open_match(args.match))
    args.scenes.mkdir(parents=True, exist_ok=True)
    for frame_id in frame_ids:
        save_situation(plan.situation(frame_id), args.scenes / f"frame_{frame_id}.json",
                       title=plan.title(frame_id), notes=question.words)
    _say(f"{len(frame_ids)} scenes are in {args.scenes}")


def _picture(args: Args) -> int:
    """Draw it and say it in words."""
    needed("matplotlib", "pictures")
    situation, title = _situation(args)
    rules = rulebook_of(args.settings, args.rules)
    drawing = draw_situation(situation, title) if args.no_plan else draw_plan(
        situation, plan_press(situation, rules), title=title)
    save_picture(drawing, args.picture)
    _say(drawing.words)
    return CLEAN


def _situation(args: Args) -> tuple[Situation, str]:
    """The picture that is asked for, and its title."""
    if args.what.suffix == ".json":
        scene = load_scene(args.what)
        return scene.situation, scene.title or args.what.stem
    if args.frame is None:
        raise BadInput("--frame", expected="the number of a frame", got="none", todo="say which frame of the match")
    plan = MatchPlan.of(open_match(args.what))
    return plan.situation(args.frame), plan.title(args.frame)


# -- compare: rules of one's own against the stock rules, on scenes or on a match.


def _compare(args: Args) -> int:
    """Say the differences; write the rows and draw them if asked to."""
    if args.plot is not None:
        needed("matplotlib", "pictures")
    comparison = _comparison(args)
    _say(comparison)
    if args.to is not None:
        write_table({key: [_plain(row[key]) for row in comparison.rows] for key in comparison.rows[0]}, args.to)
    if args.plot is not None:
        replace_whole(args.plot, danger_chart(comparison)._repr_png_())
    return CLEAN


def _comparison(args: Args) -> Comparison:
    stock, tried = rulebook_of(args.both), rulebook_of([*args.both, *args.settings], args.rules)
    names = ("stock rules", ", ".join([*args.settings, *args.rules]) or "the same rules")
    if args.match is None:
        return compare_rulebooks(stock, tried, None, names, not args.no_faults)
    plan = MatchPlan.of(open_match(args.match), stock, args.per_second, not args.no_faults)
    with _bar("comparing", args.quiet) as show:
        return compare_match(plan, tried, names, show)


def _plain(value: Any) -> Any:
    return ", ".join(value) if isinstance(value, tuple) else value


# -- The table.


Option = tuple[tuple[str, ...], dict[str, Any]]


class Command(NamedTuple):
    """What a command does, in a line and at length, and what it asks for."""

    run: Callable[[Args], int]
    summary: str
    description: str
    options: tuple[Option, ...]


def _option(*names: str, **how: Any) -> Option:
    return names, how


def _rules(words: str = "") -> tuple[Option, Option]:
    """Settings and own rules."""
    return (
        _option("--set", action="append", default=[], metavar="NAME=VALUE", dest="settings",
                help=f"a setting{words}, such as pressers=anyone (the one for match data)"),
        _option("--rule", action="append", default=[], metavar="NAME=FILE.py:FUNCTION", dest="rules",
                help=f"an own rule{words}, such as choose_presser=my_rules.py:nearest; the file is run"))


QUIET = _option("--quiet", action="store_true", help="no bar")
PER_SECOND = _option("--per-second", type=float, metavar="N", help="plan at most N moments a second (default: all)")
NO_FAULTS = _option("--no-faults", action="store_true", help="leave faults out: it then takes half the time")
KINDS_OF_TABLE = {"choices": ("parquet", "csv", "csv.gz"), "default": "parquet"}

COMMANDS = {
    "import": Command(
        _import, "read a match and keep it in a folder",
        "Read a match and keep it in a folder: the Common Data Format (.jsonl with a .json), or a plain long table "
        "(.csv, .csv.gz, .parquet). Unit, origin and direction of a table are said by you and never guessed. Bad "
        "frames are named and left out. Exit code 0: all was well, 1: something was left out, 2: it could not be read.",
        (_option("source", type=Path, help="file, or folder with a .jsonl and a .json"),
         _option("--to", type=Path, required=True, help="folder to keep the match in"),
         _option("--unit", choices=UNITS, help="table: unit of x and y (share: 0-1 of the pitch)"),
         _option("--origin", choices=ORIGINS, help="table: where 0, 0 is (corner: smallest x and y)"),
         _option("--home-attacks", metavar="WAY", help="right or left, or one for each period: right,left"),
         _option("--y", choices=Y_WAYS, default="up", help="table: which way y grows; default up"),
         _option("--home", default="home", help="table: what the home side is called"),
         _option("--away", default="away", help="table: what the away side is called"),
         _option("--column", action="append", default=[], metavar="OURS=THEIRS",
                 help=f"table: another name for one of {', '.join((*NEEDED, *OPTIONAL))}"),
         _option("--meta", type=Path, help="Common Data Format: the file of meta data"),
         _option("--pitch", metavar="LxW", help="size in metres, such as 105x68"),
         _option("--table", **KINDS_OF_TABLE, help="how to keep it"))),
    "plan": Command(
        _plan, "plan a whole match: tables of frames, players, lanes, gaps and faults",
        "Plan a match that was imported: tables of frames, players, lanes, gaps and faults in a folder. Broken off, "
        "the same command goes on where it was.",
        (_option("match", type=Path, help="folder made by import"),
         _option("--to", type=Path, required=True, help="folder for the plans"),
         PER_SECOND, NO_FAULTS, _option("--table", **KINDS_OF_TABLE, help="kind of table"), QUIET, *_rules())),
    "season": Command(
        _season, "plan many matches, on this machine or by a scheduler",
        "Plan all matches in a folder, each as the command plan does, on Dask: a match is a partition. Broken off, the "
        "same command goes on where it was. Exit code 1: a match could not be planned.",
        (_option("matches", type=Path, help="folder of folders made by import"),
         _option("--to", type=Path, required=True, help="folder for the plans, one folder a match"),
         PER_SECOND, NO_FAULTS,
         _option("--workers", type=int, default=2, metavar="N", help="processes on this machine (2)"),
         _option("--scheduler", metavar="ADDRESS", help="of a Dask scheduler, such as tcp://127.0.0.1:8786"),
         QUIET, *_rules())),
    "find": Command(
        _find, "teachable moments of a planned match",
        "Find teachable moments in a planned match, by a kind of fault or by a condition, and keep their pictures as "
        "scenes for the board, with numbers only.",
        (_option("plans", type=Path, help="folder made by plan"),
         _option("fault", nargs="?", help='kind of fault, such as "two press one ball"'),
         _option("--where", help='condition on the table of frames, such as "danger_after > 0.6"'),
         _option("--lasts", type=float, default=0.0, metavar="S", help="at least so many seconds"),
         _option("--first", type=int, default=20, metavar="N", help="show at most N moments (20)"),
         _option("--match", type=Path, help="folder made by import, for --scenes"),
         _option("--scenes", type=Path, metavar="FOLDER", help="keep each moment as a scene file"))),
    "picture": Command(
        _picture, "draw a frame of a match, or a scene, with its plan",
        "Draw a frame of a match that was imported, or a scene file, with its plan.",
        (_option("what", type=Path, help="folder made by import, or a scene file .json"),
         _option("picture", type=Path, help="the picture to write: .png, .svg or .pdf"),
         _option("--frame", type=int, metavar="N", help="number of the frame of a match"),
         _option("--no-plan", action="store_true", help="the picture as it is"), *_rules())),
    "compare": Command(
        _compare, "rules of your own against the stock rules",
        "Set rules against the stock rules, on the named scenes or on the moments of a match.",
        (*_rules(" to try"),
         _option("--both", action="append", default=[], metavar="NAME=VALUE", help="a setting for both sides"),
         _option("--match", type=Path, help="folder made by import; without it the named scenes"),
         _option("--per-second", type=float, default=0.2, metavar="N", help="moments a second (0.2)"),
         _option("--no-faults", action="store_true", help="leave faults out: much quicker"),
         _option("--to", type=Path, metavar="TABLE", help="write the rows: .csv, .csv.gz or .parquet"),
         _option("--plot", type=Path, metavar="PICTURE", help="draw the differences: .png"), QUIET)),
}

_SUMMARIES = "\n".join(f"  {name:8} {command.summary}" for name, command in COMMANDS.items())
HELP = f"""python -m pressinglib                 open the lessons in JupyterLab (so does pressinglib-lessons)
python -m pressinglib COMMAND --help  what a command does and asks for

commands on match data:
{_SUMMARIES}
"""
