"""Two rulebooks on the same pictures."""

from __future__ import annotations

import pytest

from pressinglib.errors import RuleError
from pressinglib.field.frames import Frames
from pressinglib.field.scene_file import scene, scene_names
from pressinglib.roles.compare import MEASURES, compare_rulebooks
from pressinglib.roles.faults import faults_in_frames, find_faults
from pressinglib.roles.plan import plan_press
from pressinglib.roles.rulebook import Rulebook

STOCK, INSIDE = Rulebook(), Rulebook().with_settings(steering="inside")
FEW = {name: scene(name) for name in ("worked scene", "low block", "ten men")}


def test_the_same_rules_differ_nowhere() -> None:
    found = compare_rulebooks(STOCK, Rulebook(), FEW)
    assert found.differing == [] and found.better() == (0, 0, 3)
    assert all(first == second for first, second in found.measures().values())


def test_each_side_is_what_its_plan_says() -> None:
    found = compare_rulebooks(STOCK, INSIDE, FEW, ("stock", "inside"))
    for row in found.rows:
        for k, rules in ((1, STOCK), (2, INSIDE)):
            plan = plan_press(FEW[row["picture"]], rules)
            assert (row[f"presser{k}"], row[f"steer{k}"], row[f"timing{k}"]) == (plan.presser, plan.steer, plan.timing)
            assert row[f"danger{k}"] == pytest.approx(plan.danger[1])
            assert row[f"open_lanes{k}"] == sum(lane["state"] == "open" for lane in plan.lanes)
            assert row[f"open_gaps{k}"] == sum(gap["state"] == "open" for gap in plan.gaps)
            assert row[f"faults{k}"] == len(row[f"kinds{k}"])


def test_turned_round_it_says_the_opposite() -> None:
    one, other = compare_rulebooks(STOCK, INSIDE, FEW), compare_rulebooks(INSIDE, STOCK, FEW)
    assert one.better() == (other.better()[1], other.better()[0], other.better()[2])
    assert one.measures() == {words: (b, a) for words, (a, b) in other.measures().items()}


def test_frames_are_compared_as_pictures_are() -> None:
    pictures = [scene("worked scene"), scene("worked scene").with_ball((20, 0))]
    rows = compare_rulebooks(STOCK, INSIDE, Frames.of(pictures)).rows
    alone = [compare_rulebooks(STOCK, INSIDE, {"one": s}).rows[0] for s in pictures]
    for row, single in zip(rows, alone, strict=True):
        assert set(row) == set(single)
        for key in set(row) - {"picture"}:
            assert row[key] == (pytest.approx(single[key]) if isinstance(row[key], float) else single[key])


def test_all_named_scenes_without_faults_and_in_words() -> None:
    found = compare_rulebooks(STOCK, INSIDE, names=("stock", "inside"), with_faults=False)
    assert [row["picture"] for row in found.rows] == list(scene_names())
    assert MEASURES["faults"] not in found.measures() and "faults1" not in found.rows[0]
    differ = f"{len(found.differing)} of {len(scene_names())} pictures differ\n"
    assert repr(found).startswith(f"stock against inside: {differ}")


def test_an_own_rule_that_fails_is_named() -> None:
    bad = Rulebook().with_rules(choose_presser=lambda s: "9" if s == scene("worked scene") else 9)
    with pytest.raises(RuleError, match="choose_presser"):
        compare_rulebooks(STOCK, bad, FEW)


@pytest.mark.parametrize("name", scene_names())
def test_faults_of_frames_are_those_of_pictures(name: str) -> None:
    s = scene(name)
    rows = faults_in_frames(Frames.of([s]), before=[s], before_s=1.0)
    assert [(row.kind, row.players) for row in rows] == [(f.kind, f.players) for f in find_faults(s, before=s)]
