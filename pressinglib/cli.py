"""The command `season`: many matches planned, on this machine or by a scheduler."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from types import TracebackType
from typing import Any

from pressinglib.data.common_format import write_common
from pressinglib.data.common_tracking import read_common
from pressinglib.data.coordinates import DIRECTIONS, ORIGINS, UNITS, Y_WAYS, Coordinates
from pressinglib.data.long_table import NEEDED, OPTIONAL, kind_of, read_long, write_table
from pressinglib.data.match_folder import open_match, save_match
from pressinglib.data.match_plan import MatchPlan
from pressinglib.data.match_planning import plan_match, read_plans
from pressinglib.data.match_statistics import compare_match
from pressinglib.data.moments import Question, find_moments
from pressinglib.data.season import matches_in, plan_season, rulebook_of
from pressinglib.errors import BadInput
from pressinglib.field.pitch import Pitch
from pressinglib.field.scene_file import save_situation
from pressinglib.roles.compare import Comparison, compare_rulebooks

# -- What the commands share: how they speak, what they end with, and how rules are asked for.


Command = Callable[[argparse.Namespace], int]
CLEAN, SKIPPED, FAILED = 0, 1, 2  # how a command ends: all well, something left out, nothing done


def say(words: object) -> None:
    """A line to the reader."""
    sys.stdout.write(f"{words}\n")


def add_rules(parser: argparse.ArgumentParser, words: str = "") -> None:
    """Settings and own rules."""
    parser.add_argument("--set", action="append", default=[], metavar="NAME=VALUE", dest="settings",
                        help=f"a setting{words}, such as pressers=anyone (the one for match data)")
    parser.add_argument("--rule", action="append", default=[], metavar="NAME=FILE.py:FUNCTION", dest="rules",
                        help=f"an own rule{words}, such as choose_presser=my_rules.py:nearest; the file is run")


# -- A bar on the error stream that says how far a long job is; silent where nobody watches.


class Bar:
    """Shows done of total with tqdm where it is installed, else nothing; to be used with `with`.

    Examples
    --------
    >>> with Bar("planning", quiet=True) as bar:
    ...     bar.show(5, 10)
    """

    def __init__(self, words: str, quiet: bool = False, unit: str = "frames") -> None:
        self.words, self.quiet, self.unit = words, quiet, unit
        self.bar: Any = None

    def __enter__(self) -> Bar:
        return self

    def show(self, done: int, total: int) -> None:
        """So many of so many are done."""
        if self.bar is None and not self.quiet:
            self.bar = _tqdm(self.words, total, self.unit)
        if self.bar is not None:
            self.bar.update(done - self.bar.n)

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None,
                 trace: TracebackType | None) -> None:
        if self.bar is not None:
            self.bar.close()


def _tqdm(words: str, total: int, unit: str) -> Any:
    try:
        from tqdm import tqdm
    except ImportError:
        return None
    return tqdm(total=total, desc=words, unit=f" {unit}", file=sys.stderr, leave=True)


# -- The command `compare`: rules of one's own against the stock rules, on scenes or on a match.


def add_compare(parser: argparse.ArgumentParser) -> None:
    """What `compare` asks for."""
    parser.description = "Set rules against the stock rules, on the named scenes or on the moments of a match."
    add_rules(parser, " to try")
    parser.add_argument("--both", action="append", default=[], metavar="NAME=VALUE", help="a setting for both sides")
    parser.add_argument("--match", type=Path, help="folder made by import; without it the named scenes")
    parser.add_argument("--per-second", type=float, default=0.2, metavar="N", help="moments a second (0.2)")
    parser.add_argument("--no-faults", action="store_true", help="leave faults out: much quicker")
    parser.add_argument("--to", type=Path, metavar="TABLE", help="write the rows: .csv, .csv.gz or .parquet")
    parser.add_argument("--plot", type=Path, metavar="PICTURE", help="draw the differences: .png")
    parser.add_argument("--quiet", action="store_true", help="no bar")


def compared(told: argparse.Namespace) -> Comparison:
    """The comparison that was asked for."""
    stock = rulebook_of(told.both)
    tried = rulebook_of([*told.both, *told.settings], told.rules)
    names = ("stock rules", ", ".join([*told.settings, *told.rules]) or "the same rules")
    if told.match is None:
        return compare_rulebooks(stock, tried, None, names, not told.no_faults)
    plan = MatchPlan.of(open_match(told.match), stock, told.per_second, not told.no_faults)
    with Bar("comparing", told.quiet) as bar:
        return compare_match(plan, tried, names, bar.show)


def write_rows(comparison: Comparison, path: Path) -> None:
    """The rows of a comparison as a table."""
    columns: Mapping[str, Any] = {key: [_plain(row[key]) for row in comparison.rows] for key in comparison.rows[0]}
    write_table(columns, path)


def _plain(value: Any) -> Any:
    return ", ".join(value) if isinstance(value, tuple) else value


# -- The command `find`: teachable moments of a planned match, as a list and as scenes for the board.


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


# -- The command `import`: a match read, reported on, and kept in a folder.


def add_import(parser: argparse.ArgumentParser) -> None:
    """What `import` asks for."""
    parser.description = """Read a match and keep it in a folder: the Common Data Format (.jsonl with a .json), or a
        plain long table (.csv, .csv.gz, .parquet). Unit, origin and direction of a table are said by you and never
        guessed. Bad frames are named and left out.
        Exit code 0: all was well, 1: something was left out, 2: it could not be read."""
    parser.add_argument("source", type=Path, help="file, or folder with a .jsonl and a .json")
    parser.add_argument("--to", type=Path, required=True, help="folder to keep the match in")
    parser.add_argument("--unit", choices=UNITS, help="table: unit of x and y (share: 0-1 of the pitch)")
    parser.add_argument("--origin", choices=ORIGINS, help="table: where 0, 0 is (corner: smallest x and y)")
    parser.add_argument("--home-attacks", metavar="WAY", help="right or left, or one for each period: right,left")
    parser.add_argument("--y", choices=Y_WAYS, default="up", help="table: which way y grows; default up")
    parser.add_argument("--home", default="home", help="table: what the home side is called")
    parser.add_argument("--away", default="away", help="table: what the away side is called")
    parser.add_argument("--column", action="append", default=[], metavar="OURS=THEIRS",
                        help=f"table: another name for one of {', '.join((*NEEDED, *OPTIONAL))}")
    parser.add_argument("--meta", type=Path, help="Common Data Format: the file of meta data")
    parser.add_argument("--pitch", metavar="LxW", help="size in metres, such as 105x68")
    parser.add_argument("--table", choices=("parquet", "csv", "csv.gz"), default="parquet", help="how to keep it")
    parser.add_argument("--also-common", action="store_true", help="write it in the Common Data Format as well")


def run_import(told: argparse.Namespace) -> int:
    """Read, report, keep."""
    pitch = _pitch(told.pitch)
    ways = _ways(told.home_attacks)
    if told.source.is_dir() or told.source.name.endswith((".jsonl", ".jsonl.gz")):
        match, report = read_common(told.source, told.meta, ways, pitch)
    else:
        kind_of(told.source)
        names = dict(_pair(text) for text in told.column)
        match, report = read_long(told.source, _declared(told, ways), told.home, told.away, pitch, names)
    folder = save_match(match, told.to, told.table)
    if told.also_common:
        write_common(match, folder)
    (folder / "report.txt").write_text(f"{report}\n", "utf-8")
    say(report)
    say(f"kept in {told.to}: " + ", ".join(f"{n} {words}" for words, n in MatchPlan.of(match).counts().items()))
    return CLEAN if report.clean and not report.skipped else SKIPPED


def _declared(told: argparse.Namespace, ways: Any) -> Coordinates:
    missing = [name for name in ("unit", "origin", "home_attacks") if getattr(told, name) is None]
    if missing:
        raise BadInput("table", expected="--unit, --origin and --home-attacks: they are never guessed",
                       got="no " + ", no ".join("--" + name.replace("_", "-") for name in missing), todo="say them")
    return Coordinates(told.unit, told.origin, ways, told.y)


def _ways(text: str | None) -> str | dict[int, str] | None:
    """ "right", or {1: "right", 2: "left"} from "right,left"."""
    if text is None:
        return None
    ways = [way.strip() for way in text.split(",")]
    if not set(ways) <= set(DIRECTIONS):
        raise BadInput("--home-attacks", expected="right or left, or one for each period", got=repr(text),
                       todo="write it like right or right,left")
    return ways[0] if len(ways) == 1 else dict(enumerate(ways, start=1))


def _pitch(text: str | None) -> Pitch | None:
    if text is None:
        return None
    try:
        length, width = (float(part) for part in text.lower().split("x"))
    except ValueError as error:
        raise BadInput("--pitch", expected="length x width in metres", got=repr(text), todo="write 105x68") from error
    return Pitch(length, width)


def _pair(text: str) -> tuple[str, str]:
    ours, sign, theirs = text.partition("=")
    if not (ours and sign and theirs):
        raise BadInput("--column", expected="ours=theirs", got=repr(text), todo="write it like x=pos_x")
    return ours, theirs


# -- The command `plan`: a whole match planned into a folder.


def add_plan(parser: argparse.ArgumentParser) -> None:
    """What `plan` asks for."""
    parser.description = """Plan a match that was imported: tables of frames, players, lanes, gaps and faults in a
        folder. Broken off, the same command goes on where it was."""
    parser.add_argument("match", type=Path, help="folder made by import")
    parser.add_argument("--to", type=Path, required=True, help="folder for the plans")
    parser.add_argument("--per-second", type=float, metavar="N", help="plan at most N moments a second (default: all)")
    parser.add_argument("--no-faults", action="store_true", help="leave faults out: it then takes half the time")
    parser.add_argument("--table", choices=("parquet", "csv", "csv.gz"), default="parquet", help="kind of table")
    parser.add_argument("--quiet", action="store_true", help="no bar")
    add_rules(parser)


def run_plan(told: argparse.Namespace) -> int:
    """Plan chunk by chunk."""
    plan = MatchPlan.of(open_match(told.match), rulebook_of(told.settings, told.rules), told.per_second,
                        not told.no_faults)
    say(", ".join(f"{n} {words}" for words, n in plan.counts().items()))
    for phase in dict.fromkeys(chunk.phase for chunk in plan.chunks):
        start = plan.match.frame_id[phase.start]
        say(f"from frame {start}, period {phase.period}: home {phase.home}, away {phase.away}")
    with Bar("planning", told.quiet) as bar:
        plan_match(plan, told.to, told.table, bar.show)
    say(f"plans are in {told.to}")
    return CLEAN


# -- The command `season`: many matches planned, on this machine or by a scheduler.


def add_season(parser: argparse.ArgumentParser) -> None:
    """What `season` asks for."""
    parser.description = """Plan all matches in a folder, each as the command plan does, on Dask: a match is a
        partition. Broken off, the same command goes on where it was. Exit code 1: a match could not be planned."""
    parser.add_argument("matches", type=Path, help="folder of folders made by import")
    parser.add_argument("--to", type=Path, required=True, help="folder for the plans, one folder a match")
    parser.add_argument("--per-second", type=float, metavar="N", help="plan at most N moments a second (default: all)")
    parser.add_argument("--no-faults", action="store_true", help="leave faults out: it then takes half the time")
    parser.add_argument("--workers", type=int, default=2, metavar="N", help="processes on this machine (2)")
    parser.add_argument("--scheduler", metavar="ADDRESS", help="of a Dask scheduler, such as tcp://127.0.0.1:8786")
    parser.add_argument("--quiet", action="store_true", help="no bar")
    add_rules(parser)


def run_season(told: argparse.Namespace) -> int:
    """Plan them and say how each went."""
    with Bar("planning", told.quiet, "matches") as bar:
        found = plan_season(matches_in(told.matches), told.to, told.settings, told.rules, told.per_second,
                            not told.no_faults, told.workers, told.scheduler, bar.show)
    for name, words in found.items():
        say(f"{name}: {words}")
    return CLEAN if set(found.values()) == {"planned"} else SKIPPED
