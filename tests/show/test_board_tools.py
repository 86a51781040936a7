"""What a board can do beside dragging: run, compare, draw, scenes, view, settings; no browser needed."""

from __future__ import annotations

import asyncio
import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from pressinglib import PressingError, Situation
from pressinglib.field.scene_file import OwnMark, SceneFile, load_scene, load_session, save_session, scene
from pressinglib.play.price import choices
from pressinglib.show.board import CONTROLS, Board
from pressinglib.show.drawers import role_table
from pressinglib.show.drawing import draw_situation
from pressinglib.show.marks import Token
from pressinglib.show.playback import FRAME_S, Runs
from tests.show.conftest import clocked

ALL = tuple(name for name in CONTROLS if name != "play")  # that one needs a sequence


@pytest.fixture
def board(worked: Situation) -> Board:
    return Board(worked, controls=ALL, settings=("steering", "short_pass_m"))


def layers(board: Board) -> set[str]:
    return {mark.layer for mark in board.drawing.marks}


# -- the run to the plan -----------------------------------------------------------------------------------------------

def test_a_run_ends_at_the_spots_and_is_one_step(board: Board, worked: Situation) -> None:
    targets = {n: job.target_xy for n, job in board.plan.assignments.items()}
    board.panel["run"].button.click()  # nobody watches here: over at once
    assert board.run is None
    for number, target in targets.items():
        assert board.situation.player("pressing", number).xy == pytest.approx(tuple(target), abs=0.05)
    assert board.plan.situation == worked and board.panel.words.text.startswith("Everybody has arrived. ")
    assert board.undo() and board.situation == worked and board.panel.words.text.startswith(board.plan.words)


def during_a_run(board: Board, act: Any, after_s: float = 0.8) -> Any:
    """What `act(board)` gives after some time of running."""

    async def watch() -> Any:
        board.run_to_plan()
        await asyncio.sleep(after_s)
        return act(board)

    return clocked(watch())


def test_a_run_is_shown_in_true_time_with_ghosts_and_words(board: Board) -> None:
    def look(board: Board) -> tuple[float, set[str], str]:
        return board.run.time_s, layers(board), board.panel.words.text

    runs = Runs(board.plan)
    time_s, shown, words = during_a_run(board, look, 0.9)
    assert time_s == pytest.approx(0.9, abs=FRAME_S)
    assert "start" in shown and words.startswith("Running: 1 of ")
    assert json.loads(board.canvas.picture)  # the whole picture still stands behind the players that moved
    nine = board.situation.player("pressing", "9").xy
    assert nine == pytest.approx(runs.at(board.run.time_s).player("pressing", "9").xy, abs=1e-9)


def test_a_paused_run_stands_still_and_goes_on(board: Board) -> None:
    async def watch() -> list[float]:
        board.run_to_plan()
        await asyncio.sleep(0.2)
        board.run_to_plan()
        at = [board.run.time_s]
        assert board.panel["run"].button.description == "Run on"
        await asyncio.sleep(0.15)
        at.append(board.run.time_s)
        board.run_to_plan()
        await asyncio.sleep(0.2)
        at.append(board.run.time_s)
        return at

    first, second, third = clocked(watch())
    assert 0 < first == second < third


@pytest.mark.parametrize("act", [
    lambda b: b.move("pressing", "2", (-20, -20)), lambda b: b.carry("pressing", "2", (-20, -20)),
    lambda b: b.steer_to("right"), lambda b: b.mirror(), lambda b: b.draw_freehand("note", [(0, 0)], "here"),
    lambda b: b.new_scene("next")])
def test_whatever_happens_during_a_run_ends_it_where_it_is(board: Board, worked: Situation, act: Any) -> None:
    def stop(board: Board) -> Situation:
        here = board.situation
        assert act(board)
        assert board.run is None
        return here

    here = during_a_run(board, stop)
    assert here != worked
    sheet = board.scenes[0]
    assert here in [moment.situation for moment in (*sheet.past, sheet.now)]
    assert worked in [moment.situation for moment in sheet.past]


def test_undo_during_a_run_takes_the_run_back(board: Board, worked: Situation) -> None:
    assert during_a_run(board, lambda b: b.undo())
    assert board.situation == worked and board.run is None


# -- rules -------------------------------------------------------------------------------------------------------------

