"""What is left on the table: laws of the search, and that its arithmetic is that of a reference."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from scipy import stats

from pressinglib import PressingError, improve, plan_press, scene
from pressinglib.play import price
from pressinglib.play.play_out import PlayOut
from pressinglib.play.price import DUTY_M, FREE_M, _line
from pressinglib.roles.picture import toward
from pressinglib.roles.settings import ROLES

COPIES = 8


@pytest.fixture(scope="module")
def found() -> Any:
    return improve(scene("build-up left"), copies=COPIES)


def test_nobody_leaves_his_duty(found: Any) -> None:
    plan = plan_press(scene("build-up left"))
    for number, was, now in zip(found.numbers, found.plan_xy, found.better_xy, strict=True):
        most = DUTY_M[ROLES.index(plan.assignments[number].role)]
        assert np.hypot(*(now - was)) <= most + 1e-9 < FREE_M


def test_everybody_can_be_there_in_two_seconds(found: Any) -> None:
    s = scene("build-up left")
    law = plan_press(s).rulebook.settings.running
    for player, to in zip(s.pressing, found.better_xy, strict=True):
        assert law.time(player.xy, player.velocity, to, 0.3) <= 2.0 + 1e-6


def test_the_same_seed_the_mirror_and_another_seed(found: Any) -> None:
    again, mirrored, other = (improve(s, copies=COPIES, seed=seed) for s, seed in (
        (scene("build-up left"), 0), (scene("build-up left").mirrored(), 0), (scene("build-up left"), 5)))
    np.testing.assert_array_equal(again.better_xy, found.better_xy)
    np.testing.assert_allclose(mirrored.better_xy * (1, -1), found.better_xy, atol=1e-6)
    np.testing.assert_allclose(*([[one.value, one.low, one.high] for one in of.worth] for of in (mirrored, found)),
                               atol=1e-6)
    assert not np.array_equal(other.better_xy, found.better_xy)


def test_it_is_worth_what_games_say_that_the_search_has_not_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    luck: list[int] = []
    monkeypatch.setattr(price, "PlayOut", lambda *of: luck.append(of[2]) or PlayOut(*of))
    improve(scene("build-up left"), copies=COPIES, seed=4)
    assert len(luck) == 2 * price.ROUNDS + 1 and luck[-1] not in luck[:-1]


def test_slopes_and_their_errors_are_those_of_a_reference_library() -> None:
    """scipy.stats.linregress, for one variable."""
    chance = np.random.default_rng(1)
    x = chance.normal(size=200)
    came = 0.3 * x + chance.normal(size=200)
    slope, spread = _line(x[:, None], came)
    theirs = stats.linregress(x, came)
    np.testing.assert_allclose([slope[0], spread[0]], [theirs.slope, theirs.stderr], rtol=1e-9)


def test_several_slopes_are_found_at_once() -> None:
    chance = np.random.default_rng(2)
    x = chance.normal(size=(4000, 5))
    true = np.array([0.5, 0.0, -0.2, 0.0, 1.0])
    slope, spread = _line(x, x @ true + chance.normal(size=4000))
    assert (np.abs(slope - true) < 4 * spread).all() and spread == pytest.approx(1 / np.sqrt(4000), rel=0.1)


@pytest.mark.full
def test_more_games_have_narrower_intervals() -> None:
    """Eight times as many: by the root of eight, within a half, for the shapes that are found differ."""
    wide, narrow = (one.gain.high - one.gain.low for one in (improve(scene("low block"), copies=n) for n in (8, 64)))
    assert narrow / wide == pytest.approx(8**-0.5, rel=0.5)


def test_offsets_are_kept_within_their_radius() -> None:
    near = toward(np.zeros(2), np.array([[3.0, 4.0], [0.3, 0.4], [1.0, 0.0]]), np.array([2.5, 2.5, 0.0]))
    np.testing.assert_allclose(near, [[1.5, 2.0], [0.3, 0.4], [0.0, 0.0]])


def test_read_as_a_table(found: Any) -> None:
    assert repr(found).startswith("In this model") and "<table>" in found._repr_html_()
    together, duties = found.notes
    assert price.TELLS[found.gain.sign] in together and "cost" in duties and "best" not in repr(found)


@pytest.mark.parametrize(("values", "says"), [
    ({"copies": 3}, "copies"), ({"lead": 1.5}, "lead"), ({"seed": -1}, "seed"), ({"rulebook": "stock"}, "Rulebook"),
    ({"situation": scene("worked scene").with_ball((0, 0))}, "one of theirs on the ball")])
def test_bad_questions_are_answered_in_words(values: dict[str, Any], says: str) -> None:
    with pytest.raises(PressingError, match=says):
        improve(**{"situation": scene("worked scene"), "copies": 8, **values})
