"""The desk: what is on the screen is what is saved, printed and shown; whatever a tutor types, words come back."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest

from pressinglib import Rulebook, Settings, Situation
from pressinglib.errors import BadInput
from pressinglib.field.scene_file import scene
from pressinglib.teach import desk as desk_file
from pressinglib.teach.course import ORDER, read_exercises
from pressinglib.teach.desk import ALL, Desk
from pressinglib.teach.own_exercise import KINDS, load_exercise, make_exercise


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return Desk(scene("worked scene"), str(tmp_path / "mine"))


def press(desk: Desk, name: str) -> str:
    desk.buttons[name].click()
    return desk.words.text


def fill(desk: Desk, **values: str) -> None:
    for name, value in values.items():
        desk.fields[name].value = value


def files(desk: Desk) -> list[str]:
    return sorted(path.name for path in desk.shop.folder.iterdir() if path.name != ORDER)


def test_as_it_opens_it_holds_a_question_that_can_be_saved_printed_and_shown(desk: Desk) -> None:
    assert desk.try_it().words == "It can be solved. Right: 9 and nothing else."
    for name in ("Save", "Print", "Slides", "Page", "Hand out"):
        assert press(desk, name).startswith("Note: Saved as ")
    assert press(desk, "Print").startswith("Note: Saved anew as ")
    endings = (".course.json", ".json", ".pdf", "_page.html", "_slides.html", "_slides.pdf")
    assert files(desk) == [f"who_goes{ending}" for ending in endings]
    assert load_exercise(desk.shop.folder / "who_goes.json") == desk.made()


def test_a_ball_that_is_moved_is_saved_where_it_is(desk: Desk) -> None:
    press(desk, "Save")
    desk.board.move("ball", "", (20, -20))
    fill(desk, Title="Where now?")
    press(desk, "Save")
    saved = load_exercise(desk.shop.folder / "where_now.json")
    assert saved.situation == desk.board.situation and saved.situation.ball_xy == (20.0, -20.0)


@pytest.mark.parametrize("wrong", [{"Title": ""}, {"Task": " "}, {"Title": "x" * 500}, {"Task": "Drag {0}."}])
def test_what_has_a_fault_is_neither_saved_nor_printed(desk: Desk, wrong: dict[str, str]) -> None:
    press(desk, "Save")
    before = {path.name: path.read_bytes() for path in desk.shop.folder.iterdir()}
    fill(desk, **wrong)
    for name in ("Save", "Print", "Slides", "Hand out"):
        assert f"the {next(iter(wrong)).lower()}: expected" in press(desk, name)
    with pytest.raises(BadInput, match="expected"):
        desk.made()
    assert {path.name: path.read_bytes() for path in desk.shop.folder.iterdir()} == before


def test_another_exercise_of_the_same_title_is_kept_until_it_is_to_be_replaced(desk: Desk) -> None:
    press(desk, "Save")
    first = (desk.shop.folder / "who_goes.json").read_bytes()
    desk.board.move("ball", "", (20, -20))
    assert press(desk, "Save").startswith("Not saved: ") and "press Replace" in desk.words.text
    assert (desk.shop.folder / "who_goes.json").read_bytes() == first
    assert desk.buttons["Replace"].layout.display is None
    assert press(desk, "Replace").startswith("Note: Saved anew")
    assert (desk.shop.folder / "who_goes.json").read_bytes() != first
    fill(desk, Title="Who goes!")  # another title that makes the same name of a file
    press(desk, "Save")
    assert files(desk) == ["who_goes.json", "who_goes_2.json"]


def test_any_change_is_tried_again_after_a_moment(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(desk_file, "PAUSE_S", 0.01)

    async def work() -> list[str]:
        said = []
        for change in (lambda: fill(desk, Title=""), lambda: fill(desk, Title="Who?"),
                       lambda: desk.board.move("pressing", "10", (30, 6))):
            change()
            await asyncio.sleep(0.1)
            said.append(desk.words.text)
        return said

    first, second, third = asyncio.run(work())
    assert "the title: expected" in first
    assert "Right: 9" in second and "Right: 10" in third


def test_it_begins_from_a_shape_a_scene_and_a_saved_exercise(desk: Desk) -> None:
    fill(desk, Kind="deny a pass")
    fill(desk, cover="10", option="4")
    press(desk, "Save")
    saved = desk.made()
    desk.fields["Ours"].value, desk.fields["Theirs"].value, desk.fields["Builds up"].value = "4-4-2", "3-5-2", "3+2"
    ball = scene("worked scene").ball_xy
    assert desk.board.situation == Situation.line_up("4-4-2", "3-5-2", ball, "3+2")
    desk.fields["Scene"].value = "low block"
    assert desk.board.situation == scene("low block")
    fill(desk, Kind="who goes")
    desk.fields["Saved"].value = "Where does the cover stand?"
    assert desk.made() == saved


def test_a_saved_exercise_keeps_the_settings_that_judge_it(desk: Desk) -> None:
    anyone = Rulebook(Settings(pressers="anyone"))
    own = make_exercise(scene("worked scene"), "Who?", "Him.", "who goes", rulebook=anyone)
    desk.shop.save(own)
    again = Desk(scene("low block"), str(desk.shop.folder))
    fill(again, Saved="Who?")
    assert again.made() == own


def test_each_kind_brings_its_own_words_and_leaves_those_of_the_tutor(desk: Desk) -> None:
    fill(desk, Kind="which side")
    assert desk.fields["Title"].value == KINDS["which side"].title
    fill(desk, Title="Left or right?")
    fill(desk, Kind="the back line")
    assert desk.fields["Title"].value == "Left or right?"
    assert desk.fields["Task"].value == KINDS["the back line"].task


def test_a_player_who_is_clicked_is_asked_about_and_faults_of_the_picture_come_first(desk: Desk) -> None:
    fill(desk, Kind="deny a pass")
    for team, number in (("pressing", "10"), ("possession", "4")):
        desk.board._answered({"kind": "choose", "team": team, "number": number})
    assert (desk.fields["cover"].value, desk.fields["option"].value) == ("10", "4")
    assert desk.fields["fault"].layout.display == "none"
    desk.board.move("pressing", "7", (14, 6))
    fill(desk, Kind="find the fault")
    assert desk.fields["fault"].value == "far side too narrow" == desk.fields["fault"].options[0]
    assert "It can be solved" in repr(desk.try_it())


def test_a_course_is_put_in_order_printed_and_handed_out_as_one_file(desk: Desk) -> None:
    assert "Save an exercise first" in press(desk, "Earlier")
    for kind in ("who goes", "which side", "the back line"):
        fill(desk, Kind=kind)
        press(desk, "Save")
    press(desk, "Earlier")
    fill(desk, Of=ALL, Course="Tuesday")
    for name in ("Print", "Slides", "Hand out"):
        assert "tuesday" in press(desk, name)
    course = read_exercises(desk.shop.folder / "tuesday.course.json")
    titles = [KINDS[kind].title for kind in ("who goes", "the back line", "which side")]
    assert (course.title, [one.title for one in course]) == ("Tuesday", titles)
    desk.list.value = desk.order[0]
    assert press(desk, "Take out").endswith("The course: What does the back line do?; To which side?.")


def test_title_and_order_of_the_course_are_there_again_when_the_desk_is_opened_anew(desk: Desk) -> None:
    for kind in ("who goes", "which side", "the back line"):
        fill(desk, Kind=kind)
        press(desk, "Save")
    press(desk, "Earlier")
    desk.list.value = desk.order[0]
    press(desk, "Take out")
    fill(desk, Course="Tuesday")
    again = Desk(folder=str(desk.shop.folder))
    assert again.fields["Course"].value == "Tuesday" and again.order == desk.order
    assert [title for title, _ in again.list.options] == [KINDS[kind].title for kind in ("the back line", "which side")]
    (desk.shop.folder / ORDER).write_text("<b>A</b>\x1b\n../../x\nto_which_side.json\nto_which_side.json\ngone.json")
    hostile = Desk(folder=str(desk.shop.folder))
    assert [path.name for path in hostile.order] == ["to_which_side.json"]
    assert hostile.fields["Course"].value == "<b>A</b>?"


def test_a_folder_that_cannot_be_made_is_said(tmp_path: Path) -> None:
    (tmp_path / "mine").write_text("a file")
    assert "folder" in press(Desk(folder=str(tmp_path / "mine")), "Save")


@pytest.mark.parametrize("title", ["../../etc/x", "a/b\\c", "<script>", "con", "..."])
def test_no_title_leads_out_of_the_folder(desk: Desk, title: str) -> None:
    fill(desk, Title=title)
    press(desk, "Save")
    assert {path.parent for path in desk.shop.folder.rglob("*")} == {desk.shop.folder} and len(files(desk)) == 1


def test_shown_again_after_it_was_closed_it_stands_as_it_was(desk: Desk) -> None:
    fill(desk, Title="Who, then?")
    made = desk.made()
    desk.close()
    assert desk._repr_mimebundle_()["text/plain"] == repr(desk) == f"A form for an exercise, beside a {desk.board!r}"
    assert (desk.made(), desk.fields["Title"].value) == (made, "Who, then?")
    assert press(desk, "Save").startswith("Note: Saved as ")
