"""How late is too late, how far is too far: each shows the moment at which the press fails."""

from __future__ import annotations

from typing import Any

import pytest

from pressinglib import PressingError
from pressinglib.field.scenes import scene
from pressinglib.play import Dribble, Pass, how_far, how_late
from tests.play.stories import DIVE

WORKED = scene("worked scene")


@pytest.mark.parametrize("to", ["3", "4"])
def test_a_late_presser_finds_the_receiver_free(to: str) -> None:
    """In time there is somebody on him as the first touch ends; 0.4 s late there is not; later is never better."""
    rows = how_late(WORKED, [Pass(to, at_s=0.5)], duration_s=4)
    assert [row["late_s"] for row in rows] == [0.0, 0.2, 0.4, 0.6, 0.8, 1.0]
    fails = [row["fails"] for row in rows]
    assert fails[0] is None and fails[2:] == ["receiver free"] * 4
    touch_ends = rows[-1]["fails_at_s"]
    assert all(row["fails_at_s"] in (None, touch_ends) for row in rows)
    pressure = [row["pressure_s"] for row in rows]
    assert pressure == sorted(pressure) and pressure[-1] > pressure[0] + 0.1


def test_the_whole_team_is_not_late() -> None:
    """Only the presser starts late: a cover who is there before him is not held back, so the pass is still cut out."""
    rows = how_late(scene("full-back on the ball"), [Pass(at_s=0.5)], (0.0, 1.0), duration_s=4)
    assert all(row["won_at_s"] is not None for row in rows)


def test_tucked_in_too_far_the_switch_finds_a_free_man() -> None:
    """The far-side player holds his place until the ball is played: 4 m further in he is there, 8 m he is not."""
    rows = far_side((0.0, 4.0, 8.0, 12.0))
    assert [row["fails"] for row in rows] == [None, None, "receiver free", "receiver free"]
    assert rows[2]["fails_at_s"] == rows[3]["fails_at_s"] > 3.0
    pressure = [row["pressure_s"] for row in rows]
    assert pressure == sorted(pressure)


def far_side(metres: tuple[float, ...]) -> list[dict[str, Any]]:
    return how_far(WORKED, [Pass("2", kind="lofted", at_s=1.0)], "7", (15, 0), metres, holds_until_s=1.0, duration_s=5)


def test_a_cover_too_far_off_takes_over_too_late() -> None:
    """The presser dives in and is dribbled: 3 m deeper the cover still takes over in time, 6 m deeper nobody does."""
    rows = how_far(WORKED, [DIVE, Dribble(way="inside", at_s=1.5, speed_mps=6)], "10", (-7, 1), (0, 3, 6, 9),
                   holds_until_s=1.5, duration_s=6.5)
    assert [row["fails"] for row in rows] == [None, None, "nobody takes over", "nobody takes over"]
    assert rows[0]["danger"] < rows[1]["danger"] < rows[2]["danger"]


def test_bad_questions() -> None:
    with pytest.raises(PressingError):
        how_late(WORKED, [], ["late"])  # type: ignore[list-item]
    with pytest.raises(PressingError):
        how_far(WORKED, [], "99", (0, 0), [1.0])
    with pytest.raises(PressingError):
        how_far(WORKED, [], "7", (0, 0), ["far"])  # type: ignore[list-item]
