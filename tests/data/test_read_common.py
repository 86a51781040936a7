"""The Common Data Format (arXiv 2505.15820): invented files, read tolerantly."""

from __future__ import annotations

import gzip
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from pressinglib.data import Report, Tracking, read_common
from pressinglib.errors import BadInput
from tests.data.made_files import write_common
from tests.data.test_read_long import same

Edit = Callable[[list[Any]], None]


@pytest.fixture
def folder(invented: Tracking, tmp_path: Path) -> Path:
    return write_common(invented, tmp_path / "match")


def edited(folder: Path, edit: Edit) -> Path:
    lines = [json.loads(line) for line in (folder / "tracking.jsonl").read_text().splitlines()]
    edit(lines)
    (folder / "tracking.jsonl").write_text("\n".join(line if isinstance(line, str) else json.dumps(line)
                                                     for line in lines))
    return folder


def meta(folder: Path, edit: Callable[[Any], None]) -> Path:
    document = json.loads((folder / "meta.json").read_text())
    edit(document)
    (folder / "meta.json").write_text(json.dumps(document))
    return folder


def notes(report: Report) -> list[str]:
    """But for the rate, which is always said."""
    return [note for note in report.notes if "frames a second" not in note]


def test_a_match_comes_back(invented: Tracking, folder: Path) -> None:
    match, report = read_common(folder)
    same(match, invented)
    assert report.clean and notes(report) == []


def test_an_older_draft_is_read(invented: Tracking, folder: Path) -> None:
    def old(lines: list[Any]) -> None:
        for line in lines:
            line["ball_status"] = line["ball"].pop("status")
            line["timestamp"] = line["timestamp"].replace("T", " ")
            line["frame_id"] = str(line["frame_id"])
            del line["match"], line["ball"]["poss_team_id"]
    match, report = read_common(edited(folder, old))
    same(match, invented)
    assert report.clean and not notes(report)


def test_optional_fields_do_no_harm(invented: Tracking, folder: Path) -> None:
    def more(lines: list[Any]) -> None:
        for line in lines:
            line["officials"] = [{"id": "r", "x": None, "y": 1}]
            line["teams"]["home"]["players"][0] |= {"z": None, "vel": 3, "is_visible": False, "name": "<b>"}
            line["ball"]["poss_team_id"] = "home"
    match, report = read_common(edited(folder, more))
    assert report.clean and (match.given == 1).all()
    np.testing.assert_allclose(match.home.xy, invented.home.xy, atol=1e-3)


def test_the_home_side_is_turned_as_the_meta_data_say(invented: Tracking, folder: Path) -> None:
    def turn(lines: list[Any]) -> None:
        for line in lines[80:]:
            for thing in [line["ball"], *line["teams"]["home"]["players"], *line["teams"]["away"]["players"]]:
                thing["x"], thing["y"] = -thing["x"], -thing["y"]
    edited(folder, turn)
    meta(folder, lambda m: m["match"]["periods"][1].update(play_direction="right_left"))
    same(read_common(folder)[0], invented)


def test_without_a_direction_it_must_be_said(invented: Tracking, folder: Path) -> None:
    (folder / "meta.json").unlink()
    with pytest.raises(BadInput, match=r"direction of play: expected match.periods.*got none"):
        read_common(folder)
    match, report = read_common(folder, home_attacks="right")
    np.testing.assert_allclose(match.ball_xy, invented.ball_xy, atol=1e-3)
    assert match.home.numbers == tuple(str(n) for n in range(1, 12))  # by the order of the ids
    assert any("no meta data" in note for note in report.notes)
    assert any("home-10 (home) is 2, home-11 (home) is 3" in note for note in report.notes)
    assert match.home.ids[:3] == ("home-1", "home-10", "home-11")


def test_what_the_meta_data_lack_is_noted(folder: Path) -> None:
    def less(m: Any) -> None:
        del m["venue"]["pitch_width"], m["teams"]["home"]["players"][0]["jersey_number"]
    _, report = read_common(meta(folder, less))
    assert notes(report) == ["venue.pitch_length or pitch_width is missing: 105 x 68 m taken",
                             "players without a shirt number of their own: home-1 (home) is 1"]


