"""Handouts, practices and slides: what is on them, that all of it fits, and what happens with a wrong name."""

from __future__ import annotations

import sys
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from PIL import Image

from pressinglib import PressingError, Situation
from pressinglib.errors import BadInput
from pressinglib.field.annotation import OwnMark
from pressinglib.field.scenes import scene
from pressinglib.show.matplotlib_view import printing
from pressinglib.show.pages import Pages
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.handout import CAUTION, Handout
from pressinglib.teach.lessons.lesson_00 import place_the_cover, which_side, who_goes
from pressinglib.teach.own_exercise import make_exercise
from pressinglib.teach.practice import Practice
from pressinglib.teach.slides import Slide, save_slides, slides_of

LONG = "Donaudampfschifffahrtsgesellschaftskapitaensmuetzenabzeichen" * 3
PRACTICE = Practice("Four against three", "25 by 20 m", "7", "45 s play, 90 s rest", ("One goes.", "One covers."),
                    "15 m wide", "five against three")


def words(pages: Pages) -> list[str]:
    """All lines of a page after the other."""
    return [text.get_text() for figure in pages._figures for text in figure.texts]


def off_the_page(pages: Pages) -> list[str]:
    """Lines of words that leave the paper or run into its edge."""
    found = []
    for figure in pages._figures:
        with printing():
            FigureCanvasAgg(figure).draw()
            boxes = [(text, text.get_window_extent()) for text in figure.texts]
        wide, high = figure.bbox.width, figure.bbox.height
        for text, box in boxes:
            if not (0.04 * wide <= box.x0 and box.x1 <= 0.96 * wide and 0 <= box.y0 and box.y1 <= high):
                found.append(text.get_text())
    return found


@pytest.mark.parametrize("exercise", [who_goes, which_side, place_the_cover])
def test_a_handout_has_three_pages_two_counter_cases_and_nothing_cut_off(exercise: Exercise) -> None:
    handout = Handout(exercise)
    pages = handout.pages()
    assert (len(pages), len(handout.counter_cases)) == (3, 2)
    assert off_the_page(pages) == []


def test_the_key_is_on_its_own_page_and_nowhere_else() -> None:
    pages = Handout(who_goes).pages()
    first, second, third = ([text.get_text() for text in figure.texts] for figure in pages._figures)
    assert any("Key" in line for line in third) and not any("Key" in line for line in (*first, *second))
    answer = who_goes.solution().words[:25]
    assert any(answer in line for line in third) and not any(answer in line for line in (*first, *second))
    assert any("Right: 11 and nothing else." in line for line in third)


def test_the_worked_example_is_another_picture() -> None:
    assert Handout(who_goes).worked.situation != who_goes.situation
    assert Handout(who_goes, example=which_side).worked is which_side


def test_a_tutor_says_rule_why_and_cases_in_own_words() -> None:
    cases = ((scene("low block"), "Not here."),)
    handout = Handout(who_goes, rule="One goes.", why="Two leave a man free.", cases=cases)
    said = words(handout.pages())
    assert "One goes." in said and "Two leave a man free." in said and "Not here." in said


def test_settings_that_judge_are_on_the_key() -> None:
    anyone = replace(who_goes, rulebook=who_goes.rulebook.with_settings(pressers="anyone"))
    assert any("pressers anyone" in line for line in words(Handout(anyone).pages()))


@pytest.mark.parametrize("text", [LONG, "W" * 100, "$\\frac{1}{2}$ <b>x</b> & \"quotes\"", "a\tb"])
def test_long_and_odd_words_fit(text: str) -> None:
    exercise, cases = replace(who_goes, title=text[:120]), ((scene("low block"), text),) * 2
    assert off_the_page(Handout(exercise, rule=text, why=text * 4, cases=cases).pages()) == []
    practice = replace(PRACTICE, title=text, area=text, points=(text, text))
    assert off_the_page(practice.pages()) == []


def test_a_long_question_leaves_fewer_lines_to_write_on_and_no_empty_page() -> None:
    long = replace(who_goes, title="Who goes? " * 12, task="Write his number, and why it is he. " * 10)
    pages = Handout(long, why="He is there first. " * 60).pages()
    headings = [figure.texts[1].get_text() for figure in pages._figures]  # the first text is the foot
    for word in ("Your turn", "Key", "Counter-cases"):
        assert any(word in heading for heading in headings)
    assert len(pages) == 4


