"""The plain long table: units, origin and direction as declared; what is wrong is named and left out."""

from __future__ import annotations

import gzip
import re
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest

from pressinglib.data import Coordinates, MatchPlan, Tracking, open_match, read_long, save_match
from pressinglib.data.coordinates import METRES
from pressinglib.errors import BadInput, UnknownName
from pressinglib.field.pitch import Pitch
from tests.data.made_files import long_columns, write_long


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
    (5, "x", "inf", "expected a number; got a number beyond all bounds"),
    (5, "x", "400", "more than 10 m off the pitch"),
    (0, "time", "", "expected a number; got nothing"),
    (24, "time", "0", "not later than the frame before"),
    (5, "time", "7.77", "another one than in the rows before of this frame; got '7.77'"),
    (5, "player", "", "expected who it is; got nothing"),
    (5, "player", "a number too long", "expected a number of 1-8 characters"),
    (5, "player", "11", "in two places at once"),
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
        (3, "expected 11 fields; got 13"), (30, "expected 11 fields; got 12")]
    assert report.skipped == {100, 101} and match.frame_id[0] == 102


def test_a_file_that_is_cut_inside_its_last_row_is_named(invented: Tracking, tmp_path: Path) -> None:
    text = write_long(invented, tmp_path / "match.csv").read_text()
    (tmp_path / "match.csv").write_text(text[: text.rindex(",", 0, text.rindex(",")) - 3])
    match, report = read_long(tmp_path / "match.csv", METRES)
    assert [(p.row, p.what) for p in report.problems] == [(160 * 23, "expected 11 fields; got 8")]
    assert report.skipped == {259} and len(match) == 159


def test_blank_lines_leave_the_rows_their_numbers(invented: Tracking, tmp_path: Path) -> None:
    lines = write_long(invented, tmp_path / "match.csv").read_text().splitlines()
    lines[40] = lines[40].replace(lines[40].split(",")[5], "here", 1)
    (tmp_path / "match.csv").write_text("\n".join([*lines[:5], "", *lines[5:], "", ""]))
    _, report = read_long(tmp_path / "match.csv", METRES)
    assert [(p.row, p.column) for p in report.problems] == [(41, "x")]


@pytest.mark.parametrize("ending", ["csv", "csv.gz"])
def test_null_bytes_further_in_are_named(invented: Tracking, tmp_path: Path, ending: str) -> None:
    data = write_long(invented, tmp_path / "match.csv").read_bytes()
    data = data[:100_000] + bytes(512) + data[100_512:]
    (tmp_path / f"bad.{ending}").write_bytes(gzip.compress(data) if ending == "csv.gz" else data)
    with pytest.raises(BadInput, match=f"table bad.{ending}: expected a readable table; got null bytes: it is damaged"):
        read_long(tmp_path / f"bad.{ending}", METRES)


def test_a_quotation_mark_that_swallows_rows_is_named(invented: Tracking, tmp_path: Path) -> None:
    lines = write_long(invented, tmp_path / "match.csv").read_text().splitlines()
    lines[30] = lines[30].replace(",home,", ',"home,')
    lines[40] = lines[40].replace(",home,", ',home",')
    (tmp_path / "match.csv").write_text("\n".join(lines))
    with pytest.raises(BadInput, match="got a quotation mark without the other one in row 30"):
        read_long(tmp_path / "match.csv", METRES)


@pytest.mark.parametrize("ending", ["csv", "parquet"])
def test_a_column_that_stands_twice_is_not_called_missing(invented: Tracking, tmp_path: Path, ending: str) -> None:
    file, frame = tmp_path / f"match.{ending}", table(invented)
    if ending == "csv":
        frame.rename(columns={"y": "x"}).to_csv(file, index=False)
        with pytest.raises(BadInput, match=f"table match.{ending}: expected a column of its own .*; got two called x"):
            read_long(file, METRES)
    write_long(invented, file)
    with pytest.raises(BadInput, match=f"table match.{ending}: expected a column of its own .*; got two called x"):
        read_long(file, METRES, names={"x": "z"})


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


SIZE = np.array([105.0, 68.0])
SAID: list[tuple[str, str, Any, str]] = [
    ("m", "centre", lambda xy: 100 * xy, r"got 2.17e\+03 m, 0% .* as m from the centre.* like cm from the centre"),
    ("m", "corner", lambda xy: 100 * (xy + SIZE / 2), "it looks like cm from the corner"),
    ("m", "corner", lambda xy: (xy + SIZE / 2) / SIZE, "it looks like share from the corner"),
    ("m", "centre", lambda xy: xy / SIZE, "it looks like share from the centre"),
    ("m", "centre", lambda xy: 1000 * xy, "it looks like mm from the centre"),
    ("m", "centre", lambda xy: xy * 3 / 0.9144, "it looks like ft from the centre"),
    ("cm", "centre", lambda xy: xy, "it looks like m from the centre"),
    ("share", "centre", lambda xy: xy, "it looks like m from the centre"),
    ("m", "corner", lambda xy: xy, r"got 21.7 m, 32% of the places, as m from the corner.* like m from the centre"),
    ("m", "centre", lambda xy: xy + SIZE / 2, "it looks like m from the corner"),
]


