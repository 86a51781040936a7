"""Many matches on Dask: what the workers write is what one process writes, and a lost worker loses nothing."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from dataclasses import replace
from multiprocessing import active_children
from pathlib import Path

import pandas as pd
import pytest

from pressinglib.__main__ import main
from pressinglib.data import MatchPlan, Tracking, open_match, plan_match, read_plans, save_match
from pressinglib.data.season import helpers, matches_in, plan_season, plan_together, read_season, trends
from pressinglib.errors import BadInput, PressingError
from tests.data.test_kills import content

distributed = pytest.importorskip("distributed")
pytestmark = pytest.mark.filterwarnings("default")  # what Dask itself complains about is not ours


@pytest.fixture(scope="module")
def season(invented: Tracking, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three matches, told apart by their pitch."""
    folder = tmp_path_factory.mktemp("season")
    for k in range(3):
        save_match(replace(invented, frame_id=invented.frame_id + 1000 * k), folder / f"match_{k}")
    return folder


def alone(match: Path, to: Path) -> pd.DataFrame:
    return read_plans(plan_match(MatchPlan.of(open_match(match), per_second=1, with_faults=False), to))


def test_workers_write_what_one_process_writes(season: Path, tmp_path: Path) -> None:
    told: list[tuple[int, int]] = []
    found = plan_season(matches_in(season), tmp_path / "plans", per_second=1, with_faults=False,
                        progress=lambda done, total: told.append((done, total)))
    assert found == dict.fromkeys(("match_0", "match_1", "match_2"), "planned") and told[-1] == (3, 3)
    for match in matches_in(season):
        pd.testing.assert_frame_equal(read_plans(tmp_path / "plans" / match.name), alone(match, tmp_path / match.name))
    whole = read_season(tmp_path / "plans").compute()
    assert whole.groupby("match").size().to_dict() == {
        name: len(read_plans(tmp_path / "plans" / name)) for name in found}
    for row in trends(tmp_path / "plans"):
        of = whole[(whole["match"] == row["match"]) & (whole["pressing"] == row["without the ball"])]
        assert row["danger by the plan"] == pytest.approx(of["danger_after"].mean())


def test_processes_that_share_a_match_write_what_one_writes(season: Path, tmp_path: Path) -> None:
    match, plans = season / "match_0", tmp_path / "shared"
    with pytest.raises(SystemExit) as ended:
        main(["plan", str(match), "--to", str(plans), "--per-second", "1", "--no-faults", "--workers", "2", "--quiet"])
    assert ended.value.code == 0
    pd.testing.assert_frame_equal(read_plans(plans), alone(match, tmp_path / "alone"))


def test_a_process_that_is_killed_is_said_and_the_same_command_goes_on(season: Path, tmp_path: Path) -> None:
    plan = MatchPlan.of(open_match(season / "match_0"), per_second=5, rows_at_once=20, with_faults=False)
    done: list[int] = []

    def lose(planned: int, total: int) -> None:
        done.append(planned)
        active_children()[0].kill()

    told = "ended from outside.* Give the same command again: it goes on"
    with pytest.raises(PressingError, match=told), helpers(2) as pool:
        plan_together(pool, plan, ([], []), tmp_path / "plans", "csv", lose, False)
    assert 0 < done[-1] < len(plan.rows)
    with helpers(2) as pool:
        plan_together(pool, plan, ([], []), tmp_path / "plans", "csv", lambda n, _: done.append(n), False)
    assert done[-1] == len(plan.rows)
    assert content(tmp_path / "plans") == content(plan_match(plan, tmp_path / "whole", "csv"))


def test_a_season_begins_again_where_a_process_was_killed(season: Path, tmp_path: Path) -> None:
    def lose(done: int, total: int) -> None:
        if done == 1:
            active_children()[0].kill()

    found = plan_season(matches_in(season), tmp_path, per_second=1, with_faults=False, progress=lose)
    assert found == dict.fromkeys(("match_0", "match_1", "match_2"), "planned")


def test_a_season_whose_processes_are_killed_again_and_again_says_so(season: Path, tmp_path: Path) -> None:
    over = threading.Event()

    def kill() -> None:
        while not over.wait(0.05):
            for process in active_children():
                process.kill()

    killer = threading.Thread(target=kill)
    killer.start()
    try:
        found = plan_season(matches_in(season), tmp_path / "plans", per_second=1, with_faults=False)
    finally:
        over.set()
        killer.join()
    assert len(found) == 3 and all("Give the same command again" in words for words in found.values())


def test_processes_end_with_the_one_that_is_killed(season: Path, tmp_path: Path) -> None:
    command = [sys.executable, "-m", "pressinglib", "plan", str(season / "match_0"), "--to", str(tmp_path), "--quiet",
               "--workers", "2"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT) as first:
        while not (tmp_path / "plan.json").is_file():
            time.sleep(0.02)
        first.kill()
        first.communicate(timeout=20)  # its workers hold the same pipe, and let it go when they end
    assert subprocess.run(command, capture_output=True).returncode == 0
    plan = MatchPlan.of(open_match(season / "match_0"))
    assert content(tmp_path) == content(plan_match(plan, tmp_path.with_name("whole")))


@pytest.mark.full
def test_a_lost_worker_loses_nothing(season: Path, tmp_path: Path) -> None:
    with distributed.LocalCluster(n_workers=2, threads_per_worker=1, host="127.0.0.1", dashboard_address=None,
                                  silence_logs=50) as cluster:
        with distributed.Client(cluster) as client:
            victim = next(iter(client.run(os.getpid).values()))

        def lose(done: int, total: int) -> None:
            if done == 1:
                os.kill(victim, signal.SIGKILL)

        found = plan_season(matches_in(season), tmp_path / "plans", per_second=1, with_faults=False,
                            address=cluster.scheduler_address, progress=lose)
    assert set(found.values()) == {"planned"} and len(found) == 3
    for match in matches_in(season):
        pd.testing.assert_frame_equal(read_plans(tmp_path / "plans" / match.name), alone(match, tmp_path / match.name))


def test_a_match_that_cannot_be_read_does_not_stop_the_others(season: Path, tmp_path: Path) -> None:
    (tmp_path / "broken").mkdir()
    (tmp_path / "broken" / "match.json").write_text("{}")
    found = plan_season([tmp_path / "broken", season / "match_0"], tmp_path / "plans", ["steering=inside"], [], 1.0)
    assert found["broken"].startswith("match broken, match.json: expected what the command import writes")
    assert found["match_0"] == "planned"


def test_what_is_misspelt_or_missing_is_said_before_anything_starts(season: Path, tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="expected a name of its own for every match"):
        plan_season([season / "match_0", season / "x" / ".." / "match_0"], tmp_path)
    with pytest.raises(BadInput, match="setting: expected name=value"):
        plan_season(matches_in(season), tmp_path, settings=["steering"])
    with pytest.raises(BadInput, match="expected folders made by the command import; got none"):
        matches_in(tmp_path)


def test_a_scheduler_that_does_not_answer_is_said(season: Path, tmp_path: Path, capsys) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["season", str(season), "--to", str(tmp_path), "--scheduler", "nonsense://here", "--quiet"])
    assert ended.value.code == 2
    assert "scheduler nonsense://here: expected one that answers" in capsys.readouterr().err
