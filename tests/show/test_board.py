"""The board without a browser: the same methods and messages that hands and controls use."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable
from typing import Any

import pytest

from pressinglib import Pitch, Player, PressingError, Rulebook, Settings, Situation, plan_press
from pressinglib.field.scene_file import scene
from pressinglib.show.board import Board
from pressinglib.show.controls import BY_THE_RULES
from pressinglib.show.drawing import draw_plan, draw_situation
from pressinglib.show.primitives import svg
from pressinglib.show.tokens import BALL


@pytest.fixture
def board(worked: Situation) -> Board:
    return Board(worked)


@pytest.fixture
def drag(board: Board) -> Callable[..., None]:
    """A message as the browser sends it: who, where on the canvas, whether the hand has let go."""
    turns = iter(range(10_000))

    def say(team: str, words: str, x: float, y: float, done: bool = True) -> None:
        board.canvas._heard(None, {"kind": "carry", "team": team, "number": words, "x": x, "y": y, "done": done,
                                   "turn": ["1", next(turns)]}, [])

    return say


def shown(board: Board, team: str, words: str) -> tuple[float, float]:
    """Where the canvas was told to show a token."""
    tokens = board.canvas.shapes.groups["tokens"]
    return next((one.x, one.y) for one in tokens if (one.team, one.words) == (team, words))


def test_a_new_board_shows_picture_plan_and_words(board: Board, worked: Situation) -> None:
    plan = plan_press(worked)
    assert board.panel.words.text.startswith(plan.words) and board.plan.words == plan.words
    assert board.drawing == draw_plan(worked, plan, labels=board.view)
    assert all(job.duty in board.panel.table.value for job in plan.assignments.values())


def test_dragging_the_ball_changes_plan_words_and_table(
    board: Board, drag: Callable[..., None], worked: Situation
) -> None:
    before = board.panel.words.text, board.panel.table.value, board.drawing
    drag("ball", "", *worked.player("possession", "2").xy)
    assert board.situation.on_ball == "2"
    assert board.plan.to_dict() == plan_press(board.situation).to_dict()
    for old, new in zip(before, (board.panel.words.text, board.panel.table.value, board.drawing), strict=True):
        assert old != new


def test_a_drag_is_one_step_however_far_it_went(board: Board, drag: Callable[..., None], worked: Situation) -> None:
    for x in range(20, 30):
        drag("pressing", "10", float(x), 3.0, done=False)
        assert board.situation.player("pressing", "10").xy == (x, 3.0)
    drag("pressing", "10", 31.0, 3.0)
    assert board.undo() and board.situation == worked
    assert board.redo() and board.situation.player("pressing", "10").xy == (31.0, 3.0)
    assert shown(board, "pressing", "10") == (31.0, 3.0)


def test_the_carrier_takes_the_ball_along(board: Board, drag: Callable[..., None]) -> None:
    ball = shown(board, "ball", "")
    drag("possession", "5", 30.0, 12.0, done=False)
    assert shown(board, "ball", "") == pytest.approx((ball[0] - 5.0, ball[1] + 2.0))


def test_a_page_that_comes_late_or_again_gets_what_is_shown_now(board: Board) -> None:
    board.move("pressing", "9", (24, -14))
    assert json.loads(board.canvas.picture)["groups"]["tokens"] == svg(board.canvas.shapes.groups["tokens"])
    assert shown(board, "pressing", "9") == (24.0, -14.0)


def test_an_impossible_place_snaps_back_with_a_word(board: Board, drag: Callable[..., None], worked: Situation) -> None:
    drag("pressing", "9", 20.0, 0.0, done=False)
    drag("pressing", "9", 20.0, 99.0)
    assert board.situation == worked
    assert shown(board, "pressing", "9") == worked.player("pressing", "9").xy
    assert "pressing 9 would be off the pitch" in board.panel.complaint.text
    assert board.panel.words.text.startswith(plan_press(worked).words)
    drag("pressing", "9", 20.0, 0.0)
    assert board.panel.complaint.text == "" and not board.complaint


def test_undo_redo_and_reset_at_their_ends(board: Board, worked: Situation) -> None:
    assert not board.undo() and not board.redo()
    assert board.panel["steps"].undo.disabled and board.panel["steps"].redo.disabled
    assert board.move("ball", "", (0, 0)) and board.move("pressing", "9", (10, 0))
    assert board.reset() and board.situation == worked
    assert board.undo() and board.situation.player("pressing", "9").xy == (10.0, 0.0)
    assert not board.panel["steps"].redo.disabled


def test_the_buttons_do_what_they_say(worked: Situation) -> None:
    board = Board(worked, controls=("steps", "view"))
    board.panel["view"].mirror.click()
    assert board.situation == worked.mirrored()
    board.panel["steps"].undo.click()
    assert board.situation == worked
    board.panel["steps"].redo.click()
    board.panel["steps"].reset.click()
    assert board.situation == worked


def test_everything_can_be_moved_by_keys_alone(board: Board) -> None:
    panel = board.panel["move"]
    panel.who.value = ("pressing", "9")
    assert (panel.x.value, panel.y.value) == (27.0, -2.0)
    panel.x.value = 25.5
    assert board.situation.player("pressing", "9").xy == (25.5, -2.0)
    panel.step.value = 5.0
    panel.arrows["\N{UPWARDS ARROW}"].click()
    assert board.situation.player("pressing", "9").xy == (25.5, 3.0)
    assert (panel.x.value, panel.y.value) == (25.5, 3.0)
    panel.who.value = BALL
    panel.arrows["\N{LEFTWARDS ARROW}"].click()
    assert board.situation.ball_xy == (30.0, 10.0)
    board.undo(), board.undo(), board.undo()
    assert not board.history.past


def test_choosing_a_player_moves_nobody(board: Board, worked: Situation) -> None:
    for _, who in board.panel["move"].who.options:
        board.panel["move"].who.value = who
    assert board.situation == worked and not board.history.past


def test_steer_and_angle_sliders_change_the_plan_in_one_step_each(board: Board) -> None:
    rules = board.plan.to_dict()
    board.panel["steer"].steer.value = "right"
    assert board.plan.steer == "right"
    for angle in (10, 20, 45):
        board.panel["steer"].approach.value = angle
    assert board.state.approach_deg == 45
    assert board.undo() and board.panel["steer"].approach.value == BY_THE_RULES and board.plan.steer == "right"
    assert board.undo() and board.panel["steer"].steer.value == BY_THE_RULES
    assert board.plan.to_dict() == rules


def test_mirroring_takes_the_wish_along(board: Board) -> None:
    assert board.steer_to("left") and board.mirror()
    assert board.plan.steer == board.panel["steer"].steer.value == "right"


def test_layer_boxes_switch_layers(board: Board) -> None:
    board.panel["layers"].boxes["lanes"].value = True
    assert {"roles", "shadow", "lanes"} <= {mark.layer for mark in board.drawing.marks}
    board.panel["layers"].boxes["roles"].value = False
    assert "roles" not in {mark.layer for mark in board.drawing.marks}


def test_portrait_turns_canvas_hand_and_arrows() -> None:
    board = Board(scene("worked scene"), portrait=True)
    assert shown(board, "pressing", "9") == (2.0, 27.0)
    board.canvas._heard(None, {"kind": "carry", "team": "pressing", "number": "9", "x": 4.0, "y": 20.0, "done": True,
                               "turn": ["1", 1]}, [])
    assert board.situation.player("pressing", "9").xy == (20.0, -4.0)
    board.panel["move"].who.value = ("pressing", "9")
    board.panel["move"].arrows["\N{UPWARDS ARROW}"].click()
    board.panel["move"].arrows["\N{LEFTWARDS ARROW}"].click()
    assert board.situation.player("pressing", "9").xy == (20.5, -3.5)


def test_another_picture_can_be_put_on_it(board: Board, worked: Situation) -> None:
    ten = scene("ten men")
    assert board.show(ten) and board.situation == ten
    assert len(board.canvas.shapes.groups["tokens"]) == 22
    assert len(board.panel["move"].who.options) == 22
    assert board.undo() and len(board.canvas.shapes.groups["tokens"]) == 23
    small = Situation.line_up(pitch=type(worked.pitch)(100, 64))
    assert board.show(small) and "-53.6" in board.canvas.picture


@pytest.mark.parametrize("width_px", [505, 740])
@pytest.mark.parametrize("length_m", [90, 105, 120])
def test_small_type_is_at_least_eleven_dots_high(length_m: float, width_px: int) -> None:
    board = Board(Situation.line_up(pitch=Pitch(length_m, 68)), width_px=width_px)
    left, right, *_ = json.loads(board.canvas.picture)["frame"]
    assert min(one.type_m for one in board.canvas.shapes.groups["type"]) * width_px / (right - left) >= 11 - 0.01


def test_a_task_keeps_its_answer_until_it_is_asked_for(worked: Situation) -> None:
    task = Board(worked, with_plan=False)
    assert task.drawing == draw_situation(worked, labels=task.view)
    assert task.panel.words.text == draw_situation(worked).words
    assert task.panel.table.value == "" and task.panel["steer"].steer.disabled
    assert task.move("pressing", "8", (10, 0)) and task.plan.presser == "9"
    task.show_plan()
    assert task.panel.words.text.startswith(task.plan.words) and not task.panel["steer"].steer.disabled


def test_a_wish_that_does_not_exist_is_refused_in_words(board: Board, worked: Situation) -> None:
    assert not board.steer_to("forwards") and "left, right" in board.complaint
    assert not board.approach_at(200) and "approach angle" in board.complaint
    assert board.state.steer is board.state.approach_deg is None
    assert board.approach_at(43) and board.panel["steer"].approach.value == 45 and board.state.approach_deg == 43


def test_a_rule_that_breaks_leaves_the_last_good_picture(worked: Situation) -> None:
    def choosy(situation: Situation) -> str:
        return {"5": "9"}[situation.on_ball]

    board = Board(worked, Rulebook().with_rules(choose_presser=choosy))
    assert not board.move("ball", "", (27, -30)) and "choose_presser" in board.panel.complaint.text
    assert board.situation == worked and board.panel.words.text.startswith(board.plan.words)


@pytest.mark.parametrize("end", [SystemExit, asyncio.CancelledError, GeneratorExit])
def test_a_rule_that_ends_everything_ends_nothing(worked: Situation, end: type[BaseException]) -> None:
    def choosy(situation: Situation) -> str:
        if situation.on_ball == "5":
            return "9"
        raise end("enough")

    board = Board(worked, Rulebook().with_rules(choose_presser=choosy))
    assert not board.move("ball", "", (27, -30)) and end.__name__ in board.panel.complaint.text
    assert board.situation == worked and board.move("pressing", "9", (20, 0)) and not board.complaint


def test_who_interrupts_a_rule_is_heard(worked: Situation) -> None:
    def interrupted(situation: Situation) -> str:
        if situation.on_ball == "5":
            return "9"
        raise KeyboardInterrupt

    board = Board(worked, Rulebook().with_rules(choose_presser=interrupted))
    with pytest.raises(KeyboardInterrupt):
        board.move("ball", "", (27, -30))
    assert board.situation == worked


def test_listeners_hear_every_change(board: Board) -> None:
    heard: list[str] = []
    board.on_change(lambda b: heard.append(b.plan.words))
    board.move("ball", "", (0, 0))
    board.undo()
    assert heard == [plan_press(board.situation.with_ball((0, 0))).words, board.plan.words]


def test_a_listener_that_fails_becomes_a_line_and_not_a_traceback(board: Board) -> None:
    def fail(_: Any) -> None:
        raise ValueError("<b>no</b>")

    board.on_change(fail)
    assert board.move("ball", "", (0, 0))
    assert "ValueError: <b>no</b>" in board.panel.complaint.text


def test_the_rulebook_of_the_lesson_is_used(worked: Situation) -> None:
    rulebook = Rulebook(Settings(steering="inside"))
    assert Board(worked, rulebook).plan.to_dict() == plan_press(worked, rulebook).to_dict()


def test_what_cannot_be_a_board_is_refused(worked: Situation) -> None:
    with pytest.raises(PressingError):
        Board(worked, layers=("rolls",))
    with pytest.raises(PressingError):
        Board("a picture")


def test_it_shows_itself_with_one_steady_line_of_text(board: Board) -> None:
    bundle = board._repr_mimebundle_()
    assert bundle["text/plain"] == repr(board) == (
        "Board of 11 against 11: Their 5 on the ball, high, near their box, left of centre")
    assert "application/vnd.jupyter.widget-view+json" in bundle


def test_hostile_numbers_never_become_markup(hostile: Situation) -> None:
    board = Board(hostile)
    board.move("pressing", "<b>9", (500, 0))
    assert "<b>" not in board.panel.table.value and "</svg>" not in board.panel.table.value
    assert "&lt;b&gt;9" in board.panel.table.value and "<b>9" in board.panel.complaint.text  # set as text


def test_one_player_a_side() -> None:
    ours, theirs = Player("1", "outfield", (0, 0)), Player("1", "outfield", (20, 0))
    board = Board(Situation(scene("worked scene").pitch, (ours,), (theirs,), (20, 0)))
    assert board.move("possession", "1", (20, 0.5)) and board.move("ball", "", (0, 0.3))
