"""Many matches: the same plans, a match a job, by processes of this machine or by the address of a Dask scheduler.

What travels are words: settings by name and own rules by the file they stand in.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import BrokenExecutor, Executor, Future, ProcessPoolExecutor, as_completed
from contextlib import contextmanager
from dataclasses import replace
from functools import cache
from multiprocessing import get_context, parent_process
from pathlib import Path
from runpy import run_path
from threading import Thread
from typing import Any

import numpy as np

from pressinglib.data.match_folder import SHEET, open_match
from pressinglib.data.match_plan import MatchPlan
from pressinglib.data.match_planning import SHEET as PLANS
from pressinglib.data.match_planning import Progress, left_out, plan_match, read_plans, waiting, write_chunk
from pressinglib.errors import BadInput, PressingError
from pressinglib.field.scene_file import scene
from pressinglib.roles.plan import plan_press
from pressinglib.roles.rulebook import Rulebook
from pressinglib.tables import Table, needed, pandas_or_say

TRENDS = {"danger_before": "danger as they stood", "danger_after": "danger by the plan", "open_lanes": "open lanes",
          "open_gaps": "open gaps", "fault": "% with a fault, if looked for"}
PLANNED = "planned"
LARGE_BLOCK = 30_000_000  # bytes; up to 32 MB count for what glibc keeps
LOST = ("a process that planned was ended from outside, by somebody or for want of memory. Give the same command "
        "again: it goes on where it was; with fewer workers it needs less memory.")
TRIES = 3  # a match whose worker is lost is begun again elsewhere, and goes on where it was


def rulebook_of(settings: Iterable[str] = (), rules: Iterable[str] = ()) -> Rulebook:
    """The stock rulebook with some settings and rules replaced, else a PressingError.

    A rule is written as "choose_presser=my_rules.py:nearest": a function of the user's own file, which is run.

    >>> rulebook_of(["steering=inside", "short_pass_m=20"]).settings.short_pass_m
    20.0
    """
    chosen = {name: _value(text) for name, text in (pair(text, "setting") for text in settings)}
    own = {name: _function(text) for name, text in (pair(text, "rule") for text in rules)}
    return Rulebook().with_settings(**chosen).with_rules(**own)


def pair(text: str, what: str) -> tuple[str, str]:
    name, sign, value = text.partition("=")
    if not (name and sign and value):
        raise BadInput(what, expected="name=value", got=repr(text), todo="write it like steering=inside")
    return name.strip(), value.strip()


def _value(text: str) -> Any:
    """None, numbers, several numbers; words else."""
    try:
        numbers = [float(part) for part in text.split(",")]
    except ValueError:
        return None if text.lower() == "none" else text
    return numbers[0] if len(numbers) == 1 else tuple(numbers)


def _function(text: str) -> Callable[..., Any]:
    """The function in a file of the user's own."""
    place, _, name = text.rpartition(":")
    file = Path(place)
    if not (place and file.is_file() and file.suffix == ".py"):
        raise BadInput("own rule", expected="file.py:function", got=repr(text), todo="check the file and the colon")
    sys.path.insert(0, str(file.resolve().parent))  # what stands beside it can be imported
    try:
        found = run_path(str(file), run_name=f"own_rules_{file.stem}").get(name)
    except PressingError:
        raise
    except (Exception, SystemExit) as error:
        raise BadInput(f"own rule, {file.name}", expected="a file that runs", got=f"{type(error).__name__}: {error}",
                       todo="run the file by itself first") from error
    finally:
        sys.path.remove(str(file.resolve().parent))
    if not callable(found):
        raise BadInput(f"own rule, {file.name}", expected="a function of this name", got=repr(name),
                       todo="check the spelling")
    return found


# -- many matches ------------------------------------------------------------------------------------------------------


def matches_in(folder: str | Path) -> list[Path]:
    """The folders made by `import` that lie in a folder, in the order of their names; BadInput if there is none."""
    return _made_by("import", Path(folder), [f"*/{SHEET}"])


def plans_in(folder: str | Path) -> list[Path]:
    """The folders made by `plan` in a folder, or itself if it is one; BadInput if there is none."""
    return _made_by("plan", Path(folder), [PLANS, f"*/{PLANS}"])


def _made_by(command: str, folder: Path, sheets: Iterable[str]) -> list[Path]:
    found = sorted(sheet.parent for name in sheets for sheet in folder.glob(name))
    if not found:
        raise BadInput(f"folder {folder.name}", expected=f"folders made by the command {command}", got="none",
                       todo=f"{command} the matches first")
    return found


def read_season(folder: str | Path, table: str = "frames") -> Any:
    """One table of all the matches planned in a folder, as a lazy Dask data frame with a column `match`."""
    def of_match(place: Path) -> Any:
        return read_plans(place, table).assign(match=place.name)

    lazy, places = needed("dask.dataframe", "season", "season"), plans_in(folder)
    return lazy.from_map(of_match, places, meta=of_match(places[0]).iloc[:0])


def trends(folder: str | Path) -> Table:
    """Match by match and team by team: what the planned moments show on average."""
    frames = read_season(folder)
    means = frames.assign(fault=100.0 * (frames["faults"] > 0)).groupby(["match", "pressing"])[list(TRENDS)].mean()
    rows = means.compute().sort_index()[list(TRENDS)].reset_index().to_numpy().tolist()
    return Table(("match", "without the ball", *TRENDS.values()), rows,
                 dict.fromkeys(TRENDS.values(), ".2f"), title="Match by match, means of the planned moments")


