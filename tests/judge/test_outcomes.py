"""What must be true of the games played on, whoever plays; the figures: python -m tests.judge outcomes."""

from __future__ import annotations

import numpy as np
import pytest

from pressinglib.data import Tracking
from tests.judge.attack import MIDDLE, STRONG, WEAK, norm
from tests.judge.frames import match
from tests.judge.openings import KINDS, NUMBERS, Openings, counter_attack, openings
from tests.judge.outcomes import (
    BASELINES,
    MAN_LED,
    NEAREST,
    SHIFT,
    STAND,
    interval,
    plan,
    played,
    really,
    share,
    zones,
)
from tests.judge.playout import Outcome, Play, play


@pytest.fixture(scope="module")
def tracking() -> Tracking:
    return match()


@pytest.fixture(scope="module")
def some(tracking: Tracking) -> Openings:
    """76 openings of all kinds."""
    return openings(tracking, each_scene=1, of_match=24)


def _same(a: Outcome, b: Outcome) -> bool:
    return all(np.array_equal(getattr(a, name), getattr(b, name)) for name in ("value", "won", "metres", "outplayed"))


def test_openings_are_of_all_kinds_and_whole(some: Openings) -> None:
    assert len(some) == 76 and set(some.kind) == set(range(len(KINDS)))
    assert np.isfinite(some.opp).all() and (np.isfinite(some.own[..., 0]).sum(1) >= 10).all()
    ball_m = norm(some.opp[np.arange(len(some)), some.carrier] - some.ball)
    assert ball_m.max() < 1.6


@pytest.mark.parametrize(("attackers", "defenders"), NUMBERS)
def test_a_counter_attack_has_the_numbers_of_its_name(attackers: int, defenders: int) -> None:
    for way in ("left", "middle", "right"):
        s = counter_attack(attackers, defenders, way, 30.0)
        outfield = [q for q in s.pressing if not q.is_goalkeeper]
        assert sum(q.xy[0] < s.ball_xy[0] for q in outfield) == defenders
        assert sum(q.xy[0] < s.ball_xy[0] + 5.0 for q in s.possession) == attackers


def test_a_seed_gives_the_same_games_again_and_another_one_others(some: Openings) -> None:
    first, again, other = (play(some, BASELINES[NEAREST], MIDDLE, seed) for seed in (3, 3, 4))
    assert _same(first, again) and not _same(first, other)


def test_nobody_teleports(some: Openings) -> None:
    """In a tenth of a second nobody gets further than his top speed takes him, and the ball no further than a shot."""
    last: dict[str, np.ndarray] = {}

    def watch(games: Play) -> None:
        for name, most in (("own", 1.0), ("opp", 1.0), ("ball", 4.0)):
            now = np.array(getattr(games, name))
            if name in last:
                assert np.nanmax(norm(now - last[name])) < most
            last[name] = now

    play(some, BASELINES[MAN_LED], STRONG, 0, watch=watch)
    assert np.nanmax(norm(some.own_velocity)) < 10.0


def test_every_opening_is_of_one_zone(some: Openings) -> None:
    each = np.array(list(zones(some).values()))
    assert (each.sum(0) == 1).all() and each.any(1).all()


def test_a_share_lies_in_its_interval_and_is_the_other_way_round_the_other_way() -> None:
    ours, theirs = np.array([1.0, 2.0, 3.0, 4.0]), np.array([2.0, 5.0, 6.0, 7.0])
    what, low, high = share(ours, theirs)
    assert what == 0.5 and low < what < high and share(theirs, ours)[0] == 2.0


@pytest.mark.full
def test_left_and_right_are_alike(tracking: Tracking) -> None:
    """Chance differs, the picture does not: no difference that the bootstrap sees."""
    o = openings(tracking, each_scene=1, of_match=64)
    a, b = (played(x, BASELINES[NEAREST], MIDDLE, 3) for x in (o, o.mirrored()))
    for name in ("value", "won", "metres"):
        low, high = interval(np.asarray(getattr(a, name), float) - getattr(b, name))
        assert low < 0 < high, name


@pytest.mark.full
def test_more_able_attackers_keep_more_balls_and_concede_fewer_gifts(some: Openings) -> None:
    weak, middle, strong = (played(some, BASELINES[NEAREST], s, 3) for s in (WEAK, MIDDLE, STRONG))
    assert weak.won.mean() > middle.won.mean() > strong.won.mean()
    assert weak.value.mean() < strong.value.mean()


@pytest.mark.full
def test_standing_is_worst(some: Openings) -> None:
    stand = played(some, BASELINES[STAND], MIDDLE, 2)
    for name in (SHIFT, NEAREST, MAN_LED):
        other = played(some, BASELINES[name], MIDDLE, 2)
        assert other.value.mean() < stand.value.mean() and other.metres.mean() < stand.metres.mean()


def test_the_plan_is_far_above_standing(some: Openings) -> None:
    ours, stand = played(some, plan(), MIDDLE, 1), played(some, BASELINES[STAND], MIDDLE, 1)
    assert interval(stand.value - ours.value)[0] > 0


@pytest.mark.full
def test_what_really_followed_is_like_what_is_played(tracking: Tracking, some: Openings) -> None:
    """DFL; Bassek et al. 2025, 10.1038/s41597-025-04505-y, CC BY 4.0; common practice would be a wide band, too."""
    real = really(tracking, openings(tracking, each_scene=1, of_match=112).take(slice(16, 128)))
    assert len(real.won) == 112
    game = played(some.take(some.kind == 1), BASELINES[NEAREST], MIDDLE, 4)
    assert abs(real.won.mean() - game.won.mean()) < 0.2 and abs(real.metres.mean() - game.metres.mean()) < 6.0