def test_two_moves_of_a_slider_are_two_steps_to_undo(board: Board, monkeypatch: pytest.MonkeyPatch) -> None:
    clock_s = [100.0]
    monkeypatch.setattr("pressinglib.show.board_model.monotonic", lambda: clock_s[0])
    for metres, pause_s in ((16.0, 0.0), (17.0, 0.1), (20.0, 5.0), (21.0, 0.1)):
        clock_s[0] += pause_s
        board.set(short_pass_m=metres)
    assert board.undo() and board.rulebook.settings.short_pass_m == 17.0
    assert board.undo() and not board.history.past


def test_a_line_of_confrontation_is_set_and_taken_away(worked: Situation) -> None:
    board = Board(worked, settings=("confrontation_x_m",))
    slider = board.panel["rules"].settings["confrontation_x_m"]
    assert slider.value == "everywhere"
    slider.value = 17.5
    assert board.rulebook.settings.confrontation_x_m == 17.5 and not board.complaint
    assert board.set(confrontation_x_m=16.9) and slider.value == 17.5  # the nearest that the slider has
    assert board.rulebook.settings.confrontation_x_m == 16.9
    slider.value = "everywhere"
    assert board.rulebook.settings.confrontation_x_m is None


def test_the_run_rests_when_everybody_has_arrived(board: Board) -> None:
    runner = board.panel["run"]
    assert not runner.button.disabled
    board.run_to_plan()
    assert runner.button.disabled
    nine = board.place_of("pressing", "9")
    board.move("pressing", "9", (nine[0] - 3.0, nine[1]))
    assert not runner.button.disabled


def test_players_stand_in_the_menu_in_order_of_their_numbers(board: Board) -> None:
    names = [name for name, _ in board.panel["move"].who.options]
    assert names[1:12] == [f"pressing {n}" for n in range(1, 12)]
    assert names[12:] == [f"in possession {n}" for n in range(1, 12)]


def test_a_setting_is_one_step_to_undo_however_far_its_slider_went(board: Board) -> None:
    slider = board.panel["rules"].settings["short_pass_m"]
    for value in (20.0, 18.0, 16.0):
        slider.value = value
    assert board.rulebook.settings.short_pass_m == board.plan.rulebook.settings.short_pass_m == 16.0
    assert board.undo() and board.rulebook.settings.short_pass_m == slider.value == 25.0


@pytest.mark.parametrize("wrong", [{"controls": ("lever",)}, {"settings": ("speed_of_light",)},
                                   {"settings": ("approach_limits_deg",)}])
def test_a_control_or_setting_that_does_not_exist_is_refused(worked: Situation, wrong: dict[str, Any]) -> None:
    with pytest.raises(PressingError):
        Board(worked, **wrong)


# -- the view ----------------------------------------------------------------------------------------------------------

def test_the_view_changes_shirts_unit_and_side_and_no_history(board: Board) -> None:
    view = board.panel["view"]
    view.portrait.value, view.names.value, view.unit.value = True, "none", "yards"
    assert board.view.upright and (board.view.names, board.view.unit) == ("none", "yards")
    assert ("", "1") in {(one.words, one.number) for one in board.canvas.shapes.groups["tokens"]}
    left, right, low, high = json.loads(board.canvas.picture)["frame"]
    assert high - low > right - left
    view.part.value = "attacking half"
    assert json.loads(board.canvas.picture)["frame"][2] > low and board.view.part == "attacking half"
    assert not board.history.past


def test_one_drawer_is_open_at_a_time(board: Board) -> None:
    keys, panel = board.panel.toggles, board.panel
    keys["View"].value = True
    assert panel["view"].widget.layout.display is None and panel["draw"].widget.layout.display == "none"
    keys["Draw"].value = True
    assert panel["draw"].widget.layout.display is None and not keys["View"].value
    assert panel["view"].widget.layout.display == "none"
    keys["Draw"].value = False
    assert panel["draw"].widget.layout.display == "none"


def test_a_choice_is_shown_as_ghosts_until_the_picture_changes(board: Board, worked: Situation) -> None:
    found = choices(worked, copies=8)
    spots = found.spots[found.names.index("drop")]
    board.show_choice(spots)
    ghosts = {m.number: m.xy for m in board.drawing.marks if m.layer == "choice" and isinstance(m, Token)}
    assert ghosts == {p.number: tuple(xy) for p, xy in zip(worked.pressing, spots.tolist(), strict=True)}
    assert "where the choice sends him" in board.canvas.picture
    board.show_choice()
    assert "choice" not in layers(board)
    board.show_choice(spots)
    assert board.move("pressing", "9", (10, 10)) and "choice" not in layers(board)


