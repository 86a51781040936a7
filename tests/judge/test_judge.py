"""What stays true of the method when others judge it; the figures themselves: python -m tests.judge."""

from __future__ import annotations

import numpy as np
import pytest

from pressinglib.data import Tracking
from pressinglib.field.frames import Frames
from pressinglib.field.scene_file import scene
from tests.judge import duels
from tests.judge.frames import defending_frames, match
from tests.judge.moves import MAN_FOR_MAN, NEAREST, PLAN, SHIFT, STAND, planned, targets
from tests.judge.race import judged_danger, run
from tests.judge.rivals import OWN, RACE_1, RACE_3, Values, judged, lower
from tests.judge.steadiness import random_frames, steady_share
from tests.match.faults import LOOKED_AT, defending, shares


@pytest.fixture(scope="module")
def tracking() -> Tracking:
    return match()


@pytest.fixture(scope="module")
def values(tracking: Tracking) -> Values:
    """90 frames, evenly drawn."""
    return judged(defending_frames(90, tracking))


# -- the judge itself --------------------------------------------------------------------------------------------------


def test_men_who_are_marked_more_closely_are_less_dangerous() -> None:
    p, _ = planned(Frames.of([scene("worked scene")]))
    still = np.zeros(p.own.shape)
    far, near = (p.own.copy() for _ in "12")
    receiver = int(np.flatnonzero(~p.is_holder[0] & ~p.opp_keeper[0] & ~p.offside[0])[0])
    defender = int(np.argmin(np.hypot(*(p.own[0] - p.opp[0, receiver]).T)))
    near[0, defender] = p.opp[0, receiver] - (1.0, 0.0)
    far[0, defender] = p.opp[0, receiver] - (9.0, 0.0)
    assert judged_danger(p, near, still, 0.0)[0] < judged_danger(p, far, still, 0.0)[0]


def test_a_line_that_plays_them_all_offside_leaves_only_what_is_behind_the_ball() -> None:
    p, _ = planned(Frames.of([scene("worked scene").with_ball((4.0, 0.0))]))
    line = np.stack([np.full(p.own.shape[1], 20.0), np.linspace(-20, 20, p.own.shape[1])], axis=-1)[None]
    onside = p.opp[0, :, 0] >= 0.0
    assert 0 < judged_danger(p, line, np.zeros(p.own.shape), 0.0)[0] < 0.95 * onside.sum()
    deep = line - (60.0, 0.0)
    assert judged_danger(p, line, 0 * line, 0.0)[0] < judged_danger(p, deep, 0 * deep, 0.0)[0]


def test_who_runs_for_his_own_place_from_rest_stays() -> None:
    p, _ = planned(Frames.of([scene("worked scene")]))
    places, velocity = run(p, p.own, 1.0)
    np.testing.assert_allclose(places, p.own, atol=1e-9)
    np.testing.assert_allclose(velocity, 0.0, atol=1e-9)


# -- the method and its rivals -----------------------------------------------------------------------------------------


def test_the_rivals_do_what_their_names_say(tracking: Tracking) -> None:
    p, d = planned(defending_frames(12, tracking)[0])
    to = targets(p, d)
    def to_men_m(move: str) -> np.ndarray:
        return np.hypot(*np.moveaxis(to[move][:, :, None] - p.opp[:, None], -1, 0))

    assert (np.sort(to_men_m(NEAREST)[p.outfield].min(-1)) <= 1.5 + 1e-9).all()
    assert ((to_men_m(MAN_FOR_MAN) < 1.6).any(1) | p.opp_keeper).all()


def test_by_the_methods_own_danger_the_plan_beats_standing_and_shifting(values: Values) -> None:
    own = values[OWN]
    assert lower(own[PLAN], own[STAND]) > 0.65 and lower(own[PLAN], own[SHIFT]) > 0.8


@pytest.mark.parametrize("judge", [RACE_1, RACE_3])
def test_another_model_also_prefers_the_plan_to_a_mere_shift(values: Values, judge: str) -> None:
    """A frozen picture after 1 s and 3 s: what the plan is judged by is the games played on."""
    assert lower(values[judge][PLAN], values[judge][SHIFT]) > 0.6


# -- who goes ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("lead_s", [0.5, 1.0])
def test_the_presser_is_named_more_often_than_by_plain_distance(tracking: Tracking, lead_s: float) -> None:
    """On the duels on which the lead was chosen; the intervals overlap."""
    named, of = duels.hits(tracking, lead_s, duels.by_method("anyone"))
    assert of == 52
    assert named > duels.hits(tracking, lead_s, duels.nearest_to_carrier)[0]
    assert named > duels.hits(tracking, lead_s, duels.nearest_to_ball)[0]


def test_half_of_the_engagers_play_in_the_back_line(tracking: Tracking) -> None:
    assert duels.back_line_share(tracking) == (27, 52)


def test_wilson_interval() -> None:
    """Wilson 1927; the textbook case of no hit in ten gives 0 to 0.2775 (own arithmetic: z^2 / (n + z^2))."""
    low, high = duels.wilson(0, 10)
    assert low == pytest.approx(0.0, abs=1e-12) and high == pytest.approx(1.96**2 / (10 + 1.96**2))


# -- steadiness --------------------------------------------------------------------------------------------------------


def test_five_centimetres_seldom_move_a_spot_by_a_metre(tracking: Tracking) -> None:
    random = np.random.default_rng(11)
    assert steady_share(random_frames(60, random), random)[0] >= 0.95
    assert steady_share(defending_frames(120, tracking), random)[0] >= 0.95


def test_no_kind_shows_in_more_than_a_fifth_of_professional_frames() -> None:
    """100 frames of each side defending, from the match of Bassek et al. 2025 (CC BY 4.0): a plausibility check."""
    found = list(defending(match()))
    assert len(found) == 200 and any(one.faults for one in found)
    assert max(shares(found).values()) <= LOOKED_AT
