"""Handouts and slides: what is on them, that all of it fits, and what happens with a wrong name."""

from __future__ import annotations

import re
import sys
from base64 import b64encode
from dataclasses import replace
from functools import cache
from hashlib import sha256
from io import BytesIO
from math import dist
from pathlib import Path

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from PIL import Image

from pressinglib import PressingError, Situation, plan_press
from pressinglib.errors import BadInput
from pressinglib.field.scene_file import scene
from pressinglib.show.drawing import draw_situation
from pressinglib.show.matplotlib_view import printing
from pressinglib.show.pages import Pages
from pressinglib.teach.accepted import faults_in, frame_of, question_drawing
from pressinglib.teach.course import Course
from pressinglib.teach.exercise import WRONG, Exercise
from pressinglib.teach.handout import Booklet, Slide, _projected, counter_cases, save_slides, slides_of, worked_example
from pressinglib.teach.lessons.lesson_00 import place_the_cover, which_side, who_goes
from pressinglib.teach.own_exercise import make_exercise
from pressinglib.teach.practice import Practice, lesson_practice

LONG = "Donaudampfschifffahrtsgesellschaftskapitaensmuetzenabzeichen" * 3


def booklet(exercise: Exercise) -> Booklet:
    """Of one."""
    return Booklet(Course("Exercises", (exercise,)))


@cache
def handed_out(exercise: Exercise) -> Pages:
    """The pages of a booklet of one, laid out once."""
    return booklet(exercise).pages()


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
    pages = handed_out(exercise)
    assert len(pages) in (3, 4) and len(counter_cases(worked_example(exercise))) in (1, 2)
    assert off_the_page(pages) == []


@pytest.mark.parametrize("exercise", [who_goes, place_the_cover])
def test_a_counter_case_is_a_change_of_one_that_turns_the_answer_its_run_in_the_frame(exercise: Exercise) -> None:
    worked = worked_example(exercise)
    known, cases = worked.solution().answer, counter_cases(worked)
    for case in cases:
        fresh = replace(worked, situation=case.situation)
        assert fresh.check(known).outcome == WRONG and case.words.startswith("If ")
        moved = [dist(p.xy, q.xy) for team in ("pressing", "possession")
                 for p, q in zip(worked.situation.players(team), case.situation.players(team), strict=True) if p != q]
        assert moved == pytest.approx([float(re.findall(r" stands (\d+) m ", case.words)[0])])
        x0, x1, y0, y1 = frame_of(worked, case.situation)
        assert fresh.plan.words == plan_press(case.situation).words  # planned among many, it is its own
        run = fresh.plan.assignments[fresh.plan.presser].path
        assert (run[:, 0] > x0).all() and (run[:, 0] < x1).all() and (run[:, 1] > y0).all() and (run[:, 1] < y1).all()
    assert len({case.words for case in cases}) == len(cases)


def test_a_question_about_the_back_line_shows_the_back_line() -> None:
    picture = Situation.line_up("4-4-2", "3-5-2", ball_xy=(35, 10), build_up="3+2")
    exercise = make_exercise(picture, "Line?", "hold, step or drop", "the back line")
    x0, x1, y0, y1 = frame_of(exercise)
    line = [p.xy for p in picture.pressing if exercise.plan.assignments[p.number].role == "back line"]
    assert len(line) == 4 and all(x0 < x < x1 and y0 < y < y1 for x, y in line)


def test_the_example_keeps_the_shapes_of_the_tutor() -> None:
    exercise = make_exercise(Situation.line_up("3-5-2", "4-3-3", ball_xy=(30, 12)), "Who?", "Him.", "who goes")
    for team in ("pressing", "possession"):
        slots = [[p.number for p in one.situation.players(team)] for one in (exercise, worked_example(exercise))]
        assert slots[0] == slots[1]


def test_question_and_its_file_do_not_tell_who_is_nearest() -> None:
    assert "nearest" in draw_situation(who_goes.situation).words
    assert "nearest" not in question_drawing(who_goes).words + " ".join(words(handed_out(who_goes)))


def test_numbers_are_at_least_seven_points_high() -> None:
    figures = handed_out(place_the_cover)._figures
    sizes = [text.get_fontsize() for figure in figures for axes in figure.axes for text in axes.texts
             if text.get_text().isdigit()]
    assert sizes and min(sizes) >= 7


@pytest.mark.parametrize(("paper", "grey"), [pytest.param("A4", False, marks=pytest.mark.full), ("Letter", True)])
def test_a_booklet_has_an_example_for_each_kind_numbered_pages_and_the_keys_at_the_end(paper: str, grey: bool) -> None:
    pages = Booklet(Course("Tuesday", (who_goes, which_side, replace(who_goes, title="Who now?"))), paper, grey).pages()
    said = [" ".join(text.get_text() for text in figure.texts) for figure in pages._figures]
    examples, turns, keys = ([n for n, page in enumerate(said) if word in page]
                             for word in ("A worked example", "Name ___", "Keys, not"))
    assert (len(examples), len(turns)) == (2, 3) and examples[0] < turns[0] < examples[1] < turns[1]
    assert len(keys) == 1 and keys[0] > max(turns) and " ".join(said[keys[0]:]).count("Judged by") == 3
    assert all(f"{n} / {len(pages)}" in page for n, page in enumerate(said, 1)) and off_the_page(pages) == []


def test_the_key_is_on_its_own_page_and_nowhere_else() -> None:
    pages = handed_out(who_goes)
    *_, first, second, third = ([text.get_text() for text in figure.texts] for figure in pages._figures)
    assert any("Keys" in line for line in third) and not any("Key" in line for line in (*first, *second))
    answer = who_goes.check("11").words.split(". ")[0]  # the example may be about an 11 too, at another time
    key, before = (" ".join(" ".join(page).split()) for page in (third, (*first, *second)))
    assert answer in key and answer not in before
    assert any("Right: 11 and nothing else." in line for line in third)


