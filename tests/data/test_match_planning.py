"""A whole match planned: the tables say what the plans say, chunks change nothing, finished chunks are kept."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from pressinglib.data import MatchPlan, Tracking, compare_match, plan_match, read_plans
from pressinglib.data.match_plan import TABLES
from pressinglib.data.match_planning import left_out, match_hash, rulebook_hash
from pressinglib.errors import BadInput, RuleError
from pressinglib.field.situation import Situation
from pressinglib.roles.compare import compare_rulebooks
from pressinglib.roles.faults import find_faults
from pressinglib.roles.plan import plan_press
from pressinglib.roles.rulebook import Rulebook


@pytest.fixture(scope="module")
def plan(invented: Tracking) -> MatchPlan:
    return MatchPlan.of(invented, per_second=2.5)


@pytest.fixture(scope="module")
def folder(plan: MatchPlan, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return plan_match(plan, tmp_path_factory.mktemp("plans") / "whole")


def test_every_moment_with_the_ball_is_counted(plan: MatchPlan, folder: Path) -> None:
    assert plan.counts() == {"frames": 160, "planned": 38, "ball loose": 0, "ball dead or unknown": 10,
                             "not asked for": 112}
    frames = read_plans(folder)
    assert frames["frame_id"].tolist() == plan.match.frame_id[plan.rows].tolist()
    assert set(frames["pressing"]) == {"home", "away"} and set(frames["state"]) == {"open play"}


def test_tables_say_what_the_plan_of_the_picture_says(plan: MatchPlan, folder: Path) -> None:
    frames, players, lanes, gaps, faults = (read_plans(folder, name).set_index("frame_id") for name in TABLES)
    for frame_id in plan.match.frame_id[plan.rows[[0, 12, 20, 37]]]:
        one = plan_press(plan.situation(int(frame_id)))
        row = frames.loc[frame_id]
        assert (row.presser, row.timing, row.steer, row.on_ball) == (
            one.presser, one.timing, one.steer, one.situation.on_ball)
        assert row.danger_after == pytest.approx(one.danger[1], abs=1e-5)
        assert row.open_lanes == sum(lane["state"] == "open" for lane in one.lanes)
        his = players.loc[frame_id].set_index("number")
        for number, job in one.assignments.items():
            assert (his.role[number], his["mark"][number]) == (job.role, job.mark or "")
            assert his.loc[number, ["target_x", "target_y"]].to_numpy(float) == pytest.approx(job.target_xy, abs=0.006)
        assert dict(lanes.loc[frame_id][["opponent", "account"]].to_numpy()).items() <= one.account.items()
        assert len(gaps.loc[[frame_id]]) == len(one.gaps)
        assert row.faults == len(faults.loc[faults.index == frame_id])
        found = [fault.kind for fault in find_faults(one.situation)]
        assert [kind for kind in faults[faults.index == frame_id].kind if kind in found] == found


def test_how_it_is_cut_changes_nothing(plan: MatchPlan, folder: Path, tmp_path: Path) -> None:
    small = MatchPlan.of(plan.match, per_second=2.5, rows_at_once=13)
    assert len(small.chunks) > len(plan.chunks)
    other = plan_match(small, tmp_path / "small", "csv")
    for name in TABLES:
        a, b = read_plans(folder, name), read_plans(other, name)
        pd.testing.assert_frame_equal(a, b, check_dtype=False)


def test_a_broken_run_goes_on_and_keeps_what_is_finished(plan: MatchPlan, tmp_path: Path) -> None:
    class Enough(Exception):
        pass

    first = tmp_path / "frames" / "00000.parquet"

    def stop(done: int, total: int) -> None:
        if first.exists():
            raise Enough

    small = MatchPlan.of(plan.match, per_second=2.5, rows_at_once=40, with_faults=False)
    with pytest.raises(Enough):
        plan_match(small, tmp_path, progress=stop)
    before = first.stat().st_mtime_ns
    assert not (tmp_path / "frames" / "00001.parquet").exists()
    told: list[tuple[int, int]] = []
    plan_match(small, tmp_path, progress=lambda done, total: told.append((done, total)))
    assert first.stat().st_mtime_ns == before and told[-1] == (38, 38) and told == sorted(told)
    assert len(read_plans(tmp_path)) == 38 and not list(tmp_path.rglob(".*"))


def test_frames_on_which_an_own_rule_fails_are_left_out_and_counted(plan: MatchPlan, tmp_path: Path) -> None:
    ids = [int(frame) for frame in plan.match.frame_id[plan.rows]]
    balls = {plan.situation(frame).ball_xy for frame in (ids[3], ids[-9])}
    bad = {frame for frame in ids if plan.situation(frame).ball_xy in balls}

    def rule(situation: Situation) -> str | None:
        return 9 if situation.ball_xy in balls else "9"  # type: ignore[return-value]

    own = replace(plan, rulebook=Rulebook().with_rules(choose_presser=rule))
    with pytest.raises(RuleError, match=f"choose_presser on frame ({'|'.join(map(str, bad))}) of the match"):
        plan_match(own, tmp_path / "stops")
    kept = read_plans(plan_match(own, tmp_path / "goes on", skip_failing=True))
    assert set(ids) - set(kept["frame_id"]) == bad and len(bad) < len(ids) / 2
    told = left_out(tmp_path / "goes on")
    assert {int(words.split("frame ")[1].split()[0]) for words in told} == bad


def test_a_rule_may_leave_a_man_where_he_stands_off_the_pitch(invented: Tracking) -> None:
    """As a winger does who waits over the line; his spot is the nearest place on the pitch."""
    off = invented.home.xy.copy()
    off[:, 6, 1] = -35.3
    rules = Rulebook().with_rules(settle_spots=lambda s: {p.number: p.xy for p in s.pressing})
    plan = MatchPlan.of(replace(invented, home=replace(invented.home, xy=off)), rules, 1, with_faults=False)
    players = pd.DataFrame(plan.tables(plan.chunks[0])["players"])
    his = players[(players["pressing"] == "home") & (players["number"] == "7")]
    assert len(his) and (his["y"] == -35.3).all() and (his["target_y"] == -34.0).all()


def test_a_folder_with_other_plans_is_refused(plan: MatchPlan, folder: Path) -> None:
    inside = replace(plan, rulebook=Rulebook().with_settings(steering="inside"))
    with pytest.raises(BadInput, match="expected the plans that were begun here; got another rules"):
        plan_match(inside, folder)
    with pytest.raises(BadInput, match="table chunk.xlsx: expected a name that ends in .parquet, .csv, .csv.gz"):
        plan_match(plan, folder, "xlsx")
    with pytest.raises(BadInput, match="plans whole, words: expected a folder made by the command plan"):
        read_plans(folder, "words")


def test_marks_tell_matches_and_rules_apart(invented: Tracking) -> None:
    moved = invented.home.xy.copy()
    moved[3, 4] += 0.01
    assert match_hash(invented) == match_hash(replace(invented))
    assert match_hash(invented) != match_hash(replace(invented, home=replace(invented.home, xy=moved)))
    rules = [Rulebook(), *(Rulebook().with_rules(choose_presser=rule) for rule in (lambda s: "9", lambda s: "10"))]
    assert len({rulebook_hash(rulebook) for rulebook in rules}) == 3
    assert rulebook_hash(rules[1]) == rulebook_hash(rules[1].with_settings(short_pass_m=25))


def test_frames_that_cannot_be_drawn_are_refused(plan: MatchPlan) -> None:
    with pytest.raises(BadInput, match="frame: expected a number from 100 to 259 that is in the match; got 5"):
        plan.situation(5)
    with pytest.raises(BadInput, match="frame 136: expected a team that has the ball; got a loose or dead ball"):
        plan.situation(136)


def test_a_rule_that_fails_names_the_frame_of_the_match(plan: MatchPlan) -> None:
    ids = plan.match.frame_id[plan.rows]
    last = plan.situation(int(ids[-1]))

    def choosy(situation: Situation) -> str:
        if situation.ball_xy == last.ball_xy:
            raise KeyError("no idea")
        return "9"

    failing = MatchPlan.of(plan.match, Rulebook().with_rules(choose_presser=choosy), with_faults=False)
    with pytest.raises(RuleError, match=rf"on frame {ids[-1]} of the match.*no idea"):
        failing.tables(failing.chunks[-1])
    with pytest.raises(RuleError, match=rf"on frame {ids[-1]} of the match.*no idea"):
        compare_match(replace(plan, rows=plan.rows[-3:], with_faults=False), failing.rulebook)


def test_nobody_on_the_pitch_is_no_plan(invented: Tracking) -> None:
    gone = invented.away.xy.copy()
    gone[:20] = np.nan
    plan = MatchPlan.of(replace(invented, away=replace(invented.away, xy=gone)), with_faults=False)
    assert plan.rows[0] >= 20 and len(plan.tables(plan.chunks[0])["frames"]["frame_id"])


def test_two_rulebooks_on_a_match(plan: MatchPlan) -> None:
    few = replace(plan, rows=plan.rows[::8], with_faults=False)
    inside = Rulebook().with_settings(steering="inside")
    found = compare_match(few, inside, ("stock", "inside"))
    assert [row["picture"] for row in found.rows] == plan.match.frame_id[few.rows].tolist()
    for row in found.rows[:2]:
        alone = compare_rulebooks(Rulebook(), inside, {"one": plan.situation(row["picture"])}, with_faults=False)
        assert row["danger2"] == pytest.approx(alone.rows[0]["danger2"])
        assert row["differs"] == alone.rows[0]["differs"]
    with pytest.raises(BadInput, match="expected a moment in which a team has the ball; got none"):
        compare_match(replace(plan, rows=plan.rows[:0]), inside)