@pytest.mark.parametrize(("unit", "origin", "written", "said"), SAID)
def test_units_that_cannot_be_are_refused_with_the_likely_cause(
    invented: Tracking, tmp_path: Path, unit: str, origin: str, written: Any, said: str
) -> None:
    frame = table(invented)
    frame[["x", "y"]] = written(frame[["x", "y"]].to_numpy())
    with pytest.raises(BadInput, match=f"x and y: expected teams spread over 8-35 m, on the pitch; .*{said}"):
        read(frame, tmp_path, Coordinates(unit, origin, "right"))


TIMES = [(1000.0, "milliseconds"), (1 / 60, "minutes"), (25.0, "numbers of frames")]


@pytest.mark.parametrize(("times", "likely"), TIMES)
def test_times_that_are_no_seconds_are_refused_with_the_likely_cause(
    invented: Tracking, tmp_path: Path, times: float, likely: str
) -> None:
    with pytest.raises(BadInput, match=rf"match.csv, time: expected seconds; .* they look like .*{likely}"):
        read(table(invented).assign(time=lambda rows: rows.time * times), tmp_path)


def test_no_ball_at_all_is_refused(invented: Tracking, tmp_path: Path) -> None:
    frame = table(invented)
    with pytest.raises(BadInput, match="match.csv, ball: expected its places; got none in any frame"):
        read(frame[frame.team != "ball"], tmp_path)


def test_rates_and_speeds_are_said(invented: Tracking, tmp_path: Path) -> None:
    _, report = read(table(invented), tmp_path)
    assert "10 frames a second; who moves has 1.1 m/s, usually" in report.notes  # the drift of the invented match


def test_rows_in_any_order_are_sorted_and_rows_that_stand_twice_merged(invented: Tracking, tmp_path: Path) -> None:
    frame = table(invented)
    match, report = read(pd.concat([frame.sample(frac=1, random_state=1), frame[5:9]]), tmp_path)
    same(match, invented)
    assert report.clean and report.counts["rows that stand twice (merged)"] == 4
    assert "rows were not in the order of period and frame: sorted" in report.notes
    assert "sorted" not in str(read(frame, tmp_path)[1])


def test_a_ball_in_two_places_is_named(invented: Tracking, tmp_path: Path) -> None:
    frame = table(invented)
    again = frame[(frame.frame == 104) & (frame.team == "ball")]
    match, report = read(pd.concat([frame, again, again.assign(x=5)]), tmp_path)
    assert report.skipped == {104} and "the ball in two places at once" in report.problems[0].what


MARKS = [(";", ",", "semicolons .* decimal commas"), (";", ".", "semicolons .* decimal points"), ("\t", ".", "tabs"),
         ("\t", ",", "tabs .* decimal commas"), ("|", ".", "bars"), (",", ".", "")]


@pytest.mark.parametrize(("mark", "point", "said"), MARKS)
@pytest.mark.parametrize("text", ["utf-8", "utf-8-sig"])
def test_marks_between_columns_decimal_commas_and_a_byte_order_mark_are_found(
    invented: Tracking, tmp_path: Path, mark: str, point: str, said: str, text: str
) -> None:
    table(invented).to_csv(tmp_path / "match.csv", index=False, sep=mark, decimal=point, encoding=text)
    match, report = read_long(tmp_path / "match.csv", METRES)
    same(match, invented)
    assert report.clean and (re.search(f"read with {said}", str(report)) if said else "read with" not in str(report))


def test_decimal_commas_that_cannot_be_told_apart_are_named(invented: Tracking, tmp_path: Path) -> None:
    frame = table(invented).astype({"x": object})
    frame.loc[5, "x"] = "10,5"
    _, report = read(frame, tmp_path)
    assert report.problems[0].what == "expected a number; got '10,5'"


def test_one_word_among_decimal_commas_spoils_its_own_frame_alone(invented: Tracking, tmp_path: Path) -> None:
    frame = table(invented).astype({"x": object})
    frame["x"] = frame["x"].map(lambda x: f"{x:.6f}".replace(".", ","))
    frame.loc[5, "x"] = "left"
    frame.to_csv(tmp_path / "match.csv", index=False, sep=";", decimal=",")
    match, report = read_long(tmp_path / "match.csv", METRES)
    assert [problem.row for problem in report.problems] == [6] and len(match) == len(invented) - 1


def test_players_have_ids_and_numbers(invented: Tracking, tmp_path: Path) -> None:
    frame = table(invented)
    frame["number"] = frame["player"]
    frame["player"] = "the player " + frame["team"] + frame["player"]
    match, report = read(frame, tmp_path)
    same(match, invented)
    assert report.clean and match.away.ids[8] == "the player away9" and match.away.numbers[8] == "9"
    kept = open_match(save_match(match, tmp_path / "kept", "csv"))
    assert kept.away.ids == match.away.ids
    players = MatchPlan.of(kept, per_second=1, with_faults=False).tables(MatchPlan.of(kept).chunks[0])["players"]
    assert {i.removeprefix(f"the player {s}") == n for i, s, n in
            zip(players["player_id"], players["pressing"], players["number"], strict=True)} == {True}


