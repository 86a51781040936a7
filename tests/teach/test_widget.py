"""The exercise as one block: answered by buttons, in the picture and by keys; no browser needed."""

from __future__ import annotations

import asyncio
from html import escape
from pathlib import Path
from typing import Any

import pytest

from pressinglib.show.marks import Line
from pressinglib.teach.answer_file import progress_of
from pressinglib.teach.exercise import NOT_ATTEMPTED, RIGHT, WRONG, Exercise
from pressinglib.teach.lessons import lesson_01, lesson_02, lesson_03, lesson_05, lesson_12
from pressinglib.teach.lessons.lesson_00 import place_the_cover, which_side, who_goes
from pressinglib.teach.widget import TryIt
from tests.teach.keys.key import Key
from tests.teach.lessons import ALL, marked

ELSEWHERE = {"WriteRule", "MadeExercise"}  # answered in a cell: a rule, a whole exercise
IN_BLOCKS = [pytest.param(*case, id=name, marks=marked(name)) for name, case in ALL.items()
             if type(case[0].judge).__name__ not in ELSEWHERE]


@pytest.fixture
def task() -> TryIt:
    return TryIt(place_the_cover)


def press(task: TryIt, name: str) -> str:
    task.buttons[name].click()
    return task.words.text


def answer(task: TryIt, value: Any) -> None:
    """As a hand does it in the picture, or a key in the field."""
    form, exercise = task.exercise.form, task.exercise
    if form.placed:
        task.board.reset()
        for number, xy in (value if isinstance(value, dict) else {form.placed[0]: value}).items():
            assert task.board.move("pressing", str(number), xy), task.board.complaint
    elif exercise.taught(value)[0].outcome == NOT_ATTEMPTED:
        task.typed.value = str(value)
    else:
        task.typed.value = exercise.judge.written(exercise.read(value))


@pytest.mark.parametrize(("exercise", "key"), IN_BLOCKS)
def test_every_exercise_is_answered_in_its_block(exercise: Exercise, key: Key) -> None:
    task = TryIt(exercise)
    assert press(task, "Check").startswith("Not attempted: ")
    for value in key.wrong:
        answer(task, value)
        assert press(task, "Check").startswith(("Not yet", "Not attempted: There is no ")), value
        assert task.words.tone == ("wrong" if exercise.taught(value)[0].outcome == WRONG else "open")
    for value in key.right:
        answer(task, value)
        assert press(task, "Check").startswith("Right: "), value
        assert task.words.tone == "right"
    assert [press(task, "Hint").partition(":")[0] for _ in range(4)] == [f"Hint {n} of 3" for n in (1, 2, 3, 3)]
    assert (task.buttons["Another"].layout.display == "none") == (not exercise.turns)
    assert press(task, "Another") == "Note: Picture 1, for practice."
    assert press(task, "Check").startswith("Not attempted: ")
    assert press(task, "Show").startswith("Solution: ")
    assert press(task, "Check").startswith("Right: ")
    task.close()


def test_unsolved_it_shows_the_task_and_no_plan_and_says_nothing(task: TryIt) -> None:
    assert escape(place_the_cover.asks) in task.task.value
    assert not task.board.view.plan
    assert task.words.text == ""


def test_what_is_kept_is_a_steady_text(task: TryIt) -> None:
    kept, again = task._repr_mimebundle_(), TryIt(place_the_cover)._repr_mimebundle_()
    assert kept["text/plain"] == again["text/plain"] == f"On the board: {place_the_cover!r}"


def test_who_is_placed_is_chosen_from_the_start(task: TryIt) -> None:
    assert task.board.chosen == ("pressing", "8")
    task.board._answered({"kind": "step", "way": [-1, 0], "far": False, "held": False})
    assert press(task, "Check") == f"Not yet: {place_the_cover.judge.rule}"
    assert press(task, "Check").startswith("Not yet: 8 is ")


def test_a_change_takes_the_old_verdict_away(task: TryIt) -> None:
    task.board.move("pressing", "8", (20, -9))
    assert press(task, "Check").startswith("Right: ")
    task.board.move("pressing", "8", (0, 0))
    assert (task.words.text, task.words.tone) == ("", "")


def test_show_puts_an_answer_on_the_board_that_can_be_undone(task: TryIt) -> None:
    own = (10.0, 10.0)
    task.board.move("pressing", "8", own)
    press(task, "Show")
    assert press(task, "Check").startswith("Right: ")
    task.board.undo()
    assert task.board.situation.player("pressing", "8").xy == own


def test_a_moved_opponent_is_told_to_reset_and_is_no_wrong_try(task: TryIt) -> None:
    task.board.mirror()
    assert press(task, "Check").startswith("Not attempted: The ball or an opponent has been moved. Press Reset")
    task.board.reset()
    assert task.wrong == 0


