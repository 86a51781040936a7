"""The exercise on the board: buttons and keys, no browser needed."""

from __future__ import annotations

from pathlib import Path

import pytest

from pressinglib.teach.answer_file import progress_of
from pressinglib.teach.lessons import lesson_01
from pressinglib.teach.lessons.lesson_00 import place_the_cover, who_goes
from pressinglib.teach.widget import TryIt


@pytest.fixture
def task() -> TryIt:
    return TryIt(place_the_cover)


def press(task: TryIt, name: str) -> str:
    task.buttons[name].click()
    return task.words.text


def test_unsolved_it_shows_the_task_and_no_plan(task: TryIt) -> None:
    assert task.words.text == place_the_cover.asks
    assert not task.board.view.plan
    assert press(task, "Check") == f"Not attempted: {place_the_cover.asks}"


def test_its_text_is_steady_and_short(task: TryIt) -> None:
    first = task._repr_mimebundle_()["text/plain"]
    assert first == TryIt(place_the_cover)._repr_mimebundle_()["text/plain"]
    assert first == f"On the board: {place_the_cover!r}"


def test_wrong_then_right_by_the_keys_of_the_board(task: TryIt) -> None:
    panel = task.board.panel["move"]
    panel.who.value = ("pressing", "8")
    panel.step.value = 0.5
    panel.arrows["\N{LEFTWARDS ARROW}"].click()
    assert press(task, "Check").startswith("Not yet: 8 gets to 6")
    panel.step.value = 5.0
    panel.arrows["\N{RIGHTWARDS ARROW}"].click()
    assert press(task, "Check").startswith("Right: ")


def test_a_change_takes_the_old_verdict_away(task: TryIt) -> None:
    task.board.move("pressing", "8", (20, -9))
    assert press(task, "Check").startswith("Right: ")
    task.board.move("pressing", "8", (0, 0))
    assert task.words.text == place_the_cover.asks


def test_hints_come_one_at_a_time_and_stop_at_the_last(task: TryIt) -> None:
    said = [press(task, "Hint") for _ in range(6)]
    assert [words.partition(":")[0] for words in said] == [f"Hint {step} of 4" for step in (1, 2, 3, 4, 4, 4)]


def test_show_puts_an_answer_on_the_board_that_is_right_and_can_be_undone(task: TryIt) -> None:
    own = (10.0, 10.0)
    task.board.move("pressing", "8", own)
    assert press(task, "Show").startswith("Solution: ")
    assert press(task, "Check").startswith("Right: ")
    task.board.undo()
    assert task.board.situation.player("pressing", "8").xy == own


def test_a_moved_opponent_and_a_mirrored_board_are_told_to_reset(task: TryIt) -> None:
    task.board.mirror()
    assert "Press Reset" in press(task, "Check")
    task.board.reset()
    assert press(task, "Check").startswith("Not attempted")


def test_a_failure_is_said_and_not_lost(task: TryIt, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(type(place_the_cover), "check", lambda *_: 1 / 0)
    assert "ZeroDivisionError" in press(task, "Check")


def test_a_number_with_a_slider_moves_the_picture_and_is_judged() -> None:
    task = TryIt(lesson_01.how_far)
    assert press(task, "Check").startswith("Not attempted")
    before = task.board.situation.player("pressing", "4").xy
    for metres, outcome in {2.0: "Not yet", 9.0: "Right", 20.0: "Not yet"}.items():
        task.typed.value = metres
        assert task.board.situation.player("pressing", "4").xy == (before[0], before[1] - metres)
        assert press(task, "Check").startswith(outcome)
    assert press(task, "Show").startswith("Solution")


def test_an_answer_that_is_no_place_is_typed_beside_the_board() -> None:
    task = TryIt(who_goes)
    assert press(task, "Check") == f"Not attempted: {who_goes.task}"
    for typed, outcome in {"3": "Not yet", " 11 ": "Right", "nine": "Not yet"}.items():
        task.typed.value = typed
        assert press(task, "Check").startswith(outcome)
    task.typed.value = "3"
    task.close()
    task._repr_mimebundle_()
    assert task.typed.value == "3"
    assert TryIt(place_the_cover).typed is None


def test_another_picture_comes_with_the_same_question_and_its_own_answer(task: TryIt) -> None:
    told = press(task, "Another")
    assert told == f"Note: Picture 1, for practice. {place_the_cover.variant(1).asks}"
    assert task.board.situation == place_the_cover.variant(1).situation
    assert press(task, "Check").startswith("Not attempted")
    press(task, "Show")
    assert press(task, "Check").startswith("Right: ")
    task.board.reset()
    assert task.board.situation == place_the_cover.variant(1).situation
    assert task.widget.children[-1] is task.board.widget
    assert press(task, "Another").startswith("Note: Picture 2, ")
    assert task.step == 0


def test_what_was_typed_or_set_is_taken_away_with_the_old_picture() -> None:
    typed, slid = TryIt(who_goes), TryIt(lesson_01.how_far)
    typed.typed.value, slid.typed.value = "9", 8.0
    for task in (typed, slid):
        press(task, "Another")
        assert press(task, "Check").startswith("Not attempted")
    press(typed, "Show")
    assert typed.exercise.check(typed.exercise.solution().answer).outcome == "right"


def test_tries_on_another_picture_are_not_kept(tmp_path: Path) -> None:
    kim = progress_of("Kim", "00", tmp_path)
    task = TryIt(who_goes, progress=kim)
    press(task, "Another")
    task.typed.value = "11"
    press(task, "Check")
    assert kim.tries == ()
    task = TryIt(who_goes, progress=kim)
    task.typed.value = "11"
    press(task, "Check")
    assert [one.outcome for one in kim.tries] == ["right"]
