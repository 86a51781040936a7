"""A comparison as table and picture: escaped, in words, and with the differences in it."""

from __future__ import annotations

import pytest

from pressinglib.field.scene_file import scene
from pressinglib.roles.compare import Comparison, compare_rulebooks
from pressinglib.roles.rulebook import Rulebook
from pressinglib.teach.charts import MOST_ROWS, danger_chart


@pytest.fixture(scope="module")
def comparison() -> Comparison:
    rules = Rulebook().with_settings(steering="inside")
    return compare_rulebooks(Rulebook(), rules, {"a <b>": scene("worked scene"), "same": scene("their corner")},
                             ("stock", "$in$<i>"), with_faults=False)


def test_only_differing_pictures_are_in_the_table(comparison: Comparison) -> None:
    table = comparison.table()
    assert [row["picture"] for row in table] == [row["picture"] for row in comparison.differing]
    assert [row["steers"] for row in table] == ["left / right", "right / left"]
    assert "<b>" not in table._repr_html_() and "a &lt;b&gt;" in table._repr_html_()


def test_no_difference_is_said(comparison: Comparison) -> None:
    same = Comparison(comparison.names, tuple({**row, "differs": False} for row in comparison.rows))
    assert repr(same.table()).splitlines()[1:] == ["They differ in no picture."]


@pytest.mark.parametrize("times", [1, MOST_ROWS])
def test_it_draws_itself_few_or_many(comparison: Comparison, times: int) -> None:
    plot = danger_chart(Comparison(comparison.names, comparison.rows * times))
    assert plot._repr_png_().startswith(b"\x89PNG") and repr(plot).startswith("Picture: stock against $in$<i>: ")
