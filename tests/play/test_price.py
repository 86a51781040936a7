"""The price of choices: what must be true of games that are played on, and of what is told of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import combinations
from typing import Any

import numpy as np
import pytest

from pressinglib import Pitch, Player, PressingError, Rulebook, Situation, choices, plan_press, scene, scene_names
from pressinglib.physics import accelerate_then_cruise
from pressinglib.play import price, traps
from pressinglib.play.play_out import Orders, PlayOut, _reach_s
from pressinglib.roles.decided import mismeasured
from tests.judge import outcomes as judge
from tests.judge.openings import Openings
from tests.judge.playout import play as judged

GAMES = 12


def stand(frames: Any) -> np.ndarray:
    return np.array(frames.pressing_xy)


def to_the_ball(frames: Any) -> np.ndarray:
    return np.repeat(frames.ball_xy[:, None], frames.pressing_xy.shape[1], axis=1)


def played(name: str, orders: Orders, games: int = 200, seed: int = 1) -> np.ndarray:
    return PlayOut(mismeasured(scene(name), games, 0.5, seed=seed), [orders], seed).end()[0]


@pytest.fixture(scope="module")
def found() -> Any:
    return choices(scene("build-up left"), copies=GAMES)


def test_the_same_seed_gives_the_same_games_and_another_one_others(found: Any) -> None:
    again, other = (choices(scene("build-up left"), copies=GAMES, seed=seed) for seed in (0, 1))
    np.testing.assert_array_equal(found.values, again.values)
    assert not np.array_equal(found.values, other.values)
    frames = mismeasured(scene("build-up left"), GAMES, 0.5)  # in the same pictures too
    one, same, luck = (PlayOut(frames, [stand], seed).end() for seed in (0, 0, 1))
    np.testing.assert_array_equal(one, same)
    assert not np.array_equal(one, luck)
    assert not np.array_equal(frames.pressing_xy, mismeasured(scene("build-up left"), GAMES, 0.5, seed=1).pressing_xy)


def test_left_and_right_are_alike(found: Any) -> None:
    mirrored = choices(scene("build-up left").mirrored(), copies=GAMES)
    assert mirrored.names == found.names
    np.testing.assert_allclose(mirrored.values, found.values, atol=1e-9)


def test_the_side_that_is_planned_is_not_offered_twice() -> None:
    for name, side, other in (("worked scene", "outside", "inside"), ("back five", "inside", "outside")):
        to_the_ball = "left" if scene(name).ball_xy[1] > 0 else "right"
        assert (plan_press(scene(name)).steer == to_the_ball) == (side == "outside")
        offered = choices(scene(name), copies=8).names
        assert f"steer {side}" not in offered and {f"steer {other}", "straight at him"} <= set(offered)


def test_every_value_is_what_it_says(found: Any) -> None:
    won_5s, won_8s, box, ground_m, sprint_m = np.moveaxis(found.values, -1, 0)
    assert set(np.unique([won_5s, won_8s, box])) <= {0.0, 1.0}
    assert (won_5s <= won_8s).all() and (won_8s + box <= 1.0).all()
    assert np.abs(ground_m).max() < 105.0 and (sprint_m >= 0.0).all() and sprint_m.max() < 11 * 8 * 7.6


def test_more_copies_have_narrower_intervals() -> None:
    """By the root of four: within a quarter of a half."""
    few, many = (price.Choices.of(("a",), played("build-up left", stand, n)[None], 0.5) for n in (100, 400))
    widths = [[rate.high - rate.low for rate in (one.rows[0][2], one.rows[0][4])] for one in (few, many)]
    np.testing.assert_allclose(np.divide(*widths[::-1]), 0.5, rtol=0.25)


def test_intervals_of_shares_are_the_published_ones() -> None:
    """Newcombe 1998, Statist. Med. 17:857-872, table I, Wilson's method: 81 of 263, and 0 of 20, in percent."""
    values = np.zeros((1, 263, 5))
    values[0, :81, 0] = 1.0
    for found, low, high in ((price.Choices.of(("a",), values, 0.5), 25.53, 36.62),
                             (price.Choices.of(("a",), values[:, -20:], 0.5), 0.0, 16.11)):
        share = found.rows[0][1]
        assert (share.low, share.high) == pytest.approx((low, high), abs=0.006)


