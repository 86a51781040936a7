"""A lesson as one page: its text, exercises and boards in their order, small enough to be sent."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from pressinglib.__main__ import main
from pressinglib.errors import BadInput
from pressinglib.teach.lessons import lesson_00
from pressinglib.teach.page_exercises import SHOWN, lesson_sections, save_lesson, save_lessons

NOTEBOOKS = {path.name[:2]: path for path in sorted((Path(__file__).parents[2] / "notebooks").glob("*.ipynb"))}
SENDABLE = 2_000_000


def code(*lines: str) -> dict[str, object]:
    return {"cell_type": "code", "source": "\n".join(lines), "outputs": [
        {"output_type": "execute_result", "data": {"text/plain": "kept <words>"}}]}


def read(*cells: dict[str, object]) -> list[str]:
    return list(lesson_sections(lesson_00, cells))[:-1]


def test_an_exercise_stands_where_it_is_tried() -> None:
    sections = read(code("task = pl.TryIt(lesson.who_goes)", "task"), code("pl.TryIt(lesson.which_side)"))
    assert [re.findall(r"<h2[^>]*>(.*?)</h2>", section) for section in sections] == [
        [lesson_00.who_goes.title], [lesson_00.which_side.title]]


def test_a_board_becomes_a_scene_and_the_rest_stays_as_it_was_kept() -> None:
    *boards, kept = read(code('pl.Board(pl.scene("worked scene"), layers=("roles", "lanes"))'),
                         code("board = pl.Board(lesson.who_goes.situation)", "board.approach_at(0)", "board"),
                         code('__import__("os").remove("x")'))
    assert ['data-kind="scene"' in board and "kept" not in board for board in boards] == [True, True]
    assert kept == "<pre>kept &lt;words&gt;</pre>"


def test_the_text_is_text() -> None:
    (words,) = read({"cell_type": "markdown", "source": "**Who** goes? <b>9</b>\n\n- one"})
    assert "<strong>Who</strong>" in words and "<b>" not in words and "<li>one</li>" in words
    (how,) = read({"cell_type": "markdown", "id": "how", "source": "Menu *Run*."})
    assert "Menu" not in how and "Check" in how


@pytest.mark.parametrize("number", NOTEBOOKS)
def test_every_cell_that_asks_is_read(number: str) -> None:
    sources = ["".join(cell["source"]) for cell in json.loads(NOTEBOOKS[number].read_text("utf-8"))["cells"]]
    asks = [source for source in sources if "TryIt(" in source]
    assert asks and all(map(SHOWN.search, asks))


@pytest.mark.parametrize("number", ["00", *(pytest.param(n, marks=pytest.mark.full) for n in NOTEBOOKS if n != "00")])
def test_every_exercise_of_a_lesson_is_on_its_page(number: str, tmp_path: Path) -> None:
    page = tmp_path / f"{number}.html"
    title = save_lesson(NOTEBOOKS[number], page)
    text = page.read_text("utf-8")
    cells = [cell for cell in json.loads(NOTEBOOKS[number].read_text("utf-8"))["cells"] if cell["cell_type"] == "code"]
    tried = [one for cell in cells for one in re.findall(r"TryIt\((.*)\)", "".join(cell["source"]))]
    assert title.endswith("?") and len(tried) >= 3
    assert text.count('data-kind="exercise"') == len(tried)
    assert page.stat().st_size < SENDABLE
    assert " style=" not in text and "src=\"http" not in text


def test_an_index_leads_to_every_lesson(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    home = tmp_path / "lessons"
    home.mkdir()
    cells = [{"cell_type": "markdown", "source": "# Why <so>?\nText."}]
    (home / "03_any.ipynb").write_text(json.dumps({"cells": cells}))
    said: list[str] = []
    index = save_lessons(home, tmp_path / "pages", said.append)
    assert '<a href="03_any.html">Why &lt;so&gt;?</a>' in index.read_text("utf-8")
    assert len(said) == 1 and "kB" in said[0]
    with pytest.raises(BadInput, match="expected lessons"):
        save_lessons(tmp_path, tmp_path / "none")


def test_the_command_wants_a_folder() -> None:
    for words in (["--pages"], ["--pages", "a", "b"]):
        with pytest.raises(SystemExit, match="--pages FOLDER"):
            main(words)