def test_his_own_top_speed_stands_at_a_player(worked: Situation) -> None:
    fast = replace(worked.possession[0], top_speed_mps=9.2)
    drawing = draw_situation(replace(worked, possession=(fast, *worked.possession[1:])))
    assert [m.words for m in drawing.marks if m.layer == "speed"] == ["9.2"]
    assert any("top speed" in words for _, words in drawing.legend())
    assert not any("top speed" in words for _, words in draw_situation(worked).legend())


def test_a_hand_that_carries_leaves_a_ghost_until_it_lets_go(board: Board) -> None:
    frame = json.loads(board.canvas.picture)["frame"]
    assert board.carry("pressing", "9", (10, 10)) and "start" in layers(board)
    assert json.loads(board.canvas.picture)["frame"] == frame and "where he was" not in board.canvas.picture
    assert board.move("pressing", "9", (10, 10)) and "start" not in layers(board)


def test_the_table_follows_a_hand_now_and_then_and_is_right_when_it_lets_go(board: Board) -> None:
    tables = set()
    for step in range(10):
        assert board.carry("pressing", "9", (20.0 - step, 5.0))
        tables.add(board.panel.table.value)
    assert board.move("pressing", "9", (5.0, 5.0))
    assert board.panel.table.value == role_table(board.plan) and len(tables) < 10


# -- drawing -----------------------------------------------------------------------------------------------------------

def sketch(board: Board, kind: str, points: list[tuple[float, float]], words: str = "") -> None:
    """As the page tells it."""
    pens = board.panel["draw"]
    pens.tool.value, pens.words.value = kind, words
    board.canvas._heard(None, {"kind": "drawn", "points": points}, [])


def test_a_hand_draws_and_removes(board: Board) -> None:
    sketch(board, "arrow", [(0, 0), (5, 4), (10, 0)], "run")
    sketch(board, "zone", [(0, 0), (10, 5)])
    sketch(board, "ruler", [(0, 0), (1, 1), (3, 4)])
    sketch(board, "note", [(7, 7)], "wait")
    assert [mark.kind for mark in board.state.marks] == ["arrow", "zone", "ruler", "note"]
    assert board.state.marks[0].points == ((0.0, 0.0), (5.0, 4.0), (10.0, 0.0)) and "own" in layers(board)
    assert board.state.marks[1].points == ((0.0, 0.0), (10.0, 0.0), (10.0, 5.0), (0.0, 5.0))  # a rectangle
    pens = board.panel["draw"]
    pens.mine.value = 1
    pens.remove.click()
    assert [mark.kind for mark in board.state.marks] == ["arrow", "ruler", "note"]
    assert board.undo() and len(board.state.marks) == 4
    for left in (3, 2, 1, 0):  # the newest first, without choosing
        pens.remove.click()
        assert len(board.state.marks) == left and not board.complaint
    assert pens.remove.disabled


def test_numbers_draw_as_well_as_hands(board: Board) -> None:
    pens = board.panel["draw"]
    pens.add.click()
    assert "Choose what to draw" in board.panel.complaint.text
    pens.tool.value = "ruler"
    pens.ends["to x"].value, pens.ends["to y"].value = 3.0, 4.0
    pens.add.click()
    assert board.state.marks == (OwnMark("ruler", [(0, 0), (3, 4)]),) and not board.panel.complaint.text


def test_too_little_and_notes_without_words_are_refused_in_words(board: Board) -> None:
    sketch(board, "arrow", [(0, 0), (0.1, 0)])
    assert "Too short" in board.panel.complaint.text
    sketch(board, "note", [(0, 0)])
    assert "Write the words" in board.panel.complaint.text
    assert not board.state.marks and not board.history.past


def test_a_trembling_hand_never_draws_more_than_a_file_takes(board: Board) -> None:
    sketch(board, "arrow", [(x / 10, (x % 2) * 3.0) for x in range(400)])
    assert 2 <= len(board.state.marks[0].points) <= 50


def test_marks_are_mirrored_and_drawn_upright(worked: Situation) -> None:
    board = Board(worked, controls=ALL, portrait=True)
    sketch(board, "ruler", [(-5.0, 10.0), (-5.0, 20.0)])
    assert board.state.marks[0].points == ((10.0, 5.0), (20.0, 5.0))
    assert board.mirror() and board.state.marks[0].points == ((10.0, -5.0), (20.0, -5.0))