def test_the_same_handout_gives_the_same_file(tmp_path: Path) -> None:
    one, other = (Handout(who_goes).save(tmp_path / f"{n}.pdf").read_bytes() for n in "ab")
    assert one == other and one.startswith(b"%PDF")
    assert len(one) < 400_000


@pytest.mark.parametrize("thing", [Handout(who_goes), PRACTICE])
def test_a_wrong_name_or_folder_is_said(tmp_path: Path, thing: Handout | Practice) -> None:
    with pytest.raises(BadInput, match=r"one that ends in \.pdf"):
        thing.save(tmp_path / "handout.doc")
    with pytest.raises(PressingError, match="a folder that you can write to"):
        thing.save(tmp_path / "none" / "handout.pdf")
    assert list(tmp_path.iterdir()) == []


# -- practice ----------------------------------------------------------------------------------------------------------


def test_a_practice_is_one_page_with_everything_and_the_caution() -> None:
    area = OwnMark("zone", [(0, 10), (25, 10), (25, 30), (0, 30)], "area")
    pages = replace(PRACTICE, situation=who_goes.situation, marks=(area,), part=(-15, 40, -5, 37)).pages()
    said = " ".join(words(pages))
    assert len(pages) == 1 and off_the_page(pages) == []
    for part in ("25 by 20 m", "45 s play, 90 s rest", "One goes.", "One covers.", "15 m wide", "five against three"):
        assert part in said
    assert CAUTION[:60] in said and "medical staff" in said


@pytest.mark.parametrize("change", [{"title": ""}, {"points": ()}, {"points": ("",)}, {"timing": " "}, {"area": 3},
                                    {"harder": "x" * 601}])
def test_a_practice_with_a_hole_in_it_is_refused(change: dict[str, object]) -> None:
    with pytest.raises(BadInput, match="of the practice"):
        replace(PRACTICE, **change)  # type: ignore[arg-type]


def test_a_practice_reads_as_text_and_table() -> None:
    assert repr(PRACTICE).splitlines()[-1] == f"Caution: {CAUTION}"
    assert "<b>" not in replace(PRACTICE, title="<b>x</b>")._repr_html_()


# -- slides ------------------------------------------------------------------------------------------------------------


def test_a_slide_is_as_wide_as_a_projector(tmp_path: Path) -> None:
    question, answer = slides_of(who_goes)
    with Image.open(question.save(tmp_path / "question.png")) as still:
        assert still.size == (1920, 1080)
    with Image.open(save_slides([question, answer], tmp_path / "both.gif", 2)) as moving:
        assert (moving.n_frames, moving.size, moving.info["duration"]) == (2, (1280, 720), 2000)
    assert who_goes.solution().words not in question.words


def test_a_slide_with_too_many_words_is_cut_and_says_so() -> None:
    slide = Slide(LONG, f"{LONG} " * 40, slides_of(who_goes)[0].drawing)
    assert Image.open(BytesIO(slide._repr_png_())).size == (960, 540)


@pytest.mark.parametrize(("slides", "name"), [([], "a.gif"), (slides_of(who_goes), "a.png"),
                                              (slides_of(who_goes), "a.bmp")])
def test_slides_that_do_not_fit_their_file_are_refused(tmp_path: Path, slides: list[Slide], name: str) -> None:
    with pytest.raises(BadInput):
        save_slides(slides, tmp_path / name)


def test_matplotlib_is_loaded_no_sooner_than_needed() -> None:
    import subprocess

    code = ("import sys, pressinglib.teach.handout, pressinglib.teach.practice, pressinglib.teach.class_results;"
            "print('matplotlib' in sys.modules)")
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout == "False\n"


def test_any_scene_can_be_handed_out() -> None:
    for name in ("ten men", "throw-in", "counter-attack 4 v 3"):
        pages = Handout(make_exercise(scene(name), "Who goes?", "Write his number.", "who goes")).pages()
        assert len(pages) == 3, name
    few = Situation.line_up(pressing="4-4-2", possession="4-3-3", ball_xy=(-40, -30))
    assert len(Handout(make_exercise(few, "Line?", "hold, step or drop", "the back line")).pages()) == 3
