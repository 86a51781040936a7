"""Undo and redo as a plain value."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from pressinglib.show.board_state import LIMIT, History

steps = st.lists(st.integers(0, 5), max_size=12)


@given(steps)
def test_undoing_everything_gives_the_first_picture_and_redoing_the_last(values: list[int]) -> None:
    history = end = History.of(-1)
    for value in values:
        history = end = end.then(value)
    while history.past:
        history = history.go(-1)
    assert history.now == -1
    while history.future:
        history = history.go(1)
    assert (history.first, history.states) == (end.first, end.states)


def test_a_new_step_forgets_what_was_undone() -> None:
    assert History.of("a").then("b").go(-1).then("c").go(1).now == "c"


def test_a_step_to_the_same_is_none() -> None:
    assert History.of("a").then("a").past == ()


def test_sliding_is_one_step_and_a_move_between_ends_it() -> None:
    slid = History.of(0).then(1, "angle").then(2, "angle")
    assert slid.past == (0,)
    assert slid.then(3).then(4, "angle").past == (0, 2, 3)
    assert slid.go(-1).then(5, "angle").past == (0,)


def test_reset_can_be_undone() -> None:
    forth = History.of("a").then("b")
    reset = forth.then(forth.first)
    assert (reset.now, reset.go(-1).now) == ("a", "b")


def test_old_steps_are_forgotten_and_the_first_is_not() -> None:
    history = History.of(-1)
    for step in range(LIMIT + 50):
        history = history.then(step)
    assert len(history.past) == LIMIT
    assert history.first == -1
