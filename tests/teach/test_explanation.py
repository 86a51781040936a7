"""What explains an exercise: told after the try, by the block, out of the text beside the lesson."""

from __future__ import annotations

import re
import sys
from pathlib import Path
from types import ModuleType

import pytest

from pressinglib import scene
from pressinglib.tables import Table
from pressinglib.teach.exercise import Exercise
from pressinglib.teach.explanation import explained, section_of, sections
from pressinglib.teach.lessons.lesson_00 import who_goes
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
    assert section_of(lesson.who.variant(1)) is None
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