@pytest.mark.parametrize("exercise", [who_goes, which_side])
def test_the_worked_example_is_another_picture_with_another_answer(exercise: Exercise) -> None:
    worked = worked_example(exercise)
    assert worked.situation != exercise.situation
    assert worked.is_right() and not worked.is_right(exercise.solution().answer)


def test_a_print_offers_what_a_screen_does_and_shows_whoever_is_at_fault() -> None:
    kind = "find the fault", "far side too narrow"
    exercise = make_exercise(scene("build-up left"), "What?", "Choose the fault.", *kind)
    x0, x1, y0, y1 = frame_of(exercise)
    x, y = exercise.situation.player("pressing", "7").xy
    assert x0 < x < x1 and y0 < y < y1
    asked = " ".join(words(handed_out(exercise)))
    assert all(word in asked for word in exercise.form.options)
    [mended] = counter_cases(worked_example(exercise))
    assert "far side too narrow" not in faults_in(mended.situation)


def test_settings_that_judge_are_on_the_key() -> None:
    anyone = replace(who_goes, rulebook=who_goes.rulebook.with_settings(pressers="anyone"))
    assert any("pressers='anyone'" in line for line in words(booklet(anyone).pages()))


@pytest.mark.parametrize("text", [
    LONG, "$\\frac{1}{2}$ <b>x</b> & \"quotes\"", pytest.param("W" * 100, marks=pytest.mark.full),
    pytest.param("a\tb", marks=pytest.mark.full)])
def test_long_and_odd_words_fit(text: str) -> None:
    assert off_the_page(booklet(replace(who_goes, title=text[:120], task=text)).pages()) == []


def test_a_long_question_leaves_fewer_lines_to_write_on_and_no_empty_page() -> None:
    long = replace(who_goes, title="Who goes? " * 12, task="Write his number, and why it is he. " * 10)
    pages = booklet(long).pages()
    firsts = [" ".join(text.get_text() for text in figure.texts[:4]) for figure in pages._figures]
    for word in ("Your turn", "Keys"):
        assert any(word in first for first in firsts)
    assert len(pages) <= 5


def test_the_same_handout_gives_the_same_file(tmp_path: Path) -> None:
    one, other = (booklet(who_goes).save(tmp_path / f"{n}.pdf").read_bytes() for n in "ab")
    assert one == other and one.startswith(b"%PDF")
    assert len(one) < 400_000


@pytest.mark.parametrize("thing", [booklet(who_goes), lesson_practice("00")])
def test_a_wrong_name_or_folder_is_said(tmp_path: Path, thing: Booklet | Practice) -> None:
    with pytest.raises(BadInput, match=r"one that ends in \.pdf"):
        thing.save(tmp_path / "handout.doc")
    with pytest.raises(PressingError, match="a folder that you can write to"):
        thing.save(tmp_path / "none" / "handout.pdf")
    assert list(tmp_path.iterdir()) == []


# -- slides ------------------------------------------------------------------------------------------------------------


def test_slides_wait_as_pages_and_as_one_file_for_the_browser(tmp_path: Path) -> None:
    slides = slides_of(replace(who_goes, title="Who </section><script>x</script>?"))
    assert save_slides(slides, tmp_path / "both.pdf").read_bytes().count(b"/Type /Page ") == 2
    page = save_slides(slides, tmp_path / "both.html").read_text("utf-8")
    assert page.count("<section>") == 2 and page.count("<script>") == 1 and "&lt;script&gt;" in page
    script = page.split("<script>")[1].split("</script>")[0]
    assert b64encode(sha256(script.encode()).digest()).decode() in page.split("script-src")[1][:80]
    assert "http://" not in page and "https://" not in page  # nothing is fetched
    assert who_goes.solution().words not in slides[0].words


def test_a_slide_with_too_many_words_is_cut_and_says_so(tmp_path: Path) -> None:
    slide = Slide(LONG, f"{LONG} " * 40, slides_of(who_goes)[0].drawing)
    save_slides([slide], tmp_path / "cut.pdf")
    assert (tmp_path / "cut.pdf").read_bytes().count(b"/Type /Page ") == 1
    assert Image.open(BytesIO(_projected([slide]).bytes("png", 72))).size == (960, 540)


@pytest.mark.parametrize(("slides", "name"), [([], "a.gif"), (slides_of(who_goes), "a.bmp")])
def test_slides_that_do_not_fit_their_file_are_refused(tmp_path: Path, slides: list[Slide], name: str) -> None:
    with pytest.raises(BadInput):
        save_slides(slides, tmp_path / name)


def test_matplotlib_is_loaded_no_sooner_than_needed() -> None:
    import subprocess

    code = ("import sys, pressinglib.teach.handout, pressinglib.teach.practice, pressinglib.teach.class_results;"
            "print('matplotlib' in sys.modules)")
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout == "False\n"


def test_any_scene_can_be_handed_out(full: bool) -> None:
    for name in ("ten men", "throw-in", "counter-attack 4 v 3")[:3 if full else 1]:
        pages = booklet(make_exercise(scene(name), "Who goes?", "Write his number.", "who goes")).pages()
        assert len(pages) in (3, 4), name
    few = Situation.line_up(pressing="4-4-2", possession="4-3-3", ball_xy=(-40, -30))
    assert len(booklet(make_exercise(few, "Line?", "hold, step or drop", "the back line")).pages()) in (3, 4)
