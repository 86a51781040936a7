"""Who is taken, which gaps are open as they stand, and criteria of a whole team."""

from __future__ import annotations

import re

import numpy as np
import pytest

from pressinglib.field.player import XY
from pressinglib.field.scene_file import scene, scene_names
from pressinglib.field.situation import Situation
from pressinglib.physics.lanes import gap_limit, offside_line_m
from pressinglib.roles.plan import plan_press
from pressinglib.teach.criteria import Criterion, closes_gap, no_fault, stays_taken, taken
from pressinglib.teach.exercise import RIGHT, WRONG, Exercise
from pressinglib.teach.lessons import lesson_05
from pressinglib.teach.line_questions import HoldStepDrop
from pressinglib.teach.stand import Denial, Gap, Stand, behind, gap_between, gaps_of, standing_gaps

PICTURE = lesson_05.repair.situation
PLAN = lesson_05.repair.plan
ON_THE_MEN = {"6": (11.0, -14.0), "8": (12.0, 8.0)}
OPEN_PLAY = [name for name in scene_names() if scene(name).restart is None]


def stand(places: dict[str, XY], picture: Situation = PICTURE) -> Stand:
    placed = picture
    for number, xy in places.items():
        placed = placed.moved("pressing", number, xy)
    return Stand(PLAN if picture is PICTURE else plan_press(picture), placed)


@pytest.mark.parametrize("name", OPEN_PLAY)
def test_taken_is_what_denial_says_of_each_but_the_presser(name: str) -> None:
    """The same question asked of every pair, one at a time."""
    picture = scene(name)
    plan = plan_press(picture)
    now = Stand(plan, picture)
    for man in now.theirs:
        denials = {p.number: Denial(plan, man.number, p.xy) for p in now.ours if p.number != now.presser}
        by = [n for n, d in denials.items() if d.cuts_out or (d.goal_side and d.in_time)]
        assert [n for n in now.by(man.number) if n != now.presser] == by


def test_the_presser_takes_what_lies_in_his_shadow_and_nothing_else() -> None:
    picture = scene("worked scene")
    ball = np.array(picture.ball_xy)
    way = np.array(picture.player("possession", "4").xy) - ball
    x, y = ball + 1.5 * way / np.hypot(*way)
    assert stand({"9": (float(x), float(y))}, picture).by("4") == ["9"]
    assert "9" not in stand({"9": (33.5, 9.9)}, picture).by("4")


def test_goalkeeper_and_men_offside_take_no_part() -> None:
    picture = scene("worked scene").moved("possession", "9", (-20, 1))
    now = stand({}, picture)
    assert picture.player("possession", "9").xy[0] < offside_line_m(picture)
    assert {"9", "1", "5"}.isdisjoint({p.number for p in now.theirs} | now.free)
    assert now.by("9") == []
    assert "1" not in {p.number for p in now.ours}


CASES: dict[str, tuple[Criterion, dict[str, XY], dict[str, XY]]] = {  # a placing where it holds, one where it fails
    "taken": (taken("8"), {"6": (11, -14)}, {}),
    "closes_gap": (closes_gap("9", "10"), {"8": (12, 8)}, {"6": (11, -14)}),
    "stays_taken": (stays_taken(), {"6": (11, -14)}, {"7": (22, -16)}),
    "no_fault": (no_fault(), {"6": (11, -14)}, {"11": (14, -10)}),
}


@pytest.mark.parametrize(("criterion", "good", "bad"), CASES.values(), ids=CASES)
def test_a_criterion_of_the_team_holds_here_and_fails_there(criterion: Criterion, good: dict[str, XY],
                                                            bad: dict[str, XY]) -> None:
    right, wrong = criterion(stand(good)), criterion(stand(bad))
    assert (right.holds, wrong.holds) == (True, False)
    assert wrong.words not in ("", right.words)


def test_two_near_enough_close_a_gap_though_a_man_is_free_behind_it() -> None:
    near = {"10": (20.0, -8.0), "7": (22.0, -16.0)}
    gap = gap_between(stand(near), ("7", "10"))
    assert gap.man == "8"
    assert gap.width_m <= gap.limit_m == pytest.approx(float(gap_limit(np.hypot(35 - 21, -10 + 12))))
    assert closes_gap("7", "10")(stand(near)).holds


def test_men_behind_a_gap_are_between_and_further_off() -> None:
    """By hand: from (35, -10) their 8 at (13, -16) is seen between 10 and 11, their 6 beside 10 is not."""
    men = behind(Stand(PLAN, PICTURE), PICTURE.player("pressing", "10").xy, PICTURE.player("pressing", "7").xy)
    assert men[0] == "8"
    assert {"6", "3", "4"}.isdisjoint(men)


def test_the_gaps_as_they_stand_are_mirrored_with_the_picture() -> None:
    def seen(picture: Situation) -> list[tuple[object, ...]]:
        gaps = standing_gaps(Stand(plan_press(picture), picture))
        return [(g.pair, g.man, g.reached, round(g.width_m, 6), round(g.limit_m, 6)) for g in gaps]

    assert seen(PICTURE) == seen(PICTURE.mirrored())
    assert [(gap[0], gap[1]) for gap in seen(PICTURE)] == [(("7", "10"), "8"), (("9", "10"), "10")]


def test_with_nobody_on_the_ball_there_are_no_gaps_as_they_stand() -> None:
    assert standing_gaps(stand({"9": (20, 0)})) == []


def test_a_man_in_reach_behind_a_gap_is_named_and_not_called_nobody() -> None:
    wide, narrow, _ = gaps_of(plan_press(scene("build-up right")))
    assert "their 11 is behind it, but one of yours is there in time" in wide.said
    assert "their 10 is free behind it" in narrow.said
    assert "nobody is free behind it" in Gap(("4", "5"), 9.0, 3.0, None).said


def test_with_all_far_away_a_man_is_free_and_out_of_reach() -> None:
    far = stand({p.number: (-40.0, p.xy[1]) for p in PICTURE.pressing if not p.is_goalkeeper})
    assert "8" in far.free
    assert not far.nearest("8").in_time


@pytest.mark.parametrize("name", ["counter-attack 4 v 3", "behind the midfield"])
def test_a_line_whose_men_mind_runners_drops_by_as_much_as_it_says(name: str) -> None:
    asked = Exercise("The line?", "hold, step or drop.", scene(name), HoldStepDrop(), "The ball.")
    assert [asked.check(word).outcome for word in ("drop", "hold", "step")] == [RIGHT, WRONG, WRONG]
    assert re.search(r"drops \d+\.\d m", asked.check("drop").words)
