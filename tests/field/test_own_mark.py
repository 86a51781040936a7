"""A person's own marks, in scene files and sessions; files of version 1 are still read."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from pressinglib import PressingError, load_situation, save_situation
from pressinglib.errors import SceneFileError
from pressinglib.field.scene_file import (
    KINDS,
    OwnMark,
    SceneFile,
    load_scene,
    load_session,
    save_session,
    scene,
    scene_names,
)

MARKS = (OwnMark("arrow", [(0, 0), (5, 5), (10, 5)], "then here"), OwnMark("zone", [(0, 0), (10, 0), (10, 8)]),
         OwnMark("note", [(-3, 4)], "Wait <b>"), OwnMark("ruler", [(0, 0), (3, 4)]),
         OwnMark("pass", [(0, 0), (9, 4)], "1"), OwnMark("dribble", [(0, 0), (9, 4)]), OwnMark("cone", [(5, 5)]),
         OwnMark("goal", [(-20, -1), (-20, 1)]))


def test_marks_go_there_and_back(tmp_path: Path) -> None:
    path = save_situation(scene("low block"), tmp_path / "a.json", "Low", "notes", MARKS)
    assert load_scene(path) == SceneFile(scene("low block"), "Low", "notes", MARKS)
    assert load_situation(path) == scene("low block")
    assert {mark.kind for mark in MARKS} == set(KINDS)


def test_a_file_of_version_1_is_still_read(tmp_path: Path) -> None:
    old = {"version": 1, "title": "old", "notes": "", **scene("low block").to_dict()}
    (tmp_path / "old.json").write_text(json.dumps(old))
    assert load_scene(tmp_path / "old.json") == SceneFile(scene("low block"), "old")


def test_a_session_keeps_its_scenes_in_order(tmp_path: Path) -> None:
    parts = tuple(SceneFile(scene(name), name, "", MARKS[:i]) for i, name in enumerate(list(scene_names())[:4]))
    path = save_session(parts, tmp_path / "tuesday.json")
    assert load_session(path) == parts
    with pytest.raises(SceneFileError, match="load_session"):
        load_scene(path)
    assert [p.name for p in tmp_path.iterdir()] == ["tuesday.json"]


@pytest.mark.parametrize("parts", [[], [SceneFile(scene("low block"))] * 101, [scene("low block")],
                                   [SceneFile(scene("low block"), title=3)]])
def test_what_is_no_session_is_refused_and_leaves_the_old_one(tmp_path: Path, parts: list[SceneFile]) -> None:
    path = save_session([SceneFile(scene("ten men"))], tmp_path / "s.json")
    with pytest.raises(PressingError):
        save_session(parts, path)
    assert load_session(path) == (SceneFile(scene("ten men")),)


@pytest.mark.parametrize(("bad", "words"), [
    ({"kind": "stamp", "points": [[0, 0]]}, "marks[1]: kind of mark"),
    ({"kind": "note", "points": [[0, 0]]}, "marks[1]: words of a note"),
    ({"kind": "arrow", "points": [[0, 0]]}, "marks[1]: points of the arrow"),
    ({"kind": "arrow", "points": [[0, 0], [1e9, 0]]}, "marks[1]: point of the arrow"),
    ({"kind": "arrow", "points": 3}, "marks[1]: points of the arrow"),
    ({"kind": ["note"], "points": [[0, 0]], "words": "a"}, "marks[1]: kind of mark"),
    ({"kind": "note", "points": [[0, 0]], "words": "a", "colour": "red"}, "marks[1].colour: unknown key"),
    ("text", "marks[1]: expected named values"),
])
def test_a_faulty_mark_is_told_with_its_place(tmp_path: Path, bad: object, words: str) -> None:
    document = {"version": 2, "marks": [MARKS[0].to_dict(), bad], **scene("low block").to_dict()}
    (tmp_path / "a.json").write_text(json.dumps(document))
    with pytest.raises(SceneFileError) as caught:
        load_scene(tmp_path / "a.json")
    assert len(caught.value.problems) == 1 and caught.value.problems[0].startswith(words)


def test_too_many_marks(tmp_path: Path) -> None:
    with pytest.raises(SceneFileError, match="0-60 marks; got 61 of them"):
        save_situation(scene("low block"), tmp_path / "a.json", marks=[MARKS[0]] * 61)


@pytest.mark.parametrize("content", [b"", b"[]", b'{"version": 2, "scenes": {}}', b'{"version": 2, "scenes": [3]}',
                                     b'{"version": 2, "scenes": [{"version": 2}]}', b'{"version": 9, "scenes": []}',
                                     b'{"version": 2, "scenes": ' + b"[" * 900 + b"]" * 900 + b"}", b" " * 2_000_001])
def test_a_hostile_session_gets_a_clear_answer(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "s.json").write_bytes(content)
    with pytest.raises(SceneFileError) as caught:
        load_session(tmp_path / "s.json")
    assert 1 <= len(caught.value.problems) <= 41 and len(str(caught.value)) < 12_000
