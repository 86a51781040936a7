"""What the lessons say of prices must be what the games that are kept say, and those must be the games."""

from __future__ import annotations

import re

import numpy as np
import pytest

from pressinglib.roles.compare import Rate
from pressinglib.teach.explanation import explained, sections
from pressinglib.teach.lessons import lesson_09
from pressinglib.teach.prices import COUNTED, HEAD, KEPT, TITLE, UNKNOWN, all_ways, beside, more, two_ways
from tests.teach.kept import kept
from tests.teach.lessons import lesson_modules
from tests.teach.prices_of_lessons import GAMES, MADE
from tests.teach.prices_of_lessons import kept as made

DIFFER = "**Coaches differ here.**"
ANEW = ("price_06", "price_07")  # few, for each takes half a minute
# Of each question what a notebook says of it: the lesson, the cell, and of which columns.
SAID = [("07", "price_07", (1, 2)), ("08", "price_08", (1, 4)), ("09", "price_09_trap", (1, 4))]


def differing() -> list[tuple[str, str]]:
    """Every text in which coaches differ: with the lesson's number, of explanations and of the notebooks."""
    told = [(name[-2:], words) for name, module in lesson_modules().items() for words in sections(module).values()]
    cells = [(name[-2:], cell.source) for name in lesson_modules() for cell in kept(name[-2:]).cells]
    return [(number, words) for number, words in told + cells if DIFFER in words]


def test_wherever_coaches_differ_games_are_told() -> None:
    texts = differing()
    assert len(texts) >= 10 and {number for number, _ in texts} == {f"{n:02}" for n in range(10)}
    for number, words in texts:
        asked = re.findall(r"^\{(price_\w+|zone_or_man)\}$", words, re.MULTILINE)
        assert asked or "In this model" in words, f"lesson {number} gives no price"
        assert "best" not in words.replace("worst", "")
    told = [words for module in lesson_modules().values() for words in sections(module).values()]
    used = {name for words in told for name in KEPT if f"{{{name}}}" in words}
    assert used | {name for _, name, _ in SAID} | {"price_06", "price_06_slow", "price_09"} == set(KEPT)


@pytest.mark.parametrize(("number", "name", "columns"), SAID)
def test_a_notebook_cites_what_is_kept(number: str, name: str, columns: tuple[int, ...]) -> None:
    (text,) = [words for at, words in differing() if at == number and "In this model" in words]
    (way,) = KEPT[name]["more"]
    for column in columns:
        assert more(beside(name, way, column)) in text.replace("\n", " ")


@pytest.mark.parametrize("name", KEPT)
def test_what_is_kept_belongs_together(name: str) -> None:
    """Intervals hold their means; what a way comes to beside the first is what sets the two apart."""
    ways, first = KEPT[name]["ways"], next(iter(KEPT[name]["ways"]))
    assert list(KEPT[name]["more"]) == list(ways)[1:]
    for way, rates in {**ways, **KEPT[name]["more"]}.items():
        assert len(rates) == len(HEAD) - 2
        assert all(low <= value <= high for value, low, high in rates), way
    for way, rates in KEPT[name]["more"].items():
        off = np.array(ways[way])[:, 0] - np.array(ways[first])[:, 0]
        np.testing.assert_allclose(np.array(rates)[:, 0], off, atol=2e-3)
    widest = max(high - low for rates in KEPT[name]["more"].values() for _, low, high in rates[:3])
    assert widest < 10  # in 100 games: five to either side


def test_a_difference_is_said_as_far_as_chance_lets_it_be_told() -> None:
    assert [more(Rate(*rate)) for rate in ((4.2, 0.3, 8.1), (-0.2, -2.0, 1.6), (0.4, -0.5, 1.3), (0, 0, 0))] == [
        "4.2 more (0.3 to 8.1)", "no difference can be told, +0 (-2 to +2)",
        "no difference can be told, +0.4 (-0.5 to +1.3)", "no difference can be told"]
    for name in KEPT:
        for way in KEPT[name]["more"]:
            rate = beside(name, way)
            assert ("more" in more(rate)) == (rate.low > 0) and ("fewer" in more(rate)) == (rate.high < 0)


def test_two_ways_are_a_table_that_says_what_it_cannot_know() -> None:
    table = two_ways("price_07")
    assert [row["what comes of it"] for row in table] == list(COUNTED)
    assert [row["midfield first"].value for row in table] == [
        KEPT["price_07"]["ways"]["midfield first"][k][0] for k in COUNTED.values()]
    html = explained(lesson_09, "{price_07}")
    assert TITLE in html and UNKNOWN in html and "best" not in html


def test_many_ways_stand_by_worth() -> None:
    rows = list(all_ways("price_09"))
    worth = [row[HEAD[2]].value - row[HEAD[3]].value for row in rows]
    assert worth == sorted(worth, reverse=True) and {row["choice"] for row in rows} == set(KEPT["price_09"]["ways"])


def test_the_games_speak_for_the_brave_line_as_lesson_06_says() -> None:
    for name in ("price_06", "price_06_slow"):
        won, box = (beside(name, "drop eight", column) for column in (1, 2))
        assert won.sign <= 0 and box.sign == 1


@pytest.mark.parametrize("name", ["price_02", "price_04", "price_08"])
def test_the_two_views_are_two_ways_to_play(name: str) -> None:
    """Rules of the games' own: the ways are those that are kept, and they do not come to the same."""
    found = made(MADE[name](8))
    assert list(found["ways"]) == list(KEPT[name]["ways"])
    assert any(value for rates in found["more"].values() for value, _, _ in rates)


@pytest.mark.full
@pytest.mark.parametrize("name", ANEW)
def test_the_prices_that_are_kept_are_those_of_the_games(name: str) -> None:
    """To half a ball and half a metre, as exact as the lessons are: where the method has changed more, make it anew."""
    found = made(MADE[name](GAMES))
    for part in ("ways", "more"):
        for way, rates in found[part].items():
            np.testing.assert_allclose(rates, KEPT[name][part][way], atol=0.5)
