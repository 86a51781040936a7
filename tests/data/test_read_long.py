"""The plain long table: units, origin and direction as declared; what is wrong is named and left out."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest

from pressinglib.data import Coordinates, Tracking, read_long
from pressinglib.data.coordinates import METRES
from pressinglib.data.long_table import long_columns
from pressinglib.errors import BadInput, UnknownName
from pressinglib.field.pitch import Pitch
from tests.data.made_files import write_long


def same(a: Tracking, b: Tracking, places_m: float = 1e-3) -> None:
    for name in ("time_s", "ball_xy", "ball_height_m", "alive", "frame_id", "period", "given"):
        np.testing.assert_allclose(getattr(a, name), getattr(b, name), atol=places_m)
    for side in ("home", "away"):
        assert getattr(a, side).numbers == getattr(b, side).numbers
        np.testing.assert_allclose(getattr(a, side).xy, getattr(b, side).xy, atol=places_m)


def table(match: Tracking) -> pd.DataFrame:
    return pd.DataFrame(long_columns(match))


def read(frame: pd.DataFrame, folder: Path, declared: Coordinates = METRES, **given: Any) -> Any:
    frame.to_csv(folder / "match.csv", index=False)
    return read_long(folder / "match.csv", declared, **given)


@pytest.mark.parametrize("ending", ["csv", "csv.gz", "parquet"])
def test_a_match_comes_back(invented: Tracking, tmp_path: Path, ending: str) -> None:
    match, report = read_long(write_long(invented, tmp_path / f"match.{ending}"), METRES)
    same(match, invented)
    assert report.clean and not report.skipped
    assert report.counts["frames read"] == 160


@pytest.mark.parametrize(("unit", "factor"), [("cm", 100.0), ("yd", 1 / 0.9144), ("ft", 3 / 0.9144), ("share", None)])
def test_units_and_corner_as_declared(invented: Tracking, tmp_path: Path, unit: str, factor: float | None) -> None:
    frame = table(invented)
    size = np.array([105.0, 68.0])
    xy = frame[["x", "y"]].to_numpy() + size / 2
    frame[["x", "y"]] = xy * factor if factor else xy / size
    same(read(frame, tmp_path, Coordinates(unit, "corner", "right"))[0], invented)


def test_a_period_played_the_other_way_is_turned(invented: Tracking, tmp_path: Path) -> None:
    frame = table(invented)
    frame.loc[frame.period == 2, ["x", "y"]] *= -1
    match, report = read(frame, tmp_path, Coordinates("m", "centre", {1: "right", 2: "left"}))
    same(match, invented)
    assert report.clean
    with pytest.raises(BadInput, match="home_attacks: expected a direction for every period; got none for 2"):
        read(frame, tmp_path, Coordinates("m", "centre", {1: "right"}))


def test_a_wrong_direction_is_taken_as_declared_and_said(invented: Tracking, tmp_path: Path) -> None:
    match, report = read(table(invented), tmp_path, Coordinates("m", "centre", "left"))
    np.testing.assert_allclose(match.home.xy, -invented.home.xy, atol=1e-3)
    assert "in period 1 the home side stands as if it attacked the other way" in str(report.problems[0])


def test_y_downwards(invented: Tracking, tmp_path: Path) -> None:
    frame = table(invented)
    frame["y"] *= -1
    same(read(frame, tmp_path, Coordinates("m", "centre", "right", "down"))[0], invented)


def test_clocks_that_start_anew_go_on(invented: Tracking, tmp_path: Path) -> None:
    frame = table(invented)
    second = frame.period == 2
    frame.loc[second, "time"] -= frame.loc[second, "time"].min()
    frame.loc[second, "frame"] -= frame.loc[second, "frame"].min() - 100
    match, report = read(frame, tmp_path)
    assert (np.diff(match.time_s) > 0).all() and len(match) == 160
    assert match.time_s[80] - match.time_s[79] == pytest.approx(60.0)
    assert match.frame_id.tolist() == list(range(160))
    assert any("numbered by their order" in note for note in report.notes)


WRONG = [
    (5, "x", "here", "expected a number; got 'here'"),
    (5, "x", "inf", "expected a number; got 'inf'"),
    (5, "x", "400", "more than 10 m off the pitch"),
    (0, "time", "", "expected a number; got nothing"),
    (24, "time", "0", "not later than the frame before"),
    (5, "player", "", "expected a number of 1-8 characters"),
    (5, "player", "a number too long", "expected a number of 1-8 characters"),
    (5, "player", "11", "the same player twice"),
    (5, "period", "first", "expected a number from 1 to 5; got 'first'"),
    (5, "period", "9", "expected a number from 1 to 5; got '9'"),
    (5, "x", "1e12", "expected a number; got '1"),
    (5, "alive", "perhaps", "expected 1 or 0; got 'perhaps'"),
]


@pytest.mark.parametrize(("row", "column", "value", "words"), WRONG)
def test_a_bad_row_is_named_and_its_frame_left_out(
    invented: Tracking, tmp_path: Path, row: int, column: str, value: str, words: str
) -> None:
    frame = table(invented).astype(object)
    frame.loc[row, column] = value
    if column == "time" and value == "0":
        frame.loc[23:45, "time"] = "0"
    match, report = read(frame, tmp_path)
    assert 158 <= len(match) <= 159 and report.skipped
    assert any(words in problem.what for problem in report.problems)
    assert report.problems[0].row is not None and report.problems[0].file == "match.csv"


def test_a_row_whose_frame_is_no_whole_number_is_left_out(invented: Tracking, tmp_path: Path) -> None:
    frame = table(invented).astype(object)
    frame.loc[[5, 30, 50], "frame"] = ["100.5", "1e12", "?"]
    match, report = read(frame, tmp_path)
    assert [str(problem) for problem in report.problems] == [
        f"match.csv, row {row}, column frame: expected a whole number; got {got!r}. Row left out."
        for row, got in ((6, "100.5"), (31, "1e12"), (51, "?"))]
    assert len(match) == 160 and np.isnan(match.home.xy[0, 4]).all()


def test_a_row_with_too_many_fields_is_named(invented: Tracking, tmp_path: Path) -> None:
    write_long(invented, tmp_path / "match.csv")
    lines = (tmp_path / "match.csv").read_text().splitlines()
    lines[3] += ",1,2"
    lines[30] = lines[30].replace(",home,", ",home,extra,").replace(",away,", ",away,extra,")
    (tmp_path / "match.csv").write_text("\n".join(lines))
    match, report = read_long(tmp_path / "match.csv", METRES)
    assert [(p.row, p.what) for p in report.problems] == [
        (3, "expected 10 fields; got 12"), (30, "expected 10 fields; got 11")]
    assert report.skipped == {100, 101} and match.frame_id[0] == 102


def test_twelve_of_a_side_are_too_many(invented: Tracking, tmp_path: Path) -> None:
    frame = table(invented)
    twelfth = frame[(frame.frame == 103) & (frame.player == "9") & (frame.team == "home")].assign(player="12")
    match, report = read(pd.concat([frame, twelfth]), tmp_path)
    assert report.skipped == {103} and len(match) == 159


def test_officials_are_left_out_and_a_missing_ball_is_counted(invented: Tracking, tmp_path: Path) -> None:
    frame = table(invented)
    frame = frame[~((frame.frame == 105) & (frame.team == "ball"))]
    match, report = read(pd.concat([frame, frame[:1].assign(team="referee")]), tmp_path)
    assert report.counts["rows of officials and others, left out"] == 1
    assert report.counts["frames without a ball"] == 1 and np.isnan(match.ball_xy[5]).all()


def test_columns_and_teams_may_have_other_names(invented: Tracking, tmp_path: Path) -> None:
    frame = table(invented).rename(columns={"x": "pos_x", "player": "shirt"}).replace({"home": "A", "away": "B"})
    given = dict(home="A", away="B", names={"x": "pos_x", "player": "shirt"})
    same(read(frame, tmp_path, **given)[0], invented)
    with pytest.raises(BadInput, match="column team: expected the two teams 'C' and 'B'; got 'A', 'B', 'ball'"):
        read(frame, tmp_path, **{**given, "home": "C"})
    with pytest.raises(BadInput, match="got none called player, x"):
        read(frame, tmp_path, home="A", away="B")
    with pytest.raises(UnknownName, match="column: expected one of frame, time"):
        read(frame, tmp_path, **{**given, "names": {"ex": "x"}})


def test_the_ball_may_be_a_column(invented: Tracking, tmp_path: Path) -> None:
    frame = table(invented)
    frame["ball"] = (frame.team == "ball").astype(int)
    frame.loc[frame.team == "ball", "team"] = "none"
    same(read(frame, tmp_path)[0], invented)


def test_who_is_missing_blank_or_half_given_is_not_seen(invented: Tracking, tmp_path: Path) -> None:
    frame = table(invented).astype(object)
    frame.loc[5, "y"] = ""
    frame.loc[6, ["x", "y"]] = ""
    match, report = read(frame.drop(7), tmp_path)
    assert report.clean and np.isnan(match.home.xy[0, 4:7]).all() and np.isfinite(match.home.xy[1:]).all()
    assert report.counts["players with only one of x and y (taken as not seen)"] == 1


def test_a_hopeless_file_is_refused(invented: Tracking, tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="most of them whole; got 0 of 160 usable; first: "):
        read(table(invented), tmp_path, Coordinates("m", "corner", "right"))
    (tmp_path / "bytes.parquet").write_bytes(b"\x00no table")
    with pytest.raises(BadInput, match=r"table bytes.parquet: expected a readable table"):
        read_long(tmp_path / "bytes.parquet", METRES)
    with pytest.raises(BadInput, match="a name that ends in .parquet, .csv, .csv.gz"):
        read_long(tmp_path / "match.xlsx", METRES)


def test_declarations_are_checked() -> None:
    right = dict(unit="m", origin="centre", home_attacks="right", y="up")
    wrongs = (dict(unit="km"), dict(origin="top"), dict(home_attacks="up"), dict(home_attacks={1: "up"}), dict(y=""))
    for wrong in wrongs:
        with pytest.raises(UnknownName):
            Coordinates(**{**right, **wrong})  # type: ignore[arg-type]


def test_a_smaller_pitch(invented: Tracking, tmp_path: Path) -> None:
    match, _ = read(table(invented), tmp_path, pitch=Pitch(110, 70))
    assert match.pitch == Pitch(110, 70)
