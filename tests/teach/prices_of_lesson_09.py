"""The prices that lesson 09 shows, made anew: python -m tests.teach.prices_of_lesson_09."""

from __future__ import annotations

import json
from dataclasses import astuple
from pathlib import Path
from typing import Any

from pressinglib import choices, scene, teach
from pressinglib.roles.compare import Rate, rate

FILE = Path(teach.__path__[0]) / "lessons" / "lesson_09_prices.json"
GAMES, DIGITS = 256, 4


def short(one: Rate) -> list[float]:
    return [round(value, DIGITS) for value in astuple(one)]


def prices(games: int = GAMES) -> dict[str, Any]:
    """The table by worth, and how many more balls in 100 each other way wins than the plan, in pairs of games."""
    found = choices(scene("worked scene"), copies=games)
    won = 100 * found.values[..., 1]
    rows = [(row[0], [short(one) for one in row[1:-1]]) for row in found.rows]
    beside = {name: short(rate(won[k] - won[0])) for k, name in enumerate(found.names) if k}
    return {"title": found.title, "rows": rows, "beside": beside}


if __name__ == "__main__":
    FILE.write_text(json.dumps(prices(), indent=1) + "\n", encoding="utf-8")
