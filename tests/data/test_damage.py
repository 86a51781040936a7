"""Damaged files of matches and plans: what cannot be read is a PressingError that says what to do, and nothing else."""

from __future__ import annotations

import gzip
import json
import random
import re
import shutil
import warnings
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest

from pressinglib.data import (
    MatchPlan,
    Question,
    Tracking,
    find_moments,
    open_match,
    plan_match,
    read_common,
    read_long,
    read_plans,
    save_match,
    table_files,
)
from pressinglib.data.coordinates import METRES
from pressinglib.data.match_folder import VERSION
from pressinglib.data.match_plan import TABLES
from pressinglib.errors import PressingError
from tests.data.made_files import long_columns, write_common, write_long

TRIES, FULL = 12, 300  # for each kind of file
Read = Callable[[Path], object]
MOMENTS = Question("two press one ball", "danger_after > 0.1", 0.1)


@pytest.fixture(scope="module")
def few(invented: Tracking) -> Tracking:
    """The first moments of each half."""
    kept = np.r_[0:12, 80:92]
    teams = {side: type(invented.home)(t.numbers, t.slots, t.xy[kept])
             for side, t in (("home", invented.home), ("away", invented.away))}
    return Tracking(invented.pitch, teams["home"], teams["away"], invented.time_s[kept], invented.ball_xy[kept],
                    invented.ball_height_m[kept], invented.alive[kept], invented.frame_id[kept], invented.period[kept],
                    invented.given[kept])


