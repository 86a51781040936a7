"""Tracking data: who has the ball, which way the team faces, how fast everybody is."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from pressinglib.data import Team, Tracking, open_match
from pressinglib.data.tracking import Side, velocity
from pressinglib.errors import BadInput, UnknownName
from pressinglib.field.pitch import Pitch

MATCH = Path(__file__).parents[2] / "notebooks" / "data" / "dfl-open"
SIDES: tuple[Side, Side] = ("home", "away")


@pytest.fixture(scope="module")
def match() -> Tracking:
    return open_match(MATCH)


def made(home_x: list[float], away_x: list[float], ball_x: list[float], **changes: object) -> Tracking:
    """Two players a side on one line; the second of each far off."""
    def team(x: list[float]) -> Team:
        first, second = np.stack([x, np.zeros(len(x))], -1), np.full((len(x), 2), 30.0)
        return Team(("9", "4"), ("centre-forward", "outfield"), np.stack([first, second], axis=1))

    t = np.arange(len(ball_x)) * 0.1
    given = dict(pitch=Pitch(), home=team(home_x), away=team(away_x), time_s=t, ball_xy=np.stack([ball_x, 0 * t], -1),
                 ball_height_m=0 * t, alive=t >= 0, frame_id=np.arange(len(t)))
    return Tracking(**{**given, **changes})  # type: ignore[arg-type]


# -- a made match ------------------------------------------------------------------------------------------------------


def test_the_nearest_within_reach_has_the_ball_unless_an_opponent_is_nearer() -> None:
    match = made(home_x=[0, 0, 0], away_x=[2, 2, 9], ball_x=[0.9, 1.1, 1.6])
    assert match.carrier("home").tolist() == [0, -1, -1]
    assert match.carrier("away").tolist() == [-1, 0, -1]


def test_a_dead_or_a_high_ball_is_nobodys() -> None:
    quiet = made([0, 0], [9, 9], [0.5, 0.5], alive=np.array([False, True]))
    assert quiet.carrier("home").tolist() == [-1, 0]
    assert made([0, 0], [9, 9], [0.5, 0.5], ball_height_m=np.array([0.2, 1.2])).carrier("home").tolist() == [0, -1]


def test_the_away_side_is_turned_and_the_home_side_is_not() -> None:
    match = made(home_x=[0, 0.4], away_x=[20, 20], ball_x=[0.5, 0.5])
    frames = match.frames("away", [0])
    assert frames.possession_xy[0].tolist() == [[0, 0], [-30, -30]]
    assert frames.possession_velocity[0, 0] == pytest.approx([-4, 0])
    assert match.frames("home", [1]).pressing_xy[0, 0].tolist() == [0.4, 0]


def test_jumps_are_slowed_and_places_kept_near_the_pitch() -> None:
    frames = made([0, 0], [0, 30], [60, -60]).frames("home", slice(None))
    assert np.hypot(*frames.ball_velocity.T) == pytest.approx([35, 35])
    assert np.hypot(*frames.possession_velocity[:, 0].T) == pytest.approx([10, 10])
    assert frames.ball_xy[:, 0].tolist() == [55.5, -55.5]


def test_velocities_do_not_reach_over_a_break() -> None:
    t = np.array([0, 0.1, 0.2, 0.3, 60.0, 60.1, 60.2, 60.3])
    xy = np.stack([np.where(t < 30, 3 * t, 40 + t), 0 * t], axis=-1)
    pace = velocity(t, xy, 50.0)
    assert pace[:, 0] == pytest.approx([3, 3, 3, 3, 1, 1, 1, 1])


def test_velocities_beside_a_missing_place_are_taken_from_the_other_side() -> None:
    t = np.arange(8) * 0.1
    xy = np.stack([3 * t, 0 * t], axis=-1)
    xy[4] = np.nan
    assert velocity(t, xy, 50.0)[:, 0] == pytest.approx([3, 3, 3, 3, 0, 3, 3, 3])
    xy[[0, 1, 2, 3, 6, 7]] = np.nan, np.nan
    assert (velocity(t, xy, 50.0) == 0).all()


def test_missing_places_stay_missing_and_at_rest() -> None:
    home = Team(("9",), ("outfield",), np.array([[[np.nan, np.nan]], [[1.0, 0.0]]]))
    frames = made([0, 0], [3, 3], [0, 0], home=home).frames("home", [0])
    assert np.isnan(frames.pressing_xy).all() and (frames.pressing_velocity == 0).all()


def test_what_does_not_fit_is_refused() -> None:
    with pytest.raises(BadInput, match="tracking, time: expected at least two moments"):
        made([0, 0], [3, 3], [0, 0], time_s=np.array([0.1, 0.0]))
    with pytest.raises(BadInput, match=r"tracking, alive: expected shape \(2,\)"):
        made([0, 0], [3, 3], [0, 0], alive=np.ones(3))
    with pytest.raises(UnknownName, match="side: expected one of home, away; got 'guests'"):
        made([0, 0], [3, 3], [0, 0]).defending("guests")  # type: ignore[arg-type]


# -- the open match ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("side", SIDES)
def test_the_defending_team_is_nearer_to_its_own_goal(match: Tracking, side: Side) -> None:
    frames = match.defending(side)
    assert frames.pressing_xy[..., 0].mean() < frames.possession_xy[..., 0].mean() - 5
    keeper = frames.pressing_slots.index("goalkeeper")
    assert np.median(frames.pressing_xy[:, keeper, 0]) < -30
    assert sorted(frames.pressing_slots) == sorted(frames.possession_slots)


@pytest.mark.parametrize("side", SIDES)
def test_in_every_defending_frame_the_carrier_has_the_ball(match: Tracking, side: Side) -> None:
    frames = match.defending(side)
    assert len(frames) > 1000
    for i in np.linspace(0, len(frames) - 1, 25).astype(int):
        s = frames.situation(int(i))
        assert s.on_ball == frames.possession_numbers[frames.carrier[i]] and s.state == "open play"


def test_left_is_left(match: Tracking) -> None:
    """Slots come from the source; on average the left-sided players of both teams are left of the right-sided ones."""
    for side in SIDES:
        frames = match.frames(side, slice(None))
        y = dict(zip(frames.pressing_slots, frames.pressing_xy[..., 1].mean(0), strict=True))
        assert y["left back"] > y["left centre-back"] > y["right centre-back"] > y["right back"]
        assert y["left attacking midfielder"] > y["right attacking midfielder"]


def test_frames_never_say_more_than_numbers_and_slots(match: Tracking) -> None:
    for side in SIDES:
        assert all(number.isdecimal() for number in match.defending(side).pressing_numbers)
