"""The report on a team without the ball: what is counted, its intervals, and the page."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from scipy.stats import bootstrap

from pressinglib.__main__ import main
from pressinglib.data import MatchPlan, Team, Tracking, plan_match, save_match, team_report
from pressinglib.errors import BadInput, UnknownName
from pressinglib.roles.compare import Rate, compare_rulebooks, rate
from pressinglib.roles.rulebook import Rulebook
from pressinglib.teach.report_page import save_report

GOES_S, WON_S = 1.5, 1.0


@pytest.fixture(scope="module")
def pressed(invented: Tracking) -> Tracking:
    """In both halves: away gets the ball, home's 9 is there after 1.5 s, and a second later home's 6 has the ball."""
    home, ball = invented.home.xy.copy(), invented.ball_xy.copy()
    for start in (40, 120):
        home[start + 15 : start + 25, 8] = ball[start + 15 : start + 25] - (1.0, 0.5)
        ball[start + 25 : start + 40] = home[start + 25 : start + 40, 5]
    return replace(invented, home=Team(invented.home.numbers, invented.home.slots, home), ball_xy=ball)


@pytest.fixture(scope="module")
def plan(pressed: Tracking) -> MatchPlan:
    return MatchPlan.of(pressed)


@pytest.fixture(scope="module")
def plans(plan: MatchPlan, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return plan_match(replace(plan, rows=plan.rows[::4]), tmp_path_factory.mktemp("report") / "plans")


def test_an_interval_is_that_of_a_bootstrap_over_stretches() -> None:
    """Each stretch one value: the percentile bootstrap of scipy."""
    values = np.random.default_rng(3).normal(5.0, 2.0, 60)
    low, high = bootstrap((values,), np.mean, method="percentile", rng=4).confidence_interval
    found = rate(values, np.arange(60))
    assert (found.value, found.low, found.high) == pytest.approx((values.mean(), low, high), abs=0.06)


def test_neighbours_that_say_the_same_do_not_make_it_surer() -> None:
    values = np.random.default_rng(3).normal(5.0, 2.0, 60)
    once, often = rate(values, np.arange(60)), rate(np.repeat(values, 50), np.repeat(np.arange(60), 50))
    assert (often.low, often.high) == pytest.approx((once.low, once.high))
    assert str(rate(values[:4], range(4))).endswith("(too few)") and str(rate([], [])) == "-"


def test_who_goes_and_what_comes_of_it(plan: MatchPlan, plans: Path) -> None:
    report = team_report(plan, plans, "home")
    pressing = {row["ball in"]: row for row in report.tables["pressing"]}
    assert pressing["everywhere"]["men who got it"] == 2
    assert pressing["everywhere"]["% pressed within 3 s"].value == 100
    assert pressing["everywhere"]["s until the first is there"].value == pytest.approx(GOES_S)
    for row in report.tables["outcomes"]:
        assert (row["presses"], row["% won"].value, row["% still there"].value) == (2, 100, 0)


def test_the_block_is_measured(plan: MatchPlan, plans: Path) -> None:
    *rows, published = team_report(plan, plans, "home").tables["block"]
    frames = plan.frames(plan.chunks[0], "home")[1]
    outfield = frames.pressing_xy[:, 1:]
    assert published["ball in"] == "published"
    low, high = (np.ptp(outfield[..., 0], axis=1).min(), np.ptp(outfield[..., 0], axis=1).max())
    assert all(low <= row["length, m"].value <= high + 1 for row in rows)


def test_the_command_writes_a_page_that_needs_no_net_and_tables(
    pressed: Tracking, plans: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    save_match(pressed, tmp_path / "match")
    told = [str(tmp_path / "match"), str(tmp_path / "plans")]
    with pytest.raises(SystemExit) as ended:
        main(["plan", *told[:1], "--to", told[1], "--per-second", "2.5", "--quiet"])
    with pytest.raises(SystemExit) as ended:
        main(["report", *told, "--team", "home", "--to", str(tmp_path / "report")])
    assert ended.value.code == 0, capsys.readouterr().err
    page = (tmp_path / "report" / "report.html").read_text()
    assert not re.search(r"(src|href)=.(?!data:)", page) and "<script" not in page
    assert page.count("<img") == page.count(" alt=") and "What tracking cannot know" in page
    table = pd.read_csv(tmp_path / "report" / "pressing.csv")
    assert list(table.columns[2:5]) == ["% pressed within 3 s" + end for end in ("", ", from", ", to")]


def test_other_teams_matches_and_rules_are_refused(plan: MatchPlan, plans: Path, invented: Tracking) -> None:
    with pytest.raises(UnknownName, match="team: expected one of home, away"):
        team_report(plan, plans, "guests")  # type: ignore[arg-type]
    with pytest.raises(BadInput, match="by these rules; got another match"):
        team_report(MatchPlan.of(invented), plans, "home")
    with pytest.raises(BadInput, match="by these rules; got another rules"):
        team_report(MatchPlan.of(plan.match, plan.rulebook.with_settings(steering="inside")), plans, "home")


def test_a_comparison_is_paired_and_says_how_sure_it_is() -> None:
    found = compare_rulebooks(Rulebook(), Rulebook().with_settings(steering="inside"), None, ("stock", "inside"), False)
    rows = list(found.experiment())
    danger = next(row for row in rows if row["measure"] == "danger after the runs" and row["where"] == "everywhere")
    off = np.array([row["danger2"] - row["danger1"] for row in found.rows])
    assert danger["difference"].value == pytest.approx(off.mean()) and danger["moments"] == len(found.rows)
    assert danger["difference"].low <= off.mean() <= danger["difference"].high
    helped, hurt = found.most()
    assert helped[0]["danger2"] - helped[0]["danger1"] == off.min()
    assert hurt[0]["danger2"] - hurt[0]["danger1"] == off.max()


def test_the_page_begins_with_what_a_coach_asks(plan: MatchPlan, plans: Path, tmp_path: Path) -> None:
    report = team_report(plan, plans, "home")
    page = save_report(report, plan, tmp_path).read_text()
    short = page[: page.index("<table")]
    assert "Of 2 men who got the ball, 100 (too few) in 100 had one of us" in short
    assert "Of 2 such presses, 100 (too few) in 100 won the ball within 5 s" in short
    assert f"Seen most: {list(report.tables['faults'])[0]['fault']}, for" in short
    assert all(moment.kind in short for moment in report.moments) and str(Rate(-0.2, -0.4, 12.0)) == "0 (0 to 12)"