def test_players_run_by_the_published_law() -> None:
    """Spearman 2018, Beyond expected goals: even acceleration, then cruising (here 5 m/s2 and 7.5 m/s)."""
    to = np.random.default_rng(1).uniform(-30, 30, (50, 2))
    np.testing.assert_allclose(_reach_s(np.zeros(2), np.zeros(2), to, 7.5, late_s=0.0),
                               accelerate_then_cruise((0, 0), (0, 0), to, 5.0, 7.5), atol=1e-9)


def test_nobody_teleports_and_each_step_has_luck_of_its_own() -> None:
    games = PlayOut(mismeasured(scene("worked scene"), 100, 0.5, seed=1), [to_the_ball], 1)
    for k in range(80):
        before, luck = (games.own, games.opp, games.ball), getattr(games, "chance", None)
        games.step(k)
        assert not np.array_equal(games.chance, luck)
        for was, now, most in zip(before, (games.own, games.opp, games.ball), (0.9, 0.9, 3.0), strict=True):
            assert np.hypot(*np.moveaxis(now - was, -1, 0)).max() < most


def test_who_goes_to_the_ball_wins_it_more_often_than_who_stands() -> None:
    goes, stands = (played("build-up left", orders)[:, 1].mean() for orders in (to_the_ball, stand))
    assert goes > stands + 0.1


def test_they_get_into_the_box_more_often_from_near_it() -> None:
    near, far = (played(name, stand)[:, 2].mean() for name in ("counter-attack 4 v 3", "build-up left"))
    assert near > far + 0.1


def spots_of(**rules: Any) -> Callable[..., Any]:
    return lambda p: price.decide(p, Rulebook().with_rules(**rules)).spot


def trap(p: Any) -> np.ndarray:
    """Their 2 is left open until the ball goes to him."""
    man = p.frames.possession_numbers.index("2")
    rules, closes = Rulebook(), (p.opp_order == man)[np.arange(len(p)), p.holder] & (p.holder >= 0)
    return np.where(closes[:, None, None], *(price.decide(p, book).spot for book in (
        price.closing_down(rules), price.leaving_free(rules, man))))


SOME = ("build-up right", "build-up middle", "against a back three", "counter-attack 4 v 3", "behind the midfield",
        "their corner", "back five", "low block")
EVERY = tuple(name for name in scene_names() if scene(name).state == "open play" and name != "ten men")  # it plays 11
FEW = {"plan": spots_of(), "nearest": judge.nearest_presses, "block": price.block_shift, "stand": lambda p: p.own}
MORE = {**FEW, "man": judge.man_for_man, "trap": trap, "outside": spots_of(choose_steer=price._always(1)),
        "inside": spots_of(choose_steer=price._always(-1)), "straight": spots_of(choose_steer=price._always(0)),
        "middle": lambda p: price.block_shift(p) * (1.0, 0.7)}


PLAYED: dict[tuple[str, str], Any] = {}  # by scene and scheme: once, for all that ask


def both(title: str, schemes: dict[str, Any]) -> dict[str, Any]:
    """The games of each scheme on a scene: ours, and those of the other simulation."""
    frames = mismeasured(scene(title), 16, 0.5, seed=3)
    fresh = {name: spots for name, spots in schemes.items() if (title, name) not in PLAYED}
    games = PlayOut(frames, [price._sent(spots, Rulebook()) for spots in fresh.values()], 1).end() if fresh else ()
    for (name, spots), game in zip(fresh.items(), games, strict=True):
        PLAYED[title, name] = game, judged(Openings.of(frames, 0), judge.scheme(spots), judge.MIDDLE, 1)
    return {name: PLAYED[title, name] for name in schemes}


