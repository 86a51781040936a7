"""The house stays small: files, lines, and what one plan, one drag and one Check run through."""

from __future__ import annotations

import pytest

from tests.project.house import LIMITS, circles, files_for, measured


@pytest.fixture(scope="module")
def house() -> dict[str, int]:
    return measured()


@pytest.mark.parametrize("what", LIMITS)
def test_the_house_is_small(house: dict[str, int], what: str) -> None:
    assert house[what] <= LIMITS[what], circles()


def test_what_runs_is_counted() -> None:
    from pressinglib.physics import ball_time

    files = files_for(lambda: ball_time(10.0, 15.0), before=list)
    assert files == {"physics/ball.py", "errors.py", "doors.py"}