def test_the_source_s_clock_stands_in_every_table(invented: Tracking, tmp_path: Path) -> None:
    frame = table(invented)
    frame.loc[frame.period == 2, "time"] -= 900.0  # both halves begin at 0 and 8 s
    frame["clock"] = frame["time"] + 2700 * (frame.period - 1)
    match, _ = read(frame, tmp_path)
    kept = open_match(save_match(match, tmp_path / "kept", "csv"))
    assert kept.clock_s[[0, 80]] == pytest.approx([0, 2708])
    plan = MatchPlan.of(kept, per_second=1)
    for columns in plan.tables(plan.chunks[-1]).values():
        assert set(columns["period"]) == {2} and 2708 <= min(columns["clock_s"]) and max(columns["clock_s"]) < 2716


def test_numbers_without_end_are_cut_in_what_is_said(invented: Tracking, tmp_path: Path) -> None:
    frame = table(invented).astype(object)
    frame.loc[5, "frame"] = frame.loc[30, "x"] = "9" * 5000
    _, report = read(frame, tmp_path)
    assert len(report.problems) == 2 and len(str(report)) < 1000


def test_a_clock_that_leaps_once_costs_one_frame(invented: Tracking, tmp_path: Path) -> None:
    frame = table(invented)
    frame.loc[frame.frame == 105, "time"] += 500
    match, report = read(frame, tmp_path)
    assert report.skipped == {105} and len(match) == 159


def test_whole_numbers_that_no_float_holds_are_named(invented: Tracking, tmp_path: Path) -> None:
    frame = table(invented).astype({"frame": object})
    frame.loc[5, "frame"] = int("9" * 4000)
    _, report = read(frame, tmp_path)
    assert [problem.what[:23] for problem in report.problems] == ["expected a whole number"]


def test_two_players_with_one_number_stay_two(invented: Tracking, tmp_path: Path) -> None:
    frame = table(invented)
    frame["number"] = frame["player"]
    frame.loc[(frame.team == "home") & (frame.player == "8"), "number"] = "9"
    frame.loc[(frame.team == "away") & (frame.period == 2) & (frame.player == "9"), "number"] = "19"
    match, report = read(frame, tmp_path)
    assert match.home.numbers == match.away.numbers == invented.home.numbers and report.clean
    assert np.nanmax(np.abs(match.away.xy - invented.away.xy)) < 0.01
    assert dict(zip(match.home.ids, match.home.numbers, strict=True))["8"] == "9"  # the first who wears it keeps it
    assert "players without a shirt number of their own: 9 (home) is 8" in report.notes
    assert "numbers that change: 9 (away) is 9" in report.notes


def test_a_side_that_turns_within_a_period_is_seen(invented: Tracking, tmp_path: Path) -> None:
    frame = table(invented)
    frame.loc[frame.period == 2, ["x", "y"]] *= -1
    _, report = read(frame.drop(columns="period"), tmp_path)
    assert re.search("in period 1 from 9.. s on the clock the home side stands as if", str(report))


def test_what_cannot_be_is_said(invented: Tracking, tmp_path: Path) -> None:
    frame = table(invented)
    with pytest.raises(BadInput, match="z: expected metres, with the ball near the ground .*; got .* the unit of z"):
        read(frame.assign(z=np.where(frame.team == "ball", 11.0, 0.0)), tmp_path)
    with pytest.raises(BadInput, match="none that fits; first: match.csv, row 1, column period: .* got 'first'"):
        read(frame.assign(period="first"), tmp_path)
    frame.loc[(frame.team == "home") & (frame.player == "9"), ["x", "y"]] = 0.0
    _, report = read(frame.replace({"team": {"away": "AWAY"}}), tmp_path, away="AWAY")
    assert any(note.startswith("still to the millimetre, so perhaps not seen: ") for note in report.notes)


def test_many_faults_are_counted(invented: Tracking, tmp_path: Path) -> None:
    frame = table(invented).astype(object)
    frame.loc[range(5, 5 + 23 * 55, 23), "x"] = "here"
    _, report = read(frame, tmp_path)
    assert len(report.skipped) == 55 and report.counts["more rows with a fault in x"] == 50


def test_a_row_of_no_period_hinders_no_other(invented: Tracking, tmp_path: Path) -> None:
    frame = table(invented).astype(object)
    frame.loc[5, "period"] = "first"
    match, _ = read(frame, tmp_path, Coordinates("m", "centre", {1: "right", 2: "right"}))
    assert len(match) == 159


def test_a_hopeless_file_is_refused(invented: Tracking, tmp_path: Path) -> None:
    frame = table(invented)
    frame["time"] = 5.0
    with pytest.raises(BadInput, match="most of them whole; got 2 of 160 usable; first: "):
        read(frame, tmp_path)
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
