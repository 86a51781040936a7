"""A sequence on a board: play, wind, step, take up anew."""

from __future__ import annotations

import asyncio
import json
from typing import Any

import pytest

from pressinglib import PressingError, Situation, simulate
from pressinglib.play import Pass, Sequence
from pressinglib.show.board import Board
from pressinglib.show.board_state import SequenceAt, blended
from pressinglib.show.playback import FRAME_S
from pressinglib.show.sequence_board import SequenceBoard
from tests.show.conftest import clocked


@pytest.fixture(scope="module")
def sequence() -> Sequence:
    from pressinglib.field.scene_file import scene

    return simulate(scene("worked scene"), [Pass("4", at_s=0.5), Pass("3", at_s=2.0)], duration_s=3.0)


@pytest.fixture
def board(sequence: Sequence) -> SequenceBoard:
    return SequenceBoard(sequence)


def watched(board: SequenceBoard, seconds: float) -> list[float]:
    """The times that were shown while it played for some time."""
    times: list[float] = []

    async def watch() -> None:
        board.on_change(lambda b: times.append(b.state.sequence_at.time_s))
        board.panel["play"].play.click()
        await asyncio.sleep(seconds)

    clocked(watch())
    board.playback.pause()
    return times


def test_it_begins_at_the_beginning_and_tells_what_happens_as_far_as_it_was_watched(
        board: SequenceBoard, sequence: Sequence) -> None:
    bar, told = board.panel["play"].bar, board.panel["play"].told
    assert board.situation == sequence.situations[0] and board.plan is sequence.plans[0]
    assert board.panel["play"].back.disabled and not board.panel["play"].on.disabled
    for time_s, watched_s in ((0.0, 0.0), (1.3, 1.3), (0.6, 1.3), (bar.lasts_s, bar.lasts_s)):
        board.wind(time_s)
        assert bar.events == [[e.time_s, e.words] for e in sequence.events if e.time_s <= watched_s]
        assert told.text.splitlines() == [f"{n}. {e.time_s:.1f} s: {e.words}" for n, e in
                                          enumerate(sequence.events, start=1) if e.time_s <= time_s]
    assert len(bar.events) == len(sequence.events) > 1 and bar.lasts_s == sequence.times[-1]


@pytest.mark.parametrize("time_s", [0.0, 0.6, 1.3, 3.0])
def test_wound_to_a_time_it_shows_that_moment_and_its_words(board: SequenceBoard, sequence: Sequence,
                                                            time_s: float) -> None:
    board.panel["play"].bar.asked = [1, time_s]
    here = sequence.at(time_s)
    assert board.situation == here.situation and board.plan is here.plan
    assert board.panel["play"].bar.time_s == pytest.approx(time_s)
    words = board.panel.words.text
    assert words == f"{time_s:.1f} s. {here.plan.words}"
    assert not board.history.past


def test_steps_go_from_moment_to_moment_and_stop_at_the_ends(board: SequenceBoard, sequence: Sequence) -> None:
    board.panel["play"].on.click()
    assert board.situation == sequence.situations[1]
    board.panel["play"].back.click()
    board.step_time(-1)
    assert board.situation == sequence.situations[0]
    board.step_time(1000)
    assert board.situation == sequence.situations[-1] and board.panel["play"].on.disabled


def test_it_plays_in_true_time_and_pauses(board: SequenceBoard) -> None:
    times = watched(board, 0.8)
    assert times == sorted(times) and times[-1] == pytest.approx(0.8, abs=FRAME_S)
    assert board.panel.words.live is False or not board.playback.playing


def test_half_speed_is_half_as_fast(board: SequenceBoard) -> None:
    board.panel["play"].speed.value = 0.5
    assert watched(board, 0.8)[-1] == pytest.approx(0.4, abs=FRAME_S)


def test_a_moved_player_stands_there_and_the_rest_is_played_anew(board: SequenceBoard, sequence: Sequence) -> None:
    board.wind(1.0)
    x, y = board.situation.player("pressing", "9").xy
    assert board.move("pressing", "9", (x - 3, y + 2))
    take = board.state.sequence_at
    assert take.from_s == 1.0 and take.time_s == 0.0 and take.sequence is not sequence
    assert board.situation.player("pressing", "9").xy == (x - 3, y + 2)
    assert take.lasts_s == pytest.approx(2.0) and board.panel["play"].bar.lasts_s == pytest.approx(2.0)
    assert board.panel.words.text.startswith("1.0 s.")
    assert board.undo() and board.state.sequence_at == SequenceAt(sequence, 1.0) and board.playback.lasts_s == 3.0
    assert board.redo() and board.state.sequence_at.sequence is take.sequence
    assert board.reset() and board.state.sequence_at == SequenceAt(sequence, 0.0)


def test_nobody_is_moved_where_it_could_not_be_taken_back(board: SequenceBoard, sequence: Sequence) -> None:
    assert not board.canvas.pick and SequenceBoard(sequence, controls=("play",)).canvas.pick == {"ids": []}


def test_a_hand_that_carries_changes_no_sequence_until_it_lets_go(board: SequenceBoard, sequence: Sequence) -> None:
    board.wind(1.0)
    assert board.carry("pressing", "9", (10, 10)) and board.state.sequence_at.sequence is sequence
    assert board.plan.situation == board.situation
    assert not board.move("pressing", "9", (500, 0)) and board.situation == sequence.at(1.0).situation


def test_a_drag_stops_what_plays(board: SequenceBoard) -> None:
    async def watch() -> None:
        board.play_or_pause()
        await asyncio.sleep(0.3)
        assert board.move("pressing", "9", (10, 10)) and not board.playback.playing
        shown = board.state.sequence_at.time_s
        await asyncio.sleep(0.2)
        assert board.state.sequence_at.time_s == shown

    clocked(watch())


def test_other_rules_play_the_rest_anew(board: SequenceBoard) -> None:
    board.wind(1.0)
    assert board.set(pressers="anyone") and board.state.sequence_at.sequence.rulebook.settings.pressers == "anyone"
    assert board.state.sequence_at.from_s == 1.0


def test_a_sequence_is_not_mirrored_and_a_picture_not_played(board: SequenceBoard, worked: Situation) -> None:
    assert not board.mirror() and "cannot be mirrored" in board.panel.complaint.text
    with pytest.raises(PressingError):
        Board(worked, controls=("play",))


def test_between_two_moments_everybody_is_on_his_way(sequence: Sequence) -> None:
    now, then = sequence.situations[10], sequence.situations[11]
    half = blended(now, then, 0.5)
    for team in ("pressing", "possession"):
        for player in half.players(team):
            a, b = now.player(team, player.number).xy, then.player(team, player.number).xy
            assert player.xy == pytest.approx(((a[0] + b[0]) / 2, (a[1] + b[1]) / 2))


def test_what_the_page_gets_while_it_plays_is_players_only(board: SequenceBoard, monkeypatch: Any) -> None:
    sent: list[Any] = []
    monkeypatch.setattr(board.canvas, "send", sent.append)
    board.playback.playing = True
    board.wind(0.05)
    assert [list(message) for message in sent] == [["leaders", "tokens"]]
    assert json.loads(board.canvas.picture)["groups"]["tokens"] != sent[0]["tokens"]