# -- scenes ------------------------------------------------------------------------------------------------------------

def test_scenes_keep_their_own_undo(board: Board, worked: Situation) -> None:
    drawer = board.panel["scenes"]
    assert board.move("pressing", "9", (10, 10))
    drawer.new.click()
    assert drawer.where.value == "2 of 2" and board.situation.player("pressing", "9").xy == (10.0, 10.0)
    assert not board.undo() and board.move("pressing", "9", (0, 0))
    drawer.earlier.click()
    assert board.undo() and board.situation == worked and drawer.where.value == "1 of 2"
    drawer.later.click()
    assert board.situation.player("pressing", "9").xy == (0.0, 0.0) and drawer.later.disabled
    drawer.remove.click()
    assert drawer.where.value == "1 of 1" and board.situation == worked and drawer.remove.disabled


def test_what_is_saved_comes_back_with_titles_and_marks(board: Board, worked: Situation, tmp_path: Path) -> None:
    drawer, path = board.panel["scenes"], tmp_path / "tuesday.json"
    drawer.name.value, drawer.file.value = "First", str(path)
    board.draw_freehand("arrow", [(0, 0), (5, 5)])
    assert board.reset() and drawer.name.value == "First" and board.undo()
    drawer.save.click()
    assert load_scene(path) == SceneFile(worked, "First", "", board.state.marks) and "Saved 1" in drawer.said.value
    drawer.new.click()
    drawer.save.click()
    assert [part.title for part in load_session(path)] == ["First", ""]
    fresh = Board(scene("low block"), controls=ALL)
    assert fresh.open(str(path))
    assert fresh.situation == worked and fresh.state.marks == board.state.marks
    assert fresh.panel["scenes"].where.value == "1 of 2" and fresh.panel["scenes"].name.value == "First"


def test_opening_loses_nothing(board: Board, worked: Situation, tmp_path: Path) -> None:
    path = save_session([SceneFile(scene("low block"), "Low")], tmp_path / "low.json")
    board.move("pressing", "9", (10, 10))
    assert board.open(str(path)) and board.situation == scene("low block")
    assert board.turn(-1) and board.situation.player("pressing", "9").xy == (10.0, 10.0)
    assert not board.open(str(tmp_path / "none.json")) and "no such file" in board.panel.complaint.text
    assert len(board.scenes) == 2


# -- keys and the page -------------------------------------------------------------------------------------------------

def test_keys_step_whoever_was_pointed_at(board: Board) -> None:
    say = board.canvas._heard
    say(None, {"kind": "choose", "team": "pressing", "number": "9"}, [])
    assert board.panel["move"].who.value == ("pressing", "9") and board.canvas.chosen["number"] == "9"
    for _ in range(3):
        say(None, {"kind": "step", "way": [-1, 0], "far": False, "held": True}, [])
    say(None, {"kind": "step", "way": [0, 1], "far": True, "held": False}, [])
    assert board.situation.player("pressing", "9").xy == (25.5, 3.0)
    assert board.undo() and board.undo() and not board.undo()


def test_the_answer_names_the_turn_it_answers_even_where_it_refuses(board: Board) -> None:
    for x, turn in ((20.0, 1), (200.0, 2)):
        board.canvas._heard(None, {"kind": "carry", "team": "pressing", "number": "9", "x": x, "y": 0.0, "done": True,
                                   "turn": ["7", turn]}, [])
        assert json.loads(board.canvas.picture)["answers"] == {"7": turn}


def test_two_on_one_spot_are_refused_and_the_ball_is_not(board: Board, worked: Situation) -> None:
    assert not board.move("pressing", "9", worked.player("pressing", "10").xy)
    assert "pressing 10 stands" in board.panel.complaint.text and board.situation == worked
    assert board.move("ball", "", worked.player("pressing", "10").xy)


def test_a_closed_board_frees_its_widgets_and_comes_back(worked: Situation) -> None:
    from ipywidgets.widgets.widget import _instances

    Board(worked).close()  # what all boards share is made with the first
    before = len(_instances)
    board = Board(worked)
    board.move("pressing", "9", (10, 10))
    board.close()
    assert len(_instances) == before
    board._repr_mimebundle_()
    assert len(_instances) > before and board.panel["steps"].undo.disabled is False
    assert board.move("pressing", "9", (12, 12))
    board.close()
