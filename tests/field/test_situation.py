"""The picture: what it refuses, who has the ball, and the pictures made from it."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pressinglib.errors import BadInput
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import Player
from pressinglib.field.situation import RESTARTS, Situation

US = (Player("1", "goalkeeper", (-40, 0)), Player("9", "centre-forward", (20, 0)))
THEM = (Player("1", "goalkeeper", (45, 0)), Player("4", "left centre-back", (30, 0)), Player("5", "outfield", (30, 9)))


def picture(ball_xy=(30, 0), **changes):
    return replace(Situation(Pitch(), US, THEM, ball_xy), **changes)


@given(st.data())
def test_mirror_twice_gives_the_picture_back(situations, data):
    s = data.draw(situations)
    assert s.mirrored().mirrored() == s
    for team in ("pressing", "possession"):
        assert [p.mirrored() for p in s.players(team)] == list(s.mirrored().players(team))
    assert s.mirrored().ball_xy == (s.ball_xy[0], -s.ball_xy[1])
    assert (s.mirrored().state, s.mirrored().on_ball) == (s.state, s.on_ball)


@given(st.data())
def test_there_is_always_one_known_state(situations, data):
    s = data.draw(situations)
    assert s.state in ("open play", "loose", "won", *RESTARTS)
    assert s.on_ball is None or s.player("possession", s.on_ball)


@given(st.data(), st.tuples(st.floats(-20, 20), st.floats(-15, 15)))
def test_moving_a_player_moves_him_alone(situations, data, to):
    s = data.draw(situations)
    mover = data.draw(st.sampled_from(s.pressing))
    after = s.moved("pressing", mover.number, to)
    assert after.player("pressing", mover.number) == replace(mover, xy=to)
    assert replace(after, pressing=s.pressing) == s


def test_the_carrier_takes_the_ball_along():
    s = picture(ball_xy=(29, 0.5))
    after = s.moved("possession", "4", (10, 10))
    assert after.ball_xy == pytest.approx((9, 10.5))
    assert after.on_ball == "4"
    assert s.moved("possession", "5", (10, 10)).ball_xy == s.ball_xy


@pytest.mark.parametrize(("ball", "state", "on_ball"), [
    ((30, 1.5), "open play", "4"), ((30, 1.6), "loose", None), ((20.5, 0), "won", None), ((0, 0), "loose", None),
])
def test_who_has_the_ball(ball, state, on_ball):
    assert (picture(ball).state, picture(ball).on_ball) == (state, on_ball)


def test_a_nearer_presser_has_won_the_ball_unless_a_carrier_is_named():
    s = picture((30, 1)).moved("pressing", "9", (30, 1.5))
    assert s.state == "won"
    assert replace(s, carrier="4").state == "open play"


def test_a_travelling_ball_belongs_to_nobody_and_is_in_play():
    s = picture((20, 5), carrier="4", receiver="5", ball_velocity=(10, 4))
    assert (s.state, s.on_ball) == ("open play", None)


def test_a_dropped_ball_lies_still_and_belongs_to_the_opponent_beside_it():
    s = picture((20, 5), receiver="5", ball_velocity=(10, 4), ball_height_m=2.0)
    assert s.with_ball((30, 8)).on_ball == "5"
    assert s.with_ball((0, 0)).carrier is None
    dropped = s.with_ball((0, 0))
    assert (dropped.receiver, dropped.ball_velocity, dropped.ball_height_m) == (None, (0.0, 0.0), 0.0)


@pytest.mark.parametrize("restart", RESTARTS)
def test_a_restart_is_the_state(restart):
    assert picture(restart=restart).state == restart


@pytest.mark.parametrize(("changes", "word"), [
    ({"pitch": "grass"}, "a Pitch"),
    ({"pressing": ()}, "1-11 players"),
    ({"pressing": tuple(Player(str(n), "outfield", (n, 0)) for n in range(12))}, "1-11 players"),
    ({"pressing": ("9",)}, "1-11 players"),
    ({"pressing": (US[0], US[0])}, "each number once"),
    ({"pressing": (US[0], replace(US[0], number="2"))}, "at most one goalkeeper"),
    ({"pressing": (US[1].at((55.6, 0)),)}, "place of pressing 9"),
    ({"possession": (THEM[1].at((0, -37.1)),)}, "place of possession 4"),
    ({"ball_xy": (0, 37.1)}, "ball"),
    ({"ball_xy": None}, "ball"),
    ({"ball_velocity": (1,)}, "ball velocity"),
    ({"ball_height_m": -0.1}, "ball height"),
    ({"carrier": "7"}, "one of 1, 4, 5"),
    ({"receiver": 5}, "one of 1, 4, 5"),
    ({"carrier": "1"}, "within 5 m of the ball"),
    ({"restart": "corner"}, "open play only"),
])
def test_what_is_wrong_is_told(changes, word):
    with pytest.raises(BadInput, match=word):
        picture(**changes)


def test_asking_for_nobody_is_told():
    with pytest.raises(BadInput, match="one of 1, 9"):
        picture().moved("pressing", "4", (0, 0))
    with pytest.raises(BadInput, match="one of pressing, possession"):
        picture().players("referee")


@given(st.data())
def test_a_line_up_has_its_ball_with_an_opponent(data):
    formations = st.sampled_from(["4-2-3-1", "4-4-2", "4-3-3", "4-1-4-1", "3-5-2", "5-3-2", "3-4-3", "4-4-1"])
    pitch = Pitch()
    ball = data.draw(st.tuples(st.floats(-52.5, 52.5), st.floats(-34, 34)))
    s = Situation.line_up(data.draw(formations), data.draw(formations), ball, pitch=pitch)
    assert s.state == "open play"
    assert s.player("possession", s.on_ball or "").xy == pytest.approx(ball)


@pytest.mark.parametrize("velocity", [(60, 1), (1e9, 0), (-50, -50)])
def test_no_ball_is_faster_than_the_fastest_shot(velocity):
    with pytest.raises(BadInput, match="speed of the ball in m/s: expected a number from -inf to 60"):
        replace(picture(), ball_velocity=velocity)
    assert replace(picture(), ball_velocity=(-36, 48)).ball_velocity == (-36.0, 48.0)
