"""Bands of plausibility on 20 minutes of open match data: wide on purpose, a guard against nonsense, not a proof.

DFL; Bassek, Rein, Weber, Memmert 2025, 10.1038/s41597-025-04505-y, CC BY 4.0.
"""

import numpy as np
import pytest
from scipy.stats import mannwhitneyu

from tests.judge.duels import NAMERS, hits
from tests.judge.frames import match
from tests.match import block, lanes, sensitivity
from tests.match.passes import passes_of


@pytest.fixture(scope="module")
def tracking():
    return match()


@pytest.fixture(scope="module")
def passes(tracking):
    return [passes_of(tracking, side) for side in ("home", "away")]


@pytest.mark.parametrize("name", block.PUBLISHED)
def test_the_block_lies_within_a_published_deviation(tracking, name):
    """Forcher et al. 2024 (published); on average, and most frames within two deviations."""
    mean, deviation = block.PUBLISHED[name]
    for _, values in block.both(tracking):
        assert abs(values[name].mean() - mean) < deviation
        assert (np.abs(values[name] - mean) < 2 * deviation).mean() > 0.75


def test_the_five_nearest_stand_closer_than_the_team(tracking):
    for _, values in block.both(tracking):
        assert values["length of the five nearest"].mean() < values["length"].mean()
        assert values["width of the five nearest"].mean() < values["width"].mean()


def test_the_method_names_who_goes_more_often_the_later_it_is_asked(tracking):
    """Labelled duels; 0.92 and 0.71 were measured before, the intervals are about 0.25 wide."""
    shares = [k / n for k, n in (hits(tracking, lead, NAMERS["method, anyone"]) for lead in (0.5, 1.0, 2.0))]
    assert shares == sorted(shares, reverse=True)
    assert shares[0] > 0.75
    assert shares[1] > 0.55


def test_passes_are_as_many_and_as_good_as_passes_are(tracking, passes):
    """Common practice: a dozen or so a minute of play in all, four in five completed."""
    minutes = tracking.alive.mean() * (tracking.time_s[-1] - tracking.time_s[0]) / 60
    count = sum(map(len, passes))
    assert 8 < count / minutes < 25
    assert 0.65 < sum(p.completed.sum() for p in passes) / count < 0.92


@pytest.mark.parametrize("like_m", [np.inf, 5.0])
def test_completed_passes_run_in_open_lanes_more_often_than_others(passes, like_m):
    _, lead, least, _ = lanes.lead_of_used(*lanes.open_lanes(passes, like_m))
    assert lead > least > 0.0


@pytest.mark.parametrize("ground_only", [True, False])
def test_the_physics_lane_tells_more_than_guessing(passes, ground_only):
    value, failed = lanes.told(passes, "physics", ground_only)
    _, least, _ = lanes.balanced_accuracy(value >= lanes.BLOCKED["physics"][1], failed)
    assert least > 0.5
    assert lanes.ranked_right_interval(value, failed)[0] > 0.5


@pytest.mark.parametrize("rival", ["corridor", "cone"])
def test_the_physics_lane_tells_more_than_plain_shapes(passes, rival):
    """On the same ground passes; against coverage the data do not settle it, and no test says so."""
    for lead, least, most in lanes.lead_of_physics(passes, rival, ground_only=True):
        assert 0.0 < least < lead < most


def test_a_lead_is_the_difference_of_the_two_and_none_over_oneself(passes):
    failed = lanes.told(passes, "cone", ground_only=False)[1]
    right = [lanes.balanced_accuracy(lanes.told(passes, lane, False)[0] >= lanes.BLOCKED[lane][1], failed)[0]
             for lane in ("physics", "coverage")]
    assert lanes.lead_of_physics(passes, "coverage", ground_only=False)[0][0] == pytest.approx(right[0] - right[1])
    assert lanes.lead_of_physics(passes, "physics", ground_only=False) == ([0.0] * 3, [0.0] * 3)


def test_other_definitions_of_a_pass(tracking, passes):
    """The usual one gives the usual figures; a stricter one never has more passes."""
    usual, longer, narrower = (sensitivity.shares(tracking, *by) for by in ((5.0, 25.0), (8.0, 25.0), (5.0, 10.0)))
    value, failed = lanes.told(passes, "physics", ground_only=True)
    right = lanes.balanced_accuracy(value >= lanes.BLOCKED["physics"][1], failed)[0]
    assert usual[:3] == [failed.sum(), (~failed).sum(), pytest.approx(100.0 * right)]
    assert all(few <= many for strict in (longer, narrower) for few, many in zip(strict[:2], usual[:2], strict=True))


def test_ranks_by_scipy():
    random = np.random.default_rng(0)
    value, failed = random.integers(0, 6, 80).astype(float), random.random(80) < 0.3
    u = mannwhitneyu(value[failed], value[~failed]).statistic
    assert lanes.ranked_right(value, failed) == pytest.approx(u / (failed.sum() * (~failed).sum()), abs=1e-12)


def test_balanced_accuracy_by_hand():
    failed = np.array([True] * 4 + [False] * 10)
    blocked = np.array([True] * 3 + [False] + [True] * 2 + [False] * 8)
    middle, low, high = lanes.balanced_accuracy(blocked, failed)
    assert middle == pytest.approx((3 / 4 + 8 / 10) / 2)
    assert 0.0 < low < middle < high <= 1.0
    assert lanes.balanced_accuracy(failed, failed)[1] < 1.0  # all right, and still not sure