@pytest.mark.parametrize(("titles", "schemes", "least"), [
    (SOME, FEW, 0.9), pytest.param(EVERY, MORE, 0.8, marks=pytest.mark.full)])
def test_the_order_is_that_of_another_simulation(titles: tuple[str, ...], schemes: dict[str, Any], least: float
                                                         ) -> None:
    """Where the judge sees a difference beyond chance, the sign is mostly the same, and never clearly other.

    Of balls won, and of what is conceded (here the box, there a value); in order, not in size. Of ten schemes some lie
    close: 47 of 54 signs are the same, the others (four with the trap, three with steering inside) are within chance.
    """
    ours, theirs = ({name: [] for name in schemes} for _ in range(2))
    for title in titles:
        for name, (game, same) in both(title, schemes).items():
            ours[name].append(game[:, 1:3].T)
            theirs[name].append(np.stack([same.won, same.value]))
    agree = []
    for a, b in combinations(schemes, 2):
        for here, there in zip(*(np.concatenate(of[a], -1) * 1.0 - np.concatenate(of[b], -1) for of in (ours, theirs)),
                               strict=True):
            low, high = judge.interval(there)
            if low > 0 or high < 0:
                sign = np.sign(there.mean())
                agree.append(sign * here.mean() >= 0)
                assert max(sign * np.array(judge.interval(here))) >= 0, (a, b)
    assert len(agree) >= 6 and np.mean(agree) >= least


def test_the_dial_turns_with_score_and_time() -> None:
    risks = [price.dial(lead, left) for lead, left in ((2, 5), (1, 5), (1, 45), (0, 5), (-1, 45), (-1, 5), (-2, 5))]
    assert risks == sorted(risks) and risks[3] == price.dial(0, 45) == 0.5
    bold, safe = (choices(scene("build-up left"), lead=lead, minutes_left=3, copies=8) for lead in (-2, 2))
    assert bold.risk > safe.risk
    np.testing.assert_array_equal(bold.values, safe.values)


def test_what_lies_within_chance_is_said_to_be_as_often() -> None:
    values = np.zeros((3, 40, 5))
    values[0, :, 4], values[0, ::2, 1], values[1, ::2, 1], values[2, :, 1] = 20.0, 1.0, 1.0, 1.0
    values[1, :, 4] = 8.0
    one, other = sorted(price.Choices.of(("as planned", "a", "b"), values, 0.5).notes[:2])
    assert one == '"a" wins the ball as often as the plan and costs 12 sprint metres less.'
    assert other == '"b" wins the ball more often than the plan and costs 20 sprint metres less.'


def test_read_as_table_and_as_numbers(found: Any) -> None:
    frame = found.to_frame()
    assert list(frame.worth) == sorted(frame.worth, reverse=True)
    assert all(one.low <= one.value <= one.high for name in found.head[1:-1] for one in frame[name])
    assert repr(found).startswith("In this model") and "<table>" in found._repr_html_() and "best" not in repr(found)
    planned = frame[frame.choice == "as planned"][price.WON].item()
    assert planned.value == pytest.approx(100 * found.values[0, :, 1].mean())


def test_small_teams_and_restarts_are_played_on_too() -> None:
    small = Situation(Pitch(), (Player("1", "goalkeeper", (-50, 0)), Player("4", "centre-back", (-20, 1))),
                      (Player("9", "centre-forward", (-10, 0)), Player("7", "right winger", (-12, 15))), (-10.5, 0))
    for picture in (small, scene("throw-in"), scene("ten men")):
        assert np.isfinite(choices(picture, copies=8).values).all()


@pytest.mark.parametrize(("values", "says"), [
    ({"copies": 3}, "from 8 to 1000"), ({"lead": 1.5}, "lead"), ({"minutes_left": -1}, "from 0 to 120"),
    ({"seed": -1}, "seed"), ({"rulebook": "stock"}, "Rulebook"), ({"situation": "worked scene"}, "Situation"),
    ({"situation": scene("worked scene").with_ball((0, 0))}, "one of theirs on the ball")])
