"""Laws of any sequence: what is always there, and what changes nothing."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from pressinglib.field.pitch import OUTSIDE_M
from pressinglib.field.situation import Situation
from pressinglib.play import Sequence, simulate
from tests.play.conftest import actions_in, mirrored
from tests.play.stories import EVENT_KINDS
from tests.plugin import examples

TOP_MPS = 7.8
some = examples(8)
Pictures = st.SearchStrategy[Situation]
MANNERS = st.fixed_dictionaries({
    "attackers": st.sampled_from(["stay", "seek"]), "late_s": st.sampled_from([0.0, 0.4]),
    "just_lost": st.booleans()})


def check_always(sequence: Sequence) -> None:
    """What holds for every sequence."""
    frames, count = sequence.frames, len(sequence)
    assert count == len(sequence.decided) == len(sequence.pressure_s) == len(sequence.danger)
    np.testing.assert_allclose(np.diff(sequence.times), sequence.options.step_s)
    assert np.isfinite(sequence.danger).all() and (sequence.pressure_s >= 0).all()
    assert frames.pitch.holds(frames.ball_xy, OUTSIDE_M).all()
    for xy, velocity in ((frames.pressing_xy, frames.pressing_velocity),
                         (frames.possession_xy, frames.possession_velocity)):
        assert frames.pitch.holds(xy, OUTSIDE_M).all()
        speed = np.hypot(velocity[..., 0], velocity[..., 1])
        assert (speed <= np.maximum(speed[0], TOP_MPS) + 1e-9).all()
        stride_m = np.hypot(*np.moveaxis(np.diff(xy, axis=0), -1, 0))
        fastest = np.maximum(speed[:-1], speed[1:]) * sequence.options.step_s
        assert (stride_m <= fastest + 0.08).all()  # from the corner 3 m off the pitch to 2.95 m it is 0.07 m
    assert len(sequence.situations) == len(sequence.plans) == count
    kinds, moments = [e.kind for e in sequence.events], [e.time_s for e in sequence.events]
    assert set(kinds) <= set(EVENT_KINDS) and moments == sorted(moments)
    assert all(0 <= t <= sequence.times[-1] + 1e-9 for t in moments)


@some
@given(data=st.data(), manner=MANNERS)
def test_any_picture_with_any_actions_is_a_sequence(data: st.DataObject, pictures: Pictures, manner: dict) -> None:
    picture = data.draw(pictures)
    check_always(simulate(picture, data.draw(actions_in(picture)), duration_s=2, **manner))


def same(one: Sequence, other: Sequence, flip: tuple[float, float] = (1.0, 1.0)) -> None:
    """The same places and events."""
    assert [(e.kind, e.pressing, e.possession) for e in one.events] == [
        (e.kind, e.pressing, e.possession) for e in other.events]
    np.testing.assert_allclose([e.time_s for e in one.events], [e.time_s for e in other.events], atol=1e-6)
    assert len(one) == len(other)
    np.testing.assert_allclose(one.frames.ball_xy * flip, other.frames.ball_xy, atol=1e-6)
    for team in ("pressing", "possession"):
        a, b = (dict(zip(getattr(q.frames, f"{team}_numbers"),
                         np.moveaxis(getattr(q.frames, f"{team}_xy"), 1, 0), strict=True)) for q in (one, other))
        for number in a:
            np.testing.assert_allclose(a[number] * flip, b[number], atol=1e-6)
    np.testing.assert_allclose(one.danger, other.danger, atol=1e-6)


@some
@given(data=st.data(), manner=MANNERS)
def test_the_mirrored_sequence_mirrors(data: st.DataObject, told_apart: Pictures, manner: dict) -> None:
    picture = data.draw(told_apart)
    actions = data.draw(actions_in(picture))
    one = simulate(picture, actions, duration_s=2, **manner)
    same(one, simulate(picture.mirrored(), [mirrored(a) for a in actions], duration_s=2, **manner), (1.0, -1.0))


@some
@given(data=st.data(), manner=MANNERS)
def test_order_of_players_changes_nothing(data: st.DataObject, told_apart: Pictures, manner: dict) -> None:
    picture = data.draw(told_apart)
    actions = data.draw(actions_in(picture))
    mixed = replace(picture, pressing=tuple(data.draw(st.permutations(picture.pressing))),
                    possession=tuple(data.draw(st.permutations(picture.possession))))
    same(simulate(picture, actions, duration_s=2, **manner), simulate(mixed, actions, duration_s=2, **manner))


@examples(4)
@given(data=st.data(), seed=st.none() | st.integers(0, 9))
def test_the_same_question_gets_the_same_answer(data: st.DataObject, pictures: Pictures, seed: int | None) -> None:
    picture = data.draw(pictures)
    actions = data.draw(actions_in(picture))
    one, other = (simulate(picture, actions, duration_s=2, seed=seed) for _ in range(2))
    same(one, other)
    assert one.events == other.events and list(one.table()) == list(other.table())
