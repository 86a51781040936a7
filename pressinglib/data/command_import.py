"""The command `import`: a match read, reported on, and kept in a folder."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from pressinglib.data.command import CLEAN, SKIPPED, say
from pressinglib.data.declared import DIRECTIONS, ORIGINS, UNITS, Y_WAYS, Declared
from pressinglib.data.match_folder import save_match
from pressinglib.data.match_plan import MatchPlan
from pressinglib.data.read_common import read_common
from pressinglib.data.read_long import NEEDED, OPTIONAL, read_long
from pressinglib.data.tables import kind_of
from pressinglib.data.write_common import write_common
from pressinglib.errors import BadInput
from pressinglib.field.pitch import Pitch


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


def _declared(told: argparse.Namespace, ways: Any) -> Declared:
    missing = [name for name in ("unit", "origin", "home_attacks") if getattr(told, name) is None]
    if missing:
        raise BadInput("table", expected="--unit, --origin and --home-attacks: they are never guessed",
                       got="no " + ", no ".join("--" + name.replace("_", "-") for name in missing), todo="say them")
    return Declared(told.unit, told.origin, ways, told.y)


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