def test_players_keep_their_own_numbers_where_others_have_none(folder: Path) -> None:
    def less(m: Any) -> None:
        players = m["teams"]["home"]["players"]
        del players[3]["jersey_number"]
        players[8]["jersey_number"], players[10]["jersey_number"] = 7, 99
    match, report = read_common(meta(folder, less))
    of = dict(zip(match.home.ids, match.home.numbers, strict=True))
    assert of == {f"home-{n}": str({4: 4, 9: 9, 11: 99}.get(n, n)) for n in range(1, 12)}
    assert notes(report) == ["players without a shirt number of their own: home-4 (home) is 4, home-9 (home) is 9"]


WRONG_META: list[tuple[Callable[[Any], Any], str]] = [
    (lambda m: m["teams"]["home"].update(players={}), "teams.home.players: expected a list [...]; got {}. Not used."),
    (lambda m: m["match"].update(periods="two"), "match.periods: expected a list [...]; got 'two'. Not used."),
    (lambda m: [p.update(jersey_number=[1]) for p in m["teams"]["away"]["players"]],
     "teams.away.players[0].jersey_number: expected a number of 1-8 characters; got [1]. Not used."),
]


@pytest.mark.parametrize(("edit", "said"), WRONG_META)
def test_wrong_kinds_of_value_in_the_meta_data_are_named(folder: Path, edit: Callable[[Any], Any], said: str) -> None:
    _, report = read_common(meta(folder, edit), home_attacks="right")
    assert str(report.problems[0]) == f"meta.json, column {said}" and len(report.problems) in (1, 11)


def test_meta_data_that_are_wrong_are_named(folder: Path) -> None:
    _, report = read_common(meta(folder, lambda m: m["venue"].update(pitch_length="long")))
    assert [str(p) for p in report.problems] == [
        "meta.json, column venue.pitch_length: expected a number; got 'long'. Not used."]
    (folder / "meta.json").write_text("{")
    with pytest.raises(BadInput, match=r"meta data meta.json: expected a readable JSON file"):
        read_common(folder)


WRONG: list[tuple[str, Any, str]] = [
    ("period", "third_half", "period: expected one of first_half"),
    ("timestamp", "noon", "timestamp: expected a date and time; got 'noon'"),
    ("timestamp", "2031-05-04T15:30:00", "time: not later than the frame before"),
    ("teams", None, "teams: expected an object"),
    ("teams", {"home": {"players": []}}, "teams.away: expected an object"),
    ("teams", {"home": {"players": {}}, "away": {}}, r"teams.home.players: expected a list"),
    ("teams", {"home": {"players": [{"x": 1}]}, "away": {"players": []}}, r"players\[0\].id: expected who it is"),
    ("teams", {"home": {"players": [{"id": 1, "x": "1", "y": 1}]}, "away": {"players": []}}, r"\[0\].x: expected a"),
    ("teams", {"home": {"players": [{"id": 1, "x": True}]}, "away": {"players": []}}, r"\[0\].x: expected a number"),
    ("ball", {"x": "1", "y": 0}, "ball.x: expected a number; got '1'"),
    ("ball", {"x": 1, "y": 0, "status": "maybe"}, "alive: expected 1 or 0; got 'maybe'"),
    ("ball", {"x": 1e300, "y": 0}, "ball.x: expected a number"),
    ("ball", {"x": 400, "y": 0}, "x, y: the ball more than 10 m off the pitch"),
    ("timestamp", None, "timestamp: expected a date and time; got nothing"),
    ("period", "\ud800", "period: expected one of first_half"),
    ("frame_id", 106.5, "frame_id: expected a whole number; got '106.5'"),
]