def test_bad_questions_are_answered_in_words(values: dict[str, Any], says: str) -> None:
    with pytest.raises(PressingError, match=says):
        choices(**{"situation": scene("worked scene"), "copies": 8, **values})


# -- Traps, ghosts, own rules.


@pytest.fixture(scope="module")
def open_to() -> Any:
    return traps(scene("build-up left"), copies=GAMES)


def test_a_trap_is_offered_with_its_bait_its_cue_and_who_jumps(found: Any, open_to: Any) -> None:
    offered = [name for name in found.names if name.startswith("a trap for their ")]
    assert len(offered) == 1 and offered[0].split()[-1] in {name.split()[2] for name in open_to.names[1:]}
    assert set(open_to.told) == set(open_to.names[1:]) and found.told[offered[0]] in open_to.told.values()
    for name, words in open_to.told.items():
        number = name.split()[2]
        assert f"when the ball goes to their {number}, " in words and "jumps" in words
        assert any(words in told for told in open_to.notes)


def test_every_bait_is_a_short_option(open_to: Any) -> None:
    s = scene("build-up left")
    for name in open_to.names[1:]:
        him = s.player("possession", name.split()[2])
        assert not him.is_goalkeeper and him.number != s.on_ball
        assert np.hypot(*np.subtract(him.xy, s.ball_xy)) <= Rulebook().settings.short_pass_m


def test_until_the_ball_goes_to_him_nobody_denies_him_and_then_two_close_him_down() -> None:
    s = scene("worked scene")
    man = [p.number for p in s.possession].index("2")
    trap = price.trapping(Rulebook(), man)
    him, near = np.array(s.possession[man].xy), []
    for picture in (s, replace(s, carrier=None, receiver="2")):
        spots = trap(price.Frames.of([picture]))[0]
        near.append(np.sort(np.hypot(*np.moveaxis(spots - him, -1, 0))))
    planned = price.planned(Rulebook())(price.Frames.of([s]))[0]
    assert near[0][0] > np.hypot(*np.moveaxis(planned - him, -1, 0)).min()
    assert near[1][1] < 3.0 < near[0][1]


def test_one_batch_sends_everybody_where_single_pictures_do() -> None:
    """Games in which the ball goes to him and others, together and one by one."""
    s = scene("worked scene")
    man = [p.number for p in s.possession].index("2")
    frames = mismeasured(s, 6, 0.5)
    frames = replace(frames, carrier=np.array([frames.carrier[0], -1] * 3), receiver=np.array([-1, man] * 3))
    trap = price.trapping(Rulebook(), man)
    alone = np.concatenate([trap(frames.take(slice(k, k + 1))) for k in range(6)])
    np.testing.assert_allclose(trap(frames), alone, atol=1e-9)


def test_traps_are_mirrored(open_to: Any) -> None:
    mirrored = traps(scene("build-up left").mirrored(), copies=GAMES)
    assert mirrored.names == open_to.names and mirrored.told == open_to.told
    np.testing.assert_allclose(mirrored.values, open_to.values, atol=1e-9)


def test_ghosts_stand_where_each_choice_sends_ours(found: Any) -> None:
    plan = plan_press(scene("build-up left"))
    assert found.spots.shape == (len(found.names), 11, 2)
    for q, spot in zip(scene("build-up left").pressing, found.spots[0], strict=True):
        np.testing.assert_allclose(spot, plan.assignments[q.number].target_xy, atol=1e-9)
    drop = found.spots[found.names.index("drop")]
    assert drop[:, 0].mean() < found.spots[0][:, 0].mean()


def test_own_rules_have_their_price_beside_the_stock_rules() -> None:
    inside = Rulebook().with_settings(steering="inside")
    books = {"same again": Rulebook(), "always inside": inside}
    compared = choices(scene("build-up left"), Rulebook(), books, copies=GAMES)
    assert compared.names == ("as planned", *books)
    np.testing.assert_array_equal(compared.values[0], compared.values[1])
    assert '"same again" wins the ball as often as the plan.' in compared.notes
