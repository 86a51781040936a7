"""Verdicts and cards: stable text, escaped HTML, and what does not hold said first."""

from __future__ import annotations

import pytest

from pressinglib.field.scene_file import scene
from pressinglib.roles.plan import plan_press
from pressinglib.tables import listed
from pressinglib.teach.charts import side_by_side
from pressinglib.teach.choices import SetNumber
from pressinglib.teach.exercise import NOT_ATTEMPTED, RIGHT, WRONG, Card, Finding, Solution, Verdict, judged
from tests.teach.lessons import ALL

UNSEEN = SetNumber.seen  # of a slider that draws nothing
HOSTILE = "<img src=x onerror=alert(1)>&\"'"


@pytest.mark.parametrize("card", [Card(HOSTILE), Card("9", title=HOSTILE), Solution(HOSTILE, "9"),
                                  Verdict(HOSTILE, WRONG)])
def test_no_word_of_a_card_is_markup(card: Card) -> None:
    shown = card._repr_html_()
    assert "<img" not in shown
    assert "&lt;img src=x onerror=alert(1)&gt;&amp;" in shown
    assert HOSTILE in repr(card)


@pytest.mark.parametrize(("outcome", "text"), [(NOT_ATTEMPTED, "Not attempted: go"), (WRONG, "Not yet: go"),
                                               (RIGHT, "Right: go")])
def test_each_outcome_has_its_own_word_in_text_and_html(outcome: str, text: str) -> None:
    verdict = Verdict("go", outcome)
    assert repr(verdict) == text
    assert f"<b>{text.partition(':')[0]}.</b>" in verdict._repr_html_()


def test_right_only_if_everything_holds_and_what_does_not_comes_first() -> None:
    good, bad, silent = Finding(True, "Near."), Finding(False, "Wrong side."), Finding(True, "")
    assert judged([good, silent]) == Verdict("Near.", RIGHT)
    assert judged([good, bad, silent]) == Verdict("Wrong side. Near.", WRONG)


def test_a_list_reads_as_spoken() -> None:
    assert [listed(["7"]), listed(["7", "9"]), listed(["7", "9", "1"], "or")] == ["7", "7 and 9", "7, 9 or 1"]


def test_no_word_of_a_table_is_markup() -> None:
    assert "<img" not in side_by_side({HOSTILE: plan_press(scene("worked scene"))})._repr_html_()


@pytest.mark.parametrize("name", [name for name, (exercise, _) in ALL.items()
                                  if isinstance(exercise.judge, SetNumber) and exercise.judge.seen is not UNSEEN])
def test_what_is_drawn_of_a_slider_is_his_run_and_agrees_with_the_verdict(name: str) -> None:
    exercise = ALL[name][0]
    judge, plan = exercise.judge, exercise.plan
    assert isinstance(judge, SetNumber)
    low, high = judge.limits(plan)
    drawn = 0
    for value in (low - 1.0, judge.model(plan), high + 1.0):
        shown, right = judge.shown(plan.situation, value), bool(low <= value <= high)
        for finding in judge.findings(plan, value)[1:]:
            assert finding.holds is right
            for seen in finding.seen:
                drawn += 1
                team, number = seen.who
                if team == "pressing":
                    at = pytest.approx(shown.player("pressing", number).xy, abs=0.06)  # from where he is put, or to it
                    assert at in (seen.points[0], seen.points[-1])
    assert drawn