def test_a_failure_is_said_and_not_lost(task: TryIt, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(type(place_the_cover), "check", lambda *_: 1 / 0)
    assert "ZeroDivisionError" in press(task, "Check")


def test_a_check_waits_for_the_drags_that_are_under_way(task: TryIt) -> None:
    said = {"kind": "carry", "team": "pressing", "number": "8", "x": 20, "y": -9, "done": True, "turn": ["1", 1]}

    async def drag_and_check() -> str:
        task.board.canvas._handle_custom_msg(said, [])  # the loop would carry it out in a moment
        return press(task, "Check")

    assert asyncio.run(drag_and_check()).startswith("Right: ")


def test_a_slider_a_number_and_the_picture_go_together() -> None:
    task = TryIt(lesson_01.how_far)
    assert press(task, "Check").startswith("Not attempted")
    before = task.board.situation.player("pressing", "4").xy
    task.slider.value = 2.0
    assert task.typed.value == "2"
    assert task.board.situation.player("pressing", "4").xy == (before[0], before[1] - 2.0)
    task.typed.value = "9,5 m"
    assert task.slider.value == 9.5
    assert task.board.situation.player("pressing", "4").xy == (before[0], before[1] - 9.5)
    assert press(task, "Check").startswith("Right")
    task.slider.value = 9.5 + 1e-12  # as a page says it back
    assert task.words.text.startswith("Right")
    press(task, "Another")
    assert (task.typed.value, task.slider.value) == ("", 0.0)


@pytest.mark.parametrize(("exercise", "key"), IN_BLOCKS)
def test_a_number_far_too_large_is_an_answer_and_no_error(exercise: Exercise, key: Key) -> None:
    if exercise.form.slider:
        for text in ("999999", "-999999"):
            assert exercise.check(text).outcome in (WRONG, RIGHT) and "expected" not in exercise.check(text).words


def test_a_share_fills_so_many_of_100_marks_and_is_said() -> None:
    task = TryIt(lesson_12.planned)
    for text, ends in (("30", (-50.0, -20.0)), ("100", (-50.0, 50.0)), ("900", (-50.0, 50.0))):
        task.typed.value = text
        [row] = [mark.points for mark in task.board.drawing.marks if mark.style == "share" and type(mark) is Line]
        assert tuple(x for x, _ in row) == ends and all(y > 34 for _, y in row)
    task.typed.value = "30"
    press(task, "Check")
    assert task.board.panel.words.text.endswith(" 30 moments.")
    assert "share" in {mark.style for mark in task.board.drawing.marks}


def test_a_player_picked_in_the_picture_by_button_or_in_words_is_marked_everywhere() -> None:
    task = TryIt(who_goes)
    assert task.board.canvas.pick["team"] == "pressing"
    task.board._answered({"kind": "pick", "id": "3"})
    assert (task.typed.value, task.options.chosen, task.board.canvas.picked) == ("3", ["3"], ["3"])
    task.options._handle_custom_msg({"pressed": "9"}, [])
    assert task.board.canvas.picked == ["9"]
    task.typed.value = "I think 11."
    assert task.board.canvas.picked == ["11"]
    task.choose("11")
    assert (task.typed.value, task.board.canvas.picked) == ("", [])


def test_a_player_of_theirs_is_picked_and_nothing_can_be_moved() -> None:
    canvas = TryIt(lesson_03.who_is_hidden).board.canvas
    assert canvas.pick["team"] == "possession"
    assert "Enter picks" in canvas.label
    assert TryIt(which_side).board.canvas.pick["ids"] == []
    assert TryIt(place_the_cover).board.canvas.pick == {}


def test_an_order_is_picked_one_after_the_other() -> None:
    task = TryIt(lesson_02.in_order)
    for number in ("10", "9", "11", "7", "10"):
        task.choose(number)
    assert task.typed.value == "9, 11, 7"
    assert task.board.canvas.pick["in_order"]


def test_gaps_are_picked_and_none_stands_alone() -> None:
    task = TryIt(lesson_05.hunt)
    assert {"9-10", "7-10"} < set(task.board.canvas.pick["gaps"])
    for gap in ("none", "7-10", "9-10"):
        task.choose(gap)
    assert task.options.chosen == ["7-10", "9-10"]
    assert press(task, "Check").startswith("Right")
    task.choose("none")
    assert task.options.chosen == ["none"]
    both = TryIt(lesson_05.hunt)
    both.typed.value = "Both!"
    assert press(both, "Check").startswith("Right")


def test_what_was_answered_is_there_again_after_closing() -> None:
    task = TryIt(who_goes)
    task.choose("3")
    task.close()
    task._repr_mimebundle_()
    assert (task.typed.value, task.board.canvas.picked) == ("3", ["3"])


def test_another_picture_stands_on_a_board_of_its_own(task: TryIt) -> None:
    press(task, "Another")
    assert task.board.situation == place_the_cover.variant(1).situation
    task.board.move("pressing", "8", (0, 0))
    task.board.reset()
    assert task.board.situation == place_the_cover.variant(1).situation
    assert task.left.children == (task.board.widget,)
    assert press(task, "Another").startswith("Note: Picture 2, ")
    assert task.step == task.wrong == 0


def test_tries_on_another_picture_are_not_kept(tmp_path: Path) -> None:
    kim = progress_of("Kim", "00", tmp_path)
    task = TryIt(who_goes, progress=kim)
    press(task, "Another")
    task.choose("11")
    press(task, "Check")
    assert kim.tries == ()
    task = TryIt(who_goes, progress=kim)
    task.choose("11")
    press(task, "Check")
    assert [one.outcome for one in kim.tries] == ["right"]


def test_the_words_of_the_picture_do_not_tell_who_is_nearest() -> None:
    board = TryIt(who_goes).board
    assert "nearest" not in board.panel.words.text and board.panel.words.text.startswith("Their 2 on the ball")
