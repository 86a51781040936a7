"""What explains an exercise: told after the try, by the block, out of the text beside the lesson."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

import pytest

from pressinglib import scene
from pressinglib.errors import BadInput
from pressinglib.tables import Table
from pressinglib.teach import lessons
from pressinglib.teach.choices import Choose
from pressinglib.teach.exercise import Exercise, Finding
from pressinglib.teach.explanation import ASKED, SECTION, asks_of, explained, section_of, sections
from pressinglib.teach.lessons.lesson_00 import who_goes
from pressinglib.teach.press_questions import WhoPresses
from pressinglib.teach.widget import TryIt
from tests.teach.lessons import exercises_of, lesson_modules

WRITTEN = [(name, exercise) for name, lesson in lesson_modules().items() for exercise in sections(lesson)]


@pytest.mark.parametrize(("lesson", "name"), WRITTEN, ids=map("-".join, WRITTEN))
def test_every_section_explains_an_exercise_and_its_places_are_filled(lesson: str, name: str) -> None:
    module = lesson_modules()[lesson]
    assert name in exercises_of(module), f"{lesson}.md has a section {name!r}, and the lesson no such exercise"
    html = explained(module, sections(module)[name])
    assert len(html) > 40
    assert not re.search(r"\{\w+\}", html), "a {name} stands on a line of its own"


@pytest.fixture
def lesson(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """A lesson with a text that explains one of its two exercises."""
    made = ModuleType("pressinglib.teach.lessons.lesson_99")
    made.__file__ = str(tmp_path / "lesson_99.py")
    (tmp_path / "lesson_99.md").write_text("Never shown.\n\n## who\nFirst *this*:\n{times}\nthen **that** {times}.\n\n"
                                           "{words}\n- <b>one</b>\n- two\n", "utf-8")
    values = {"who": Exercise(who_goes.title, who_goes.task, who_goes.situation, who_goes.judge, who_goes.look),
              "times": lambda: Table(["who", "s"], [["<i>9</i>", 1.5]]), "words": "1 < 2", "other": who_goes,
              "picture": scene("worked scene")}
    vars(made).update(values)
    monkeypatch.setitem(sys.modules, made.__name__, made)
    return made


def test_it_is_found_by_the_exercises_own_name_and_lesson(lesson: ModuleType) -> None:
    assert section_of(lesson.who) == (lesson, sections(lesson)["who"])
    assert section_of(lesson.who.variant(1)) == (None, "")
    assert list(sections(lesson)) == ["who"]


def test_markup_is_shown_and_nothing_hostile_gets_through(lesson: ModuleType) -> None:
    html = explained(lesson, sections(lesson)["who"])
    assert "<em>this</em>" in html and "<strong>that</strong> {times}." in html
    assert "<table>" in html and "&lt;i&gt;9" in html
    assert "<p>1 &lt; 2</p>" in html
    assert "<li>&lt;b&gt;one&lt;/b&gt;</li>" in html
    assert '<img alt="' in explained(lesson, "{picture}")
    assert "javascript" not in explained(lesson, "[a](javascript:alert(1))")


def test_it_is_told_after_the_try_or_when_asked_for_and_never_kept(lesson: ModuleType) -> None:
    task = TryIt(lesson.who)
    task.buttons["Check"].click()
    assert task.why.value == ""
    assert "First" not in str(task._repr_mimebundle_())
    task.choose("3")
    task.buttons["Check"].click()
    assert task.why.value.startswith('<details class="pressing-why">')
    task.choose("11")
    task.buttons["Check"].click()
    assert task.why.value.startswith('<details class="pressing-why" open>')
    task.buttons["Another"].click()
    assert task.why.value == ""
    assert task.buttons["Show why"].layout.display == "none"
    asked = TryIt(lesson.who)
    asked.buttons["Show why"].click()
    assert " open>" in asked.why.value
    assert asked.words.text == "Why: Read on below."


WHO = "Title: Who goes?\nTask: Click.\nLook: At the ball.\n"


@pytest.fixture
def asking(tmp_path: Path) -> Callable[[str], Callable[..., Exercise]]:
    """How a lesson with this text asks."""
    def asks(text: str) -> Callable[..., Exercise]:
        (tmp_path / "lesson_98.md").write_text(text, "utf-8")
        return asks_of(str(tmp_path / "lesson_98.md"))

    return asks


def chosen(ask: Callable[..., Exercise], name: str = "who") -> Exercise:
    return ask(name, scene("low block"), Choose, "player", lambda plan: {"9": Finding(True, "He.")},
               far=lambda plan: "5 m")


def test_a_question_takes_its_words_from_the_text(asking: Callable[[str], Callable[..., Exercise]]) -> None:
    made = chosen(asking(f"## who\n\n{WHO}Rule: The first one goes.\n\nTold: after the try.\n"))
    assert (made.title, made.asks, made.hint(1).words, made.hint(2).words) == (
        "Who goes?", "Click.", "At the ball.", "The first one goes.")
    plain = asking(f"## who\n\n{WHO}")("who", scene("low block"), WhoPresses(), others=(scene("back five"),))
    assert plain.judge == WhoPresses() and plain.others == (scene("back five"),)


@pytest.mark.parametrize(("text", "name", "said"), [
    (f"## who\n\n{WHO}", "who", "rule"),
    (f"## who\n\n{WHO}Rule: Go.\n", "whom", "title"),
    ("## who\n\nTitle: Who?\nLook: There.\nRule: Go.\n", "who", "task"),
    ("## who\n\nTitle: Who?\nTsak: Click.\nLook: There.\nRule: Go.\n", "who", "task"),
    (f"## who\n\n{WHO}Rule: Go.\nToo much: No.\n", "who", "too_much"),
    ("", "who", "title")])
def test_a_missing_or_unknown_text_says_which(asking: Callable[[str], Callable[..., Exercise]], text: str, name: str,
                                              said: str) -> None:
    with pytest.raises(BadInput, match=f"the words of '{name}' in lesson_98.md: .*{said}"):
        chosen(asking(text), name)


def test_a_kind_that_is_made_already_takes_no_words(asking: Callable[[str], Callable[..., Exercise]]) -> None:
    with pytest.raises(BadInput, match="the words of 'who'"):
        asking(f"## who\n\n{WHO}Rule: Go.\n")("who", scene("low block"), WhoPresses())


@pytest.mark.parametrize("path", sorted(Path(lessons.__path__[0]).glob("lesson_*.md")), ids=lambda path: path.stem)
def test_what_is_asked_stands_alone_before_what_is_told(path: Path) -> None:
    for section in SECTION.split(path.read_text("utf-8"))[2::2]:
        head, _, told = section.strip().partition("\n\n")
        assert len(ASKED.findall(head)) == len(head.splitlines()) >= 3
        assert ASKED.findall(told) == []
