"""The named scenes: sound, onside, with room between the players."""

from pathlib import Path

import numpy as np
import pytest

from pressinglib.errors import UnknownName
from pressinglib.field import scene_file
from pressinglib.field.scene_file import load_session, scene, scene_names

WORDS = {one.title: one.notes for one in load_session(Path(scene_file.__file__).with_name("scenes.json"))}
every = pytest.mark.parametrize("name", scene_names())


def places(players):
    return np.array([p.xy for p in players])


@every
def test_a_scene_is_the_same_every_time_and_has_words(name):
    assert scene(name) == scene(name)
    words = WORDS[name]
    assert words.endswith(".") and "\n" not in words


@every
def test_somebody_has_the_ball_and_everyone_has_room(name):
    s = scene(name)
    assert s.on_ball is not None
    assert s.state == ("throw-in" if name == "throw-in" else "open play")
    for players in (s.pressing, s.possession):
        apart = np.linalg.norm(places(players)[:, None] - places(players)[None], axis=-1) + 99 * np.eye(len(players))
        assert apart.min() >= 4.0


@every
def test_both_teams_are_full_but_for_the_ten_men(name):
    s = scene(name)
    assert (len(s.pressing), len(s.possession)) == (10 if name == "ten men" else 11, 11)
    assert sum(p.is_goalkeeper for p in s.pressing) == sum(p.is_goalkeeper for p in s.possession) == 1


@every
def test_nobody_is_offside(name):
    s = scene(name)
    line_x = min(sorted(p.xy[0] for p in s.pressing)[1], s.ball_xy[0], 0.0)
    assert [p.number for p in s.possession if p.xy[0] < line_x] == []


@every
def test_names_of_sides_are_true(name):
    """Left and right in a slot agree with the places of the pair: ours at +y, theirs at -y."""
    s = scene(name)
    for players, sign in ((s.pressing, 1), (s.possession, -1)):
        y = {p.slot: sign * p.xy[1] for p in players}
        for slot in y:
            if slot.startswith("left ") and f"right {slot[5:]}" in y:
                assert y[slot] > y[f"right {slot[5:]}"]


def test_what_the_names_say():
    attackers = [p for p in scene("counter-attack 4 v 3").possession if p.xy[0] <= -12]
    chased = [p for p in scene("counter-attack 4 v 3").pressing if p.xy[0] < -13 and not p.is_goalkeeper]
    assert (len(attackers), len(chased)) == (4, 3)
    assert scene("build-up left").ball_xy[1] > 5 and scene("build-up right").ball_xy[1] < -5
    between = scene("behind the midfield")
    assert sum(p.xy[0] > between.ball_xy[0] for p in between.pressing) == 6
    assert scene("goalkeeper on the ball").player("possession", scene("goalkeeper on the ball").on_ball).is_goalkeeper
    high = scene("wingers high")
    assert all(high.player("pressing", n).xy[0] > high.ball_xy[0] for n in ("7", "11"))


def test_the_worked_scene_stands_as_it_was_written():
    s = scene("worked scene")
    assert {p.number: p.xy for p in s.pressing} == {
        "9": (27, -2), "10": (17, 1), "11": (16, 19), "7": (15, -18), "6": (7, 7), "8": (7, -8), "3": (-5, 18),
        "4": (-7, 6), "5": (-7, -6), "2": (-5, -17), "1": (-33, 1)}
    assert {p.number: p.xy for p in s.possession} == {
        "5": (35, 10), "4": (36, -8), "2": (28, 30), "3": (27, -30), "6": (22, 1), "8": (9, 14), "10": (6, -10),
        "7": (-2, 29), "11": (-2, -29), "9": (-5, 1), "1": (47, 0)}
    assert (s.ball_xy, s.on_ball) == ((35, 10), "5")


@pytest.mark.parametrize("name", ["", "Low block", None, 3, ["low block"]])
def test_an_unknown_name_lists_the_known(name):
    with pytest.raises(UnknownName) as caught:
        scene(name)
    assert caught.value.known == scene_names()
