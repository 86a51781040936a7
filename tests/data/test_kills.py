"""Writers killed at any moment: nothing is lost, nothing doubled, and the end is as if nobody had been killed."""

from __future__ import annotations

import random
import shutil
import time
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from pressinglib.data import MatchPlan, Tracking, open_match, plan_match, read_plans, save_match
from pressinglib.data.match_plan import TABLES
from pressinglib.errors import BadInput
from tests.data.killed import Planned, killed, planned, write_match, write_plans

LITTER = ".0123456789abcdef"
NO_CHUNKS = (f"{LITTER}.csv", f"{LITTER}.part", "00000.csv.gz", "copy of 00000.csv", "00000 (2).csv", "99999.parquet")


def content(folder: Path) -> dict[str, bytes]:
    return {str(file.relative_to(folder)): file.read_bytes() for file in sorted(folder.rglob("*")) if file.is_file()}


PLANS, MATCHES = (3, 134), (6, 100)  # by default, and with --full; plans of each kind of table


@pytest.fixture(scope="module")
def plan(invented: Tracking) -> Planned:
    return planned(MatchPlan.of(invented, per_second=2.5, rows_at_once=25, with_faults=False))


@pytest.mark.parametrize("kind", ["csv", "csv.gz", "parquet"])
def test_plans_of_killed_writers_go_on_and_end_the_same(full: bool, plan: Planned, tmp_path: Path, kind: str) -> None:
    dice, kills = random.Random(kind), 0
    start = time.perf_counter()
    whole = content(plan_match(plan, tmp_path / "whole", kind))
    took_s = time.perf_counter() - start + 0.05
    frames = read_plans(tmp_path / "whole")["frame_id"].tolist()
    folder = tmp_path / "killed"
    while kills < PLANS[full]:
        if not killed(dice, took_s, write_plans, plan, folder, kind):
            shutil.rmtree(folder)  # it was quick enough: from the beginning
            continue
        kills += 1
        for table in TABLES if folder.is_dir() and (folder / "plan.json").is_file() else ():
            try:
                found = read_plans(folder, table)["frame_id"].tolist()
            except BadInput as error:
                assert "chunks that are finished; got none" in str(error)
                continue
            assert table != "frames" or found == frames[: len(found)]
    assert content(plan_match(plan, folder, kind)) == whole


def test_matches_of_killed_writers_are_the_old_one_or_the_new_one(full: bool, invented: Tracking, tmp_path: Path
                                                                  ) -> None:
    dice, kills = random.Random(1), 0
    other = replace(invented, frame_id=invented.frame_id + 1000, ball_height_m=np.full(160, 0.5))
    start = time.perf_counter()
    folder = save_match(invented, tmp_path / "match", "csv.gz")
    took_s = time.perf_counter() - start + 0.05
    while kills < MATCHES[full]:
        match, kind = dice.choice((invented, other)), dice.choice(("csv", "csv.gz", "parquet"))
        kills += killed(dice, took_s, write_match, match, folder, kind)
        found = open_match(folder)
        whose = invented if found.frame_id[0] == invented.frame_id[0] else other
        assert found.frame_id.tolist() == whose.frame_id.tolist()
        np.testing.assert_allclose(found.ball_height_m, whose.ball_height_m)
    save_match(other, folder, "csv")
    assert content(folder) == content(save_match(other, tmp_path / "clean", "csv")) and len(content(folder)) == 2


def test_files_that_are_no_chunk_are_not_read(plan: Planned, tmp_path: Path) -> None:
    folder = plan_match(plan, tmp_path, "csv")
    before = {table: len(read_plans(folder, table)) for table in TABLES}
    for table in TABLES:
        for name in NO_CHUNKS:
            shutil.copy(folder / table / "00000.csv", folder / table / name)
    assert {table: len(read_plans(folder, table)) for table in TABLES} == before
    plan_match(plan, folder, "csv")
    assert not list(folder.rglob(f"{LITTER}.part"))


def test_a_chunk_that_is_not_finished_is_in_no_table(plan: Planned, tmp_path: Path) -> None:
    folder = plan_match(plan, tmp_path, "csv")
    (folder / "frames" / "00001.csv").unlink()
    seen = {table: set(read_plans(folder, table)["frame_id"]) for table in TABLES}
    assert all(frames <= seen["frames"] for frames in seen.values())
    (folder / "players" / "00000.csv").unlink()
    with pytest.raises(BadInput, match="table 00000.csv: expected a readable table; got No such file"):
        read_plans(folder, "players")
