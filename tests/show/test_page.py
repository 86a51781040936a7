"""A page that opens anywhere: what is packed is what was planned, and nothing else gets in or out."""

from __future__ import annotations

import json
import re
from base64 import b64decode, b64encode
from dataclasses import replace
from hashlib import sha256
from html.parser import HTMLParser
from math import dist
from pathlib import Path
from zlib import decompress

import numpy as np
import pytest

from pressinglib import Board, PressingError, Rulebook, Settings, Situation, plan_press, scene
from pressinglib.field.situation import CONTROL_M
from pressinglib.show.drawing import draw_plan
from pressinglib.show.page import (
    LABELS,
    LEAST_M,
    LOOSE,
    ball_places,
    drawings_of,
    look,
    page_html,
    save_sections,
    scene_section,
)
from pressinglib.show.style import FILLS, PENS, TOKENS
from tests.show.drawn_text import drawn_text

NEAR_M = 1.0
WORKED = scene("worked scene")
FEW = replace(WORKED, possession=tuple(p for p in WORKED.possession if p.number in ("1", "5", "6")))


def data_of(section: str) -> dict[str, list[object]]:
    """What is packed in a part of a page."""
    (packed,) = re.findall(r'data-part="packed">([^<]*)<', section)
    values: dict[str, list[object]] = json.loads(decompress(b64decode(packed)))
    return values


@pytest.fixture(scope="module")
def section() -> str:
    return scene_section(WORKED, carry_m=NEAR_M)


def test_the_ball_goes_to_everybody_and_a_metre_at_a_time() -> None:
    places = list(ball_places(WORKED, 2.0))
    assert places[0] == ("", WORKED)
    for man in WORKED.possession:
        carried = [s for who, s in places if who == man.number]
        at = [s.player("possession", man.number).xy for s in carried]
        assert at[0] == man.xy and {s.on_ball for s in carried} == {man.number}
        assert len(set(at)) == len(at) == 13  # whole metres within 2 m of a place that is far from the lines
    loose = [s for who, s in places if who == LOOSE]
    assert len(loose) > 100 and {s.state for s in loose} == {"loose"}


def test_nobody_carries_the_ball_off_the_pitch() -> None:
    corner = WORKED.moved("possession", "2", (52.0, -33.5))
    assert all(WORKED.pitch.holds(s.ball_xy) for _, s in ball_places(corner, 4.0))


@pytest.mark.parametrize("rulebook", [None, Rulebook(Settings(steering="inside"))])
def test_planned_together_is_planned_one_by_one(rulebook: Rulebook | None) -> None:
    some = [s for _, s in ball_places(WORKED, 4.0)][::19]
    together = [drawn_text(drawing) for drawing, _ in drawings_of(some, rulebook, ("roles", "shadow", "lanes"))]
    alone = [drawn_text(draw_plan(s, plan_press(s, rulebook), ("roles", "shadow", "lanes"), labels=LABELS))
             for s in some]
    assert len(some) > 30 and together == alone


def test_every_place_has_its_drawing_its_words_and_its_table(section: str) -> None:
    data, places = data_of(section), list(ball_places(WORKED, NEAR_M))
    assert len(data["places"]) == len(data["marks"]) == len(data["says"]) == len(places)
    texts, told = data["texts"], set()
    drawn = drawings_of([situation for _, situation in places])
    for (who, s), at, said, (drawing, plan) in zip(places, data["places"], data["says"], drawn, strict=True):
        assert at[0] == who and dist(np.divide(at[1:], 10), s.ball_xy) < CONTROL_M  # he has it at his feet
        assert [texts[n] for n in said[:2]] == [drawing.title, plan.words]
        told.add(plan.words)
        reasons = {texts[n].split("\n")[0]: texts[n] for n in said[2:]}
        assert set(reasons) == set(plan.assignments)
        assert all(reasons[n].endswith(f"{job.duty}: {job.reason}") for n, job in plan.assignments.items())
    assert len(told) > len(places) / 2  # words of a place beside it would be others


def test_letters_are_large_enough_for_a_phone() -> None:
    sizes = [float(size) for size in re.findall(r"font-size='([\d.]+)'", scene_section(WORKED, carry_m=0.0))]
    assert len(sizes) > 30 and min(sizes) >= LEAST_M
    assert LEAST_M * 390 / (WORKED.pitch.width_m + 5) >= 12.0  # dots, on a page 390 wide


def test_the_script_draws_by_the_one_table_of_styles() -> None:
    values = json.loads(look())
    for name, table in (("pens", PENS), ("fills", FILLS), ("tokens", TOKENS)):
        assert set(values[name]) == set(table)
    assert all(values["pens"][name][:2] == [pen.colour, pen.width_m] for name, pen in PENS.items())


class Seen(HTMLParser):
    """Tags and attributes of a page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))


def test_nothing_but_the_file_is_asked_for(section: str) -> None:
    page = page_html("A page", [section])
    tags = Seen(page).tags
    assert [values for _, values in tags if {"src", "href", "style"} & set(values)] == []
    assert [name for _, values in tags for name in values if name.startswith("on")] == []
    (policy,) = [str(values["content"]) for tag, values in tags if values.get("http-equiv")]
    for tag in ("script", "style"):
        (inside,) = re.findall(rf"<{tag}>(.*?)</{tag}>", page, re.DOTALL)
        assert f"{tag}-src 'sha256-{b64encode(sha256(inside.encode()).digest()).decode()}'" in policy
    assert policy.startswith("default-src 'none'") and "unsafe" not in policy


def test_without_the_script_picture_words_and_table_are_there(section: str) -> None:
    words = plan_press(WORKED).words
    assert words in section and "First to their 5" in section
    assert section.count("<text") >= 11 + 11 + 11 and "black dot: ball" in section
    assert len(re.search(r"<svg.*</svg>", section, re.DOTALL)[0]) < 19_000


def test_hostile_names_are_text() -> None:
    bad = "<b>x&y"
    players = tuple(p if p.number != "9" else type(p)(bad, p.slot, p.xy) for p in WORKED.pressing)
    hostile = Situation(WORKED.pitch, players, WORKED.possession, WORKED.ball_xy)
    page = page_html("</title><script>1</script>", [scene_section(hostile, None, "<i>", carry_m=0.0)])
    assert "<b>" not in page and "<i>" not in page and "<script>1" not in page
    assert "&lt;b&gt;x&amp;y" in page


def test_small_and_whole(tmp_path: Path) -> None:
    path = save_sections(tmp_path / "a.html", "A scene", [scene_section(WORKED)])
    assert path.stat().st_size < 247_000  # what a trial with a drawing script of its own took for such a scene
    for name in ("a.pdf", "a"):
        with pytest.raises(PressingError, match="one of .html"):
            save_sections(tmp_path / name, "", [])
    with pytest.raises(PressingError, match="carries the ball"):
        scene_section(WORKED, carry_m=20.0)


def test_the_board_saves_its_scene(tmp_path: Path) -> None:
    board = Board(FEW, controls=("scenes",))
    drawer = board.panel["scenes"]
    drawer.file.value = str(tmp_path / "mine.json")
    drawer.page.click()
    assert plan_press(FEW).words in (tmp_path / "mine.html").read_text("utf-8")
    assert "mine.html" in drawer.said.value
    drawer.file.value = str(tmp_path / "none" / "mine.json")
    drawer.page.click()
    assert "none" in board.complaint