@pytest.fixture(scope="module")
def desk(few: Tracking, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Whole files of every kind."""
    desk = tmp_path_factory.mktemp("whole")
    for kind in ("csv", "csv.gz", "parquet"):
        write_long(few, desk / f"long.{kind}")
        save_match(few, desk / f"kept.{kind}", kind)
        plan_match(MatchPlan.of(few, per_second=5, rows_at_once=6), desk / f"plans.{kind}", kind)
    write_common(few, desk / "common")
    packed = desk / "packed"
    packed.mkdir()
    (packed / "tracking.jsonl.gz").write_bytes(gzip.compress((desk / "common" / "tracking.jsonl").read_bytes()))
    shutil.copy(desk / "common" / "meta.json", packed)
    return desk


def _read_all_plans(folder: Path) -> None:
    tables = {name: read_plans(folder, name) for name in TABLES}
    find_moments(tables["frames"], tables["faults"], MOMENTS)


READERS: dict[str, Read] = {
    "long.csv": lambda path: read_long(path, METRES), "long.csv.gz": lambda path: read_long(path, METRES),
    "long.parquet": lambda path: read_long(path, METRES), "kept.csv": open_match, "kept.csv.gz": open_match,
    "kept.parquet": open_match, "common": read_common, "packed": read_common,
    "plans.csv": _read_all_plans, "plans.csv.gz": _read_all_plans,
    "plans.parquet": _read_all_plans}


BITS = (b'"', b",,,,", b"\n", b"-", b"1e999", b"\x00", b"[" * 50, b"9" * 30)


def damaged(data: bytes, dice: random.Random) -> bytes:
    """Bytes flipped, lost, doubled, cut off, or put in."""
    way, at = dice.randrange(6), dice.randrange(len(data) + 1)
    piece = data[at : at + dice.choice((1, 4, 40, 400))]
    if way == 0:
        return data[:at]
    if way == 1:
        return data[:at] + data[at + len(piece):]
    if way == 2:
        return data[:at] + piece + data[at:]
    if way == 3:
        return data[:at] + dice.randbytes(len(piece)) + data[at + len(piece):]
    if way == 4:
        return data[:at] + dice.choice(BITS) + data[at:]
    changed = bytearray(data)
    for k in [dice.randrange(len(data)) for _ in range(dice.choice((1, 3, 30)))] if data else []:
        changed[k] ^= 1 << dice.randrange(8)
    return bytes(changed)


NASTY: tuple[Any, ...] = (None, True, "", "x" * 300, -1, 0, 0.5, 1e300, 10**400, [], {}, [[]], {"a": None}, [1] * 12,
                          float("nan"), float("inf"), "../../etc", "=1+1", "1", "\ud800",
                          "9" * 5000)


def mutated(document: Any, dice: random.Random) -> Any:
    """JSON with one value, somewhere in it, replaced by another or gone."""
    if isinstance(document, dict) and document and dice.random() < 0.85:
        key = dice.choice(list(document))
        if dice.random() < 0.1:
            return {k: v for k, v in document.items() if k != key}
        return {**document, key: mutated(document[key], dice)}
    if isinstance(document, list) and document and dice.random() < 0.85:
        k = dice.randrange(len(document))
        return [*document[:k], mutated(document[k], dice), *document[k + 1:]]
    return dice.choice(NASTY)


def refused_or_read(read: Read, path: Path) -> None:
    """Anything but a PressingError, a warning too, is a failure."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        try:
            read(path)
        except PressingError as error:
            assert error.todo, str(error)


@pytest.mark.parametrize("name", READERS)
def test_damaged_files_are_read_or_refused(full: bool, desk: Path, tmp_path: Path, name: str) -> None:
    dice = random.Random(name)
    whole = desk / name
    files = [whole] if whole.is_file() else sorted(file for file in whole.rglob("*") if file.is_file())
    for _ in range(FULL if full else TRIES):
        place = tmp_path / name
        shutil.copytree(whole, place, dirs_exist_ok=True) if whole.is_dir() else shutil.copy(whole, place)
        file = dice.choice(files)
        target = place / file.relative_to(whole) if whole.is_dir() else place
        if file.suffix == ".json" and dice.random() < 0.7:
            target.write_text(json.dumps(mutated(json.loads(file.read_text()), dice)))
        elif file.suffix == ".gz" and dice.random() < 0.5:
            target.write_bytes(gzip.compress(damaged(gzip.decompress(file.read_bytes()), dice)))
        else:
            target.write_bytes(damaged(file.read_bytes(), dice))
        refused_or_read(READERS[name], place)


def test_damaged_lines_of_tracking_are_read_or_refused(full: bool, desk: Path, tmp_path: Path) -> None:
    dice = random.Random(1)
    shutil.copytree(desk / "common", tmp_path, dirs_exist_ok=True)
    lines = (desk / "common" / "tracking.jsonl").read_text().splitlines()
    for _ in range(FULL if full else TRIES):
        k = dice.randrange(len(lines))
        line = json.dumps(mutated(json.loads(lines[k]), dice))
        (tmp_path / "tracking.jsonl").write_text("\n".join([*lines[:k], line, *lines[k + 1:]]))
        refused_or_read(read_common, tmp_path)


ODD: dict[str, Callable[[int], Any]] = {
    "lists": lambda n: [[1.0, k] for k in range(n)], "objects": lambda n: [{"a": k} for k in range(n)],
    "dates": lambda n: pd.date_range("2031-05-04", periods=n), "bytes": lambda n: [b"\xff\x00"] * n,
    "whole with gaps": lambda n: pd.array([1, None] * (n // 2) + [1] * (n % 2), dtype="Int64"),
    "kinds": lambda n: pd.Categorical(["9"] * n), "yes and no": lambda n: [True] * n, "nothing": lambda n: [None] * n,
    "spans": lambda n: pd.timedelta_range("1s", periods=n), "huge": lambda n: [1e300] * n,
    "wide": lambda n: np.full(n, 2**63 - 1), "texts": lambda n: ["\U0001f600"] * n, "infinite": lambda n: [np.inf] * n}


@pytest.mark.parametrize("odd", ODD)
@pytest.mark.parametrize("column", ["frame", "time", "period", "team", "player", "x", "z", "alive", "possession",
                                    "more"])
def test_columns_of_any_kind_are_read_or_refused(few: Tracking, tmp_path: Path, odd: str, column: str) -> None:
    table = pd.DataFrame(long_columns(few))
    table[column] = ODD[odd](len(table))
    table.to_parquet(tmp_path / "odd.parquet")
    refused_or_read(READERS["long.parquet"], tmp_path / "odd.parquet")


# -- limits ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["long.csv.gz", "tracking.jsonl.gz", "frames-0123456789abcdef.csv.gz"])
@pytest.mark.parametrize("start", [b"", b"frame,time,team,player,x,y\n0,0,home,", b'{"frame_id": 1, "x": "'])
def test_a_line_without_end_is_refused_before_it_is_read(
    full: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, start: bytes
) -> None:
    million_bytes = 600 if full else 30
    nines = gzip.compress(b"9" * 10**6)  # parts of one file may be packed one by one (RFC 1952, 2.2)
    (tmp_path / name).write_bytes(gzip.compress(start) + nines * million_bytes)
    men = [{"code": side, "side": side, "shirt": "1", "position": "", "id": ""} for side in ("home", "away")]
    sheet = {"version": VERSION, "table": "frames-0123456789abcdef.csv.gz", "pitch": {}, "players": men}
    (tmp_path / "match.json").write_text(json.dumps(sheet))
    pulled: list[int] = []
    read = gzip._GzipReader.read  # type: ignore[attr-defined]
    monkeypatch.setattr(gzip._GzipReader, "read", lambda self, n=-1: pulled.append(n) or read(self, n))
    reader = {"long": READERS["long.csv.gz"], "tracking": lambda path: read_common(path, home_attacks="right"),
              "frames": lambda path: open_match(path.parent)}[re.split("[.-]", name)[0]]
    with pytest.raises(PressingError, match="got a line of more than 10 MB"):
        reader(tmp_path / name)
    assert min(pulled) >= 0 and sum(pulled) < 2 * table_files.LONGEST_LINE


@pytest.mark.parametrize("name", ["long.csv.gz", "long.csv", "packed", "common"])
def test_more_bytes_than_a_match_can_have_are_refused(desk: Path, monkeypatch, name: str) -> None:
    monkeypatch.setattr(table_files, "LARGEST", 1000)
    with pytest.raises(PressingError, match="got more than .* GB"):
        READERS[name](desk / name)


def test_more_rows_than_a_match_can_have_are_refused(desk: Path, monkeypatch) -> None:
    monkeypatch.setattr(table_files, "MOST_ROWS", 100)
    with pytest.raises(PressingError, match="got more than 100 rows"):
        READERS["long.parquet"](desk / "long.parquet")


# -- texts that a spreadsheet would run --------------------------------------------------------------------------------

TEXTS = ["=1+1", "+1+1", "-1+1", "@sum", "\tx", "\rx", "'=1", "''=1", "'", "'9", "-5", "+5.5e3", "-", "9", "a=1", ""]


def test_formulas_are_made_harmless_and_come_back(tmp_path: Path) -> None:
    columns = {"text": np.array(TEXTS, object), "number": np.linspace(-5.5, 5, len(TEXTS))}
    for kind in ("csv", "csv.gz", "parquet"):
        table_files.write_table(columns, tmp_path / f"t.{kind}")
        table, broken = table_files.read_table(tmp_path / f"t.{kind}", ["text"])
        came = [text.replace("\r", " ") for text in TEXTS] if kind != "parquet" else TEXTS
        assert table["text"].fillna("").tolist() == came and not broken
        np.testing.assert_allclose(table["number"], columns["number"])
    cells = pd.read_csv(tmp_path / "t.csv", dtype=str, keep_default_na=False)
    risky = [cell for cell in cells["text"] if cell[:1] in tuple("=+-@\t\r") and cell]
    assert risky == ["-5", "+5.5e3", "-"] and cells["number"][0] == "-5.5"


def test_the_same_table_is_the_same_file(tmp_path: Path) -> None:
    for name in ("a.csv.gz", "b.csv.gz"):
        table_files.write_table({"x": [1, 2]}, tmp_path / name)
    assert (tmp_path / "a.csv.gz").read_bytes() == (tmp_path / "b.csv.gz").read_bytes()


# -- places ------------------------------------------------------------------------------------------------------------

PLACES = ["", "no such place", "a\0b", "x" * 5000, "\ud800", "file/below"]


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("end", ["", ".csv", ".parquet", ".jsonl"])
def test_places_that_cannot_be_are_said(few: Tracking, tmp_path: Path, monkeypatch, place: str, end: str) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "file").write_text("")
    path: Any = place + end
    plan = MatchPlan.of(few, per_second=0.1, with_faults=False)
    for read in (lambda p: read_long(p, METRES), open_match, read_common, read_plans):
        refused_or_read(read, path)
    if place not in ("", "no such place"):
        for write in (write_long, save_match):
            refused_or_read(lambda p, write=write: write(few, p), path)
        refused_or_read(lambda p: plan_match(plan, p), path)