def plan_season(matches: Sequence[str | Path], to: str | Path, settings: Sequence[str] = (), rules: Sequence[str] = (),
                per_second: float | None = None, with_faults: bool = True, workers: int = 2, skip_failing: bool = False,
                address: str | None = None, progress: Progress | None = None) -> dict[str, str]:
    """Plan many matches, each into a folder of its own name; what is finished is kept, also of a worker that is lost.

    `matches` are folders made by `import`, each with a name of its own, else BadInput. `settings` and `rules` are as
    for `rulebook_of`, the others as for `MatchPlan.of` and `plan_match`. There are so many `workers` here, or
    those of a Dask scheduler at an `address` ("tcp://127.0.0.1:8786"), which must reach the same paths; `progress` is
    told matches done and how many there are. Comes back by match: "planned", or what was wrong with it, since one that
    cannot be read does not stop the others.
    """
    paths = [Path(match).resolve() for match in matches]
    if len({path.name for path in paths}) < len(paths):
        raise BadInput("season", expected="a name of its own for every match", got="one name twice", todo="rename one")
    rulebook_of(settings, rules)  # what is misspelt is said here, and not by every worker
    told = (list(settings), list(rules), per_second, with_faults, skip_failing)
    found: dict[str, str] = {}
    for tries in range(TRIES):
        if len(found) == len(paths):
            break
        with helpers(workers, address) as pool:
            jobs = {pool.submit(plan_one, str(path), str(Path(to).resolve() / path.name), *told): path.name
                    for path in paths if path.name not in found}
            for job in as_completed(jobs):
                said = _said(job)
                if said == LOST and tries < TRIES - 1:
                    continue  # a worker that is lost takes its pool with it
                found[jobs[job]] = said
                if progress is not None:
                    progress(len(found), len(paths))
    return dict(sorted(found.items()))


def plan_one(match: str, to: str, settings: Sequence[str], rules: Sequence[str], per_second: float | None,
             with_faults: bool, skip_failing: bool = False) -> str:
    """A match read, planned and written by a worker; says how it went."""
    plan = MatchPlan.of(open_match(match), rulebook_of(settings, rules), per_second, with_faults)
    missed = left_out(plan_match(plan, to, skip_failing=skip_failing))
    return f"{PLANNED}, {len(missed)} frames left out: {missed[0]}" if missed else PLANNED


# -- one match, by several -----------------------------------------------------------------------------------------


def plan_together(pool: Executor, plan: MatchPlan, words: tuple[Sequence[str], Sequence[str]], folder: Path, kind: str,
                  progress: Progress, skip_failing: bool) -> None:
    """As `plan_match`, a chunk a job, the longest first; `words` are the settings and rules, for `rulebook_of`."""
    sizes = {chunk: len(plan.rows_of(chunk)) for chunk in waiting(plan, folder, kind)}
    plain, done = replace(plan, rulebook=Rulebook()), len(plan.rows) - sum(sizes.values())
    jobs = {pool.submit(_plan_part, plain.only(chunk), *map(tuple, words), folder, kind, skip_failing): sizes[chunk]
            for chunk in sorted(sizes, key=lambda chunk: -sizes[chunk])}
    for job in as_completed(jobs):
        if job.exception() is not None:
            raise PressingError(_said(job))
        done += jobs[job]
        progress(done, len(plan.rows))


def _plan_part(part: MatchPlan, settings: tuple[str, ...], rules: tuple[str, ...], *where: Any) -> None:
    """One chunk planned and written by a worker."""
    write_chunk(replace(part, rulebook=_rulebook(settings, rules)), *where)


_rulebook = cache(rulebook_of)  # an own file is run once by a worker


def _said(job: Future[Any]) -> str:
    """What a worker said, or what became of it."""
    if (error := job.exception()) is None:
        return str(job.result())
    words = str(error) if isinstance(error, PressingError) else f"{type(error).__name__}: {error}"
    return LOST if isinstance(error, BrokenExecutor) else words


def _ready() -> None:
    """A worker ends with who asked, keeps what memory it frees, and loads what plans and tables need.

    A large block, freed unused, tells the allocator so: else each chunk's arrays go back and are fetched anew.
    """
    Thread(target=_end_with, args=(parent_process(),), daemon=True).start()
    np.empty(LARGE_BLOCK, np.uint8)
    plan_press(scene("worked scene"))
    pandas_or_say()


def _end_with(parent: Any) -> None:
    """Who is killed cannot say that nothing more will come."""
    parent.join()
    os._exit(1)


@contextmanager
def helpers(workers: int, address: str | None = None) -> Iterator[Executor]:
    """Processes on this machine, which load at once, or those of the Dask scheduler at an address."""
    if address is None:
        pool = ProcessPoolExecutor(workers, get_context("spawn"), _ready)
        try:
            for _ in range(workers):
                pool.submit(int)  # begins a process
            yield pool
        finally:
            pool.shutdown(cancel_futures=True)
        return
    try:
        client = needed("distributed", "season", "season").Client(address, timeout="10s")
    except (OSError, TimeoutError, ValueError) as error:
        raise BadInput(f"scheduler {address}", expected="one that answers", got="no answer",
                       todo="start it, or check the address") from error
    with client, client.get_executor(pure=False, retries=TRIES) as there:
        yield there
