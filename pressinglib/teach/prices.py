"""What coaches differ about, by games that are kept: python -m tests.teach.prices_of_lessons makes the file.

In `lessons/prices.json` for each question `ways`, what the games of each way came to (in the order of
`pressinglib.play.price.HEAD`), and `more`, what each comes to beside the first, in pairs of games: mean and interval.
"""

from __future__ import annotations

import json
from pathlib import Path

from pressinglib.play.price import HEAD
from pressinglib.roles.compare import Rate
from pressinglib.tables import Table
from pressinglib.teach import lessons

GAMES = 1000  # a way
KEPT = json.loads(Path(lessons.__path__[0], "prices.json").read_text("utf-8"))
COUNTED = {"balls won in 8 s, in 100": 1, "balls in your box, in 100": 2, "metres at a sprint": 4}
TITLE = f"In this model, {GAMES:,} games each, same luck for all; in brackets, how far chance may move it (95 %)"
UNKNOWN = ("The model knows places and running, but no names, tired legs, nerves or shots; near your goal its carriers "
           "dare more than real ones and lose more balls. It compares ways to play, and forecasts no match.")


def beside(name: str, way: str, what: int = 1) -> Rate:
    """How much more comes of a way than of the first, in pairs of games: balls won in 100, or another column."""
    return Rate(*KEPT[name]["more"][way][what])


def more(rate: Rate) -> str:
    """A difference as a coach would say it; or that chance lets none be told.

    >>> more(Rate(-12.1, -19.2, -5.4)), more(Rate(0.9, -2.8, 4.6))
    ('12 fewer (5 to 19)', 'no difference can be told, +1 (-3 to +5)')
    """
    near, far = sorted(map(abs, (rate.low, rate.high)))
    places = int(near < 1)
    if rate.sign:
        word = "more" if rate.sign > 0 else "fewer"
        return f"{abs(rate.value):.{places}f} {word} ({near:.{places}f} to {far:.{places}f})"
    one, low, high = (f"{value:+z.{places}f}" for value in (rate.value, rate.low, rate.high))
    return "no difference can be told" + (f", {one} ({low} to {high})" if far else "")


def two_ways(name: str) -> Table:
    """What two ways come to, and what sets the second apart from the first."""
    (one, first), (two, second) = KEPT[name]["ways"].items()
    rows = [(what, Rate(*first[k]), Rate(*second[k]), more(beside(name, two, k))) for what, k in COUNTED.items()]
    return Table(("what comes of it", one, two, f"compared with {one}"), rows, {}, TITLE, (UNKNOWN,))


def all_ways(name: str) -> Table:
    """What each of several ways wins and costs, those on top that win most balls and let fewest into the box."""
    ways = sorted(KEPT[name]["ways"].items(), key=lambda way: way[1][2][0] - way[1][1][0])
    rows = [(way, *(Rate(*one) for one in rates)) for way, rates in ways]
    return Table(HEAD[:-1], rows, {}, TITLE, ("Ground given below 0: they were driven back.",))
