"""Many matches on Dask: what the workers write is what one process writes, and a lost worker loses nothing."""

from __future__ import annotations

import os
import signal
from dataclasses import replace
from pathlib import Path

import pandas as pd
import pytest

from pressinglib.__main__ import main
from pressinglib.data import MatchPlan, Tracking, open_match, plan_match, read_plans, save_match
from pressinglib.data.season import matches_in, plan_one, plan_season, read_season, trends
from pressinglib.errors import BadInput

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
    words = plan_one(str(tmp_path / "broken"), str(tmp_path / "plans" / "broken"), [], [], 1.0, False)
    assert "match broken, match.json: expected what the command import writes" in words
    to = str(tmp_path / "plans" / "match_0")
    assert plan_one(str(season / "match_0"), to, ["steering=inside"], [], 1.0, False) == "planned"


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
