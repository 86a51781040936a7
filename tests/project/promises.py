"""What is promised, and how often it is tried: python -m tests.project.promises."""

from __future__ import annotations

from typing import NamedTuple

from tests.data import test_damage, test_kills
from tests.play import test_any_run
from tests.project import test_doors
from tests.teach import test_damaged_files, test_nothing_lost


class Promise(NamedTuple):
    """In words; how often it is tried by default and with --full; where."""

    words: str
    few: int
    full: int
    where: object


def promises() -> list[Promise]:
    """The numbers are those that the tests go by."""
    calls = sum(len(list(test_doors.cases(name))) for name in test_doors.DOORS)
    lost, kills, damage, runs = test_nothing_lost, test_kills, test_damage, test_any_run
    readers, files = len(damage.READERS) + 1, test_damaged_files
    return [
        Promise("four processes that answer at once lose no try", *(4 * n for n in lost.EACH), lost),
        Promise("killed while a try or an exercise is written: the old file or the new",
                *(2 * n for n in lost.KILLS), lost),
        Promise("killed while a match is planned: it goes on, the end is the same",
                *(3 * n for n in kills.PLANS), kills),
        Promise("killed while a match is imported: the old one or the new", *kills.MATCHES, kills),
        Promise("a damaged scene, exercise or answer file is a sentence",
                *(len(files.KINDS) * n for n in files.FILES), files),
        Promise("a damaged match or plan is a sentence", readers * damage.TRIES, readers * damage.FULL, damage),
        Promise("a wrong value is refused in words, at every door", calls // test_doors.ONE_IN, calls, test_doors),
        Promise("any sequence can be played and searched for faults", runs.FEW, runs.MANY, runs),
    ]


if __name__ == "__main__":
    print(f"{'tried':>7s}{'--full':>8s}")
    for one in promises():
        print(f"{one.few:7,d}{one.full:8,d}  {one.words}  ({one.where.__name__.replace('.', '/')}.py)")
