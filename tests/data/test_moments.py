"""Moments found by a question, and turned into scenes."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from pressinglib.data import Question, find_moments
from pressinglib.errors import BadInput, UnknownName

TWO = "two press one ball"


def tables(pattern: str, ball_y: float | list[float] = 0.0, step_s: float = 0.2) -> tuple[pd.DataFrame, pd.DataFrame]:
    """A letter a frame: f a fault, . none, space not planned."""
    rows = [k for k, letter in enumerate(pattern) if letter != " "]
    y = np.broadcast_to(ball_y, len(rows))
    frames = pd.DataFrame({"frame_id": rows, "period": 1, "time_s": np.array(rows) * step_s, "pressing": "home",
                           "ball_y": y, "danger_after": y / 10.0, "presser": "9"})
    hits = [k for k, letter in enumerate(pattern) if letter == "f"]
    faults = pd.DataFrame({"frame_id": hits, "pressing": "home", "kind": TWO, "players": "7 10"})
    return frames, faults


@pytest.mark.parametrize(("pattern", "lasts_s", "found"), [
    ("..ff..f.", 0.0, [(0.4, 0.8), (1.2, 1.4)]), ("..ff..f.", 0.4, [(0.4, 0.8)]), ("fffff", 1.0, [(0.0, 1.0)]),
    ("ffff", 1.0, []), ("........", 0.0, []), ("fff     fff", 0.0, [(0.0, 0.6), (1.6, 2.2)]),
])
def test_stretches_and_how_long_they_last(pattern: str, lasts_s: float, found: list[tuple[float, float]]) -> None:
    moments = find_moments(*tables(pattern), Question(TWO, lasts_s=lasts_s))
    np.testing.assert_allclose(np.array([(m.start_s, m.end_s) for m in moments]), np.array(found))
    assert {m.players for m in moments} <= {"7 10"}


def test_the_frame_of_a_moment_is_in_its_middle() -> None:
    (moment,) = find_moments(*tables("..fffff."), Question(TWO))
    assert (moment.frame_id, moment.pressing, moment.lasts_s) == (4, "home", 1.0)


def test_the_other_side_and_other_faults_are_others() -> None:
    frames, faults = tables("..fff")
    assert find_moments(frames, faults.assign(pressing="away"), Question(TWO)) == []
    assert find_moments(frames, faults, Question("nobody goes")) == []


def test_how_many_moments_are_planned_does_not_change_how_long_a_stretch_lasts() -> None:
    """12.5 Hz, of which all, five or three a second are planned: a stretch of 1.04 s lasts a second in each."""
    time = np.arange(100) * 0.08
    for per_second in (12.5, 5, 3):
        planned = np.diff(np.floor(time * per_second + 1e-6), prepend=-1) > 0
        frames = pd.DataFrame({"frame_id": np.arange(100), "period": 1, "time_s": time, "pressing": "home"})[planned]
        faults = frames[(frames.frame_id >= 25) & (frames.frame_id < 38)].assign(kind=TWO, players="7")
        (moment,) = find_moments(frames, faults, Question(TWO, lasts_s=1.0))
        assert moment.lasts_s == pytest.approx(1.04, abs=1 / per_second)


def test_conditions_on_the_table() -> None:
    frames, faults = tables(".....", [1.0, 7, 8, 2, 9])
    assert [m.start_s for m in find_moments(frames, faults, Question(where="danger_after > 0.65"))] == [0.2, 0.8]
    assert [m.start_s for m in find_moments(frames, faults, Question(where="ball_y<=1"))] == [0.0]
    for wrong, words in (("words > 1", "condition: expected one of frame_id"), ("presser > 1", "condition on presser"),
                         ("danger_after = high", "condition on danger_after: expected = and a word for words")):
        with pytest.raises(BadInput, match=words):
            find_moments(frames, faults, Question(where=wrong))


def test_conditions_on_words_and_on_players() -> None:
    frames, faults = tables(".....", [1.0, 7, 8, 2, 9])
    players = pd.DataFrame({"frame_id": [1, 1, 2, 3], "number": ["4", "6", "6", "4"],
                            "role": ["cover", "balance", "cover", "cover"]})

    def starts(where: str) -> list[float]:
        return [m.start_s for m in find_moments(frames, faults, Question(where=where), players)]

    assert starts("presser = 9 and pressing = home") == [0.0] and starts("pressing = away") == []
    assert starts("role = cover and number = 4") == [0.2, pytest.approx(0.6)]
    assert starts("number = 4 and danger_after > 0.65") == [0.2]
    frames["pressing"] = ["home", "away"] * 2 + ["away"]
    assert starts("number = 4 and pressing = away") == [0.2]  # one stretch, no frame of that side between


def test_questions_are_checked() -> None:
    with pytest.raises(UnknownName, match="fault: expected one of no pressure"):
        Question("two")
    for wrong in ("danger_after > __import__('os')", "danger_after", "", "a > 1; b"):
        with pytest.raises(BadInput, match="condition: expected a column"):
            Question(where=wrong)
    with pytest.raises(BadInput, match="question: expected a fault or a condition"):
        Question()
    assert Question(TWO, "danger_after > 1", 0.5).words == f"{TWO}, danger_after > 1, for 0.5 s"
