"""Goalkeepers, formations and substitutions read from places."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from pressinglib.data import Team, Tracking, find_phases, open_match, save_match
from pressinglib.data.ball_possession import fitted_formation
from pressinglib.errors import BadInput
from pressinglib.field.formations import KNOWN, formation_slots
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import LINE_OF_SLOT, OUTFIELD
from pressinglib.field.zonal_block import lined_up_xy
from tests.data.test_read_long import same


@pytest.mark.parametrize("formation", KNOWN)
def test_a_block_is_read_as_what_it_is(formation: str) -> None:
    slots = formation_slots(formation)[1:]
    xy = np.array(lined_up_xy(slots, (30.0, 8.0), Pitch()))
    order = np.random.default_rng(1).permutation(len(xy))
    name, fitted = fitted_formation(xy[order])
    assert name == formation and fitted == tuple(slots[k] for k in order)


def test_every_half_is_a_phase_and_both_teams_are_read_while_they_defend(invented: Tracking) -> None:
    first, second = find_phases(invented)
    assert (first.start, first.stop, second.stop, second.period) == (0, 80, 160, 2)
    assert {first.home, first.away, second.home, second.away} == {"4-4-2"}
    assert second.home_slots.count("goalkeeper") == second.away_slots.count("goalkeeper") == 1
    part = invented.part(second.start, second.stop, second.home_slots, second.away_slots)
    assert len(part) == 80 and part.home.slots == second.home_slots


def substituted(invented: Tracking, row: int) -> Tracking:
    """Number 9 goes off for number 12 at a row, on a clock of ten seconds a frame."""
    xy = np.concatenate([invented.home.xy, invented.home.xy[:, 8:9]], axis=1)
    xy[row:, 8], xy[:row, 11] = np.nan, np.nan
    home = Team((*invented.home.numbers, "12"), (OUTFIELD,) * 12, xy)
    return replace(invented, home=home, time_s=np.arange(160) * 10.0)


def test_a_substitution_makes_a_phase(invented: Tracking) -> None:
    phases = find_phases(substituted(invented, 40))
    assert [phase.start for phase in phases] == [0, 40, 80]
    assert phases[0].home_slots[11] == OUTFIELD and phases[1].home_slots[8] == OUTFIELD
    assert phases[0].home_slots[8] != OUTFIELD and phases[1].home_slots[11] != OUTFIELD


def test_a_player_who_is_lost_for_a_moment_makes_none(invented: Tracking) -> None:
    xy = invented.home.xy.copy()
    xy[20:25, 4] = np.nan
    assert len(find_phases(replace(invented, home=replace(invented.home, xy=xy)))) == 2


def test_ten_men_are_fitted_and_five_are_not(invented: Tracking) -> None:
    xy = invented.home.xy.copy()
    xy[:, 10] = np.nan
    ten, *_ = find_phases(replace(invented, home=replace(invented.home, xy=xy)))
    assert ten.home_slots.count(OUTFIELD) == 1 and "goalkeeper" in ten.home_slots
    xy[:, 5:] = np.nan
    five, *_ = find_phases(replace(invented, home=replace(invented.home, xy=xy)))
    assert five.home == "unknown" and set(five.home_slots) == {OUTFIELD}


def test_slots_that_are_known_are_kept(invented: Tracking) -> None:
    named = replace(invented, home=replace(invented.home, slots=("left back",) * 11))
    assert find_phases(named)[0].home_slots == ("left back",) * 11


@pytest.mark.parametrize("table", ["parquet", "csv", "csv.gz"])
def test_a_folder_keeps_a_match(invented: Tracking, tmp_path, table: str) -> None:
    named = replace(invented, home=replace(invented.home, slots=("left back",) * 11), pitch=Pitch(100, 64))
    save_match(named, tmp_path / "match", "parquet")
    match = open_match(save_match(named, tmp_path / "match", table))
    same(match, named)
    assert (match.home.slots, match.pitch) == (named.home.slots, named.pitch)


@pytest.mark.parametrize("text", ["", "{}", '{"version": 9}', '{"version": 1, "pitch": {"length_m": 1}}', "[" * 9999])
def test_a_sheet_that_is_wrong_is_refused(invented: Tracking, tmp_path, text: str) -> None:
    folder = save_match(invented, tmp_path / "match")
    (folder / "match.json").write_text(text)
    with pytest.raises(BadInput, match=r"match match, match.json: expected what the command import writes"):
        open_match(folder)


def test_folders_that_hold_no_match(invented: Tracking, tmp_path) -> None:
    with pytest.raises(BadInput, match=r"got a folder without match.json. Import the match first"):
        open_match(tmp_path)
    (table,) = save_match(invented, tmp_path / "match").glob("frames-*.parquet")
    table.unlink()
    with pytest.raises(BadInput, match=r"table frames-\w+.parquet: expected a readable table; got No such file"):
        open_match(tmp_path / "match")


def test_the_open_match_is_read_as_its_source_says() -> None:
    """DFL; Bassek, Rein, Weber, Memmert 2025, 10.1038/s41597-025-04505-y, CC BY 4.0: slots come with the data."""
    match = open_match(Path(__file__).parents[2] / "notebooks" / "data" / "dfl-open")
    (phase,) = find_phases(replace(match, **{side: replace(team, slots=(OUTFIELD,) * 11) for side, team in
                                             (("home", match.home), ("away", match.away))}))
    assert (phase.home, phase.away) == ("4-2-3-1", "4-2-3-1")
    for team, fitted in ((match.home, phase.home_slots), (match.away, phase.away_slots)):
        assert [LINE_OF_SLOT[slot] for slot in fitted] == [LINE_OF_SLOT[slot] for slot in team.slots]