@pytest.mark.parametrize(("field", "value", "words"), WRONG)
def test_a_wrong_frame_is_named_and_left_out(folder: Path, field: str, value: Any, words: str) -> None:
    match, report = read_common(edited(folder, lambda lines: lines[6].update({field: value})))
    assert len(match) == 159 and report.skipped <= {106} and len(report.problems) == 1
    problem = report.problems[0]
    assert (problem.file, problem.row) == ("tracking.jsonl", 7)
    assert re.search(words, f"{problem.column}: {problem.what}")


BROKEN = ["{broken", "[]", '{"frame_id": "seven"}', "[" * 5000, '{"x":"' + "y" * 200_000 + '"}']


@pytest.mark.parametrize("line", BROKEN)
def test_a_line_that_is_no_frame_is_named(folder: Path, line: str) -> None:
    def broken(lines: list[Any]) -> None:
        lines[6] = line
    match, report = read_common(edited(folder, broken))
    assert len(match) == 159 and [p.row for p in report.problems] == [7]
    assert str(report.problems[0]).endswith("Line left out.")


def test_half_a_letter_in_a_name_does_no_harm(folder: Path) -> None:
    def halved(lines: list[Any]) -> None:
        for line in lines:
            line["teams"]["home"]["id"] = line["ball"]["poss_team_id"] = "\ud800"
            line["teams"]["away"]["players"][0]["id"] = "\ud800"
    match, report = read_common(edited(folder, halved))
    assert report.clean and (match.given == 1).all() and "?" in match.away.ids


def test_balls_and_players_that_are_unknown_stay_unknown(folder: Path) -> None:
    def blank(lines: list[Any]) -> None:
        lines[3]["ball"].update(x=None)
        lines[4]["ball"] = None
        lines[5]["teams"]["home"]["players"][2].update(x=None, y=None)
        lines[6]["teams"]["home"]["players"][2].update(y=None)
        del lines[7]["teams"]["home"]["players"][2]
    match, report = read_common(edited(folder, blank))
    assert report.counts["frames without a ball"] == 2 and np.isnan(match.home.xy[5:8, 2]).all()
    assert report.counts["players with only one of x and y (taken as not seen)"] == 1


def test_lines_out_of_order_are_sorted_and_lines_that_stand_twice_merged(invented: Tracking, folder: Path) -> None:
    def shuffled(lines: list[Any]) -> None:
        lines[:] = [lines[0], *lines[80:], *lines[1:80], lines[5]]
    match, report = read_common(edited(folder, shuffled))
    same(match, invented)
    assert report.clean and report.counts["rows that stand twice (merged)"] == 23
    assert notes(report) == ["rows were not in the order of period and frame: sorted"]


def test_the_clock_begins_with_each_period(invented: Tracking, folder: Path) -> None:
    match, _ = read_common(folder)
    assert match.clock_s[[0, 79, 80, 159]] == pytest.approx([0, 7.9, 0, 7.9])


def test_the_shootout_is_left_out(folder: Path) -> None:
    match, report = read_common(edited(folder, lambda lines: [x.update(period="shootout") for x in lines[150:]]))
    assert len(match) == 150 and report.counts["frames of the shootout, left out"] == 10


def test_files_that_are_not_there_or_not_whole(folder: Path, tmp_path: Path) -> None:
    data = gzip.compress((folder / "tracking.jsonl").read_bytes())
    (tmp_path / "whole.jsonl.gz").write_bytes(data)
    assert len(read_common(tmp_path / "whole.jsonl.gz", folder / "meta.json")[0]) == 160
    (tmp_path / "half.jsonl.gz").write_bytes(data[: len(data) // 2])
    with pytest.raises(BadInput, match="match half.jsonl.gz: expected a whole file; got one that ends in the middle"):
        read_common(tmp_path / "half.jsonl.gz", folder / "meta.json")
    (folder / "other.jsonl").write_text("")
    with pytest.raises(BadInput, match="one file .jsonl or .jsonl.gz; got 2"):
        read_common(folder)
    with pytest.raises(BadInput, match="expected frames; got none that can be used"):
        read_common(folder / "other.jsonl", folder / "meta.json")
