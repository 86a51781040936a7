"""Scene files: there and back, hostile ones, and a kill at the worst moment."""

import json
import os

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from pressinglib.errors import BadInput, PressingError, SceneFileError
from pressinglib.field import scene_file
from pressinglib.field.scene_file import load_scene, load_situation, save_situation, scene, scene_names
from pressinglib.files import Checker, Format, write_file

PRINTABLE = st.text(st.characters(exclude_categories=["C", "Z"]), max_size=200)
same_folder = settings(suppress_health_check=[HealthCheck.function_scoped_fixture])


@pytest.fixture
def path(tmp_path):
    return tmp_path / "scene.json"


@same_folder
@given(st.data(), PRINTABLE, PRINTABLE)
def test_there_and_back(path, situations, data, title, notes):
    s = data.draw(situations)
    assert save_situation(s, path, title, notes) == path
    assert load_situation(path) == s
    assert (load_scene(path).title, load_scene(path).notes) == (title, notes)


@pytest.mark.parametrize("name", scene_names())
def test_a_named_scene_there_and_back(path, name):
    save_situation(scene(name), str(path), f"{name}, with a title", "one line\nanother")
    assert load_scene(path) == scene_file.SceneFile(scene(name), f"{name}, with a title", "one line\nanother")


def test_the_file_is_plain_text_with_a_player_a_line(path):
    save_situation(scene("low block"), path, title="Höhe <b>")
    text = path.read_text("utf-8")
    assert json.loads(text)["version"] == 2
    assert len(text.splitlines()) > 22 and "Höhe <b>" in text
    assert path.stat().st_size < 10_000


HOSTILE = {
    "empty": b"", "half": b'{"version": 1, "pres', "list": b"[]", "null": b"null", "number": b"3",
    "nothing in it": b"{}",
    "not a number": b'{"version": 1, "ball_xy": [NaN, -Infinity]}', "doubled key": b'{"version": 1, "version": 1}',
    "deep list": b"[" * 100_000, "deep braces": b'{"a":' * 30_000, "closed deep list": b"[" * 900 + b"]" * 900,
    "many digits": b"9" * 5_000, "large number": b'{"version": 1, "ball_height_m": ' + b"9" * 4000 + b"}",
    "beyond floats": b'{"version": 1, "ball_xy": [1e999, -1e999]}', "not UTF-8": b'{"version": 1, "title": "\xff"}',
    "UTF-16": '{"version": 1}'.encode("utf-16"), "half a pair": b'{"version": 1, "title": "\\ud800"}',
    "newer": b'{"version": 3}', "version 0": b'{"version": 0}', "version true": b'{"version": true}',
    "version text": b'{"version": "1"}', "no version": b'{"pressing": []}', "version large": b'{"version": 1e400}',
    "code": b'{"version": 1, "__class__": "os.system", "pressing": "!!python/object"}',
    "zero byte": b'{"version": 1}\x00',
    "large": b" " * 200_001, "many keys": b'{"version": 1' + b"".join(b',"k%d":1' % i for i in range(15_000)) + b"}",
    "many players": b'{"version": 1, "pressing": [' + b"{}," * 20_000 + b"{}]}",
}


@pytest.mark.parametrize("content", HOSTILE.values(), ids=list(HOSTILE))
def test_a_hostile_file_gets_a_clear_answer(path, content):
    path.write_bytes(content)
    with pytest.raises(SceneFileError) as caught:
        load_situation(path)
    assert caught.value.path == str(path)
    assert 1 <= len(caught.value.problems) <= 41
    assert len(str(caught.value)) < 12_000


@pytest.mark.parametrize(("name", "words"), [
    ("empty", "not JSON: line 1"), ("not a number", "NaN: not a number"), ("doubled key", "version: stands twice"),
    ("deep list", "braces without end"), ("many digits", "too many digits"), ("not UTF-8", "not UTF-8"),
    ("newer", "newer pressinglib"), ("large", "more than 200 kB"), ("beyond floats", "ball_xy: expected two finite"),
    ("many keys", "more"), ("half a pair", "title: expected a text of"),
])
def test_the_words_for_a_hostile_file(path, name, words):
    path.write_bytes(HOSTILE[name])
    with pytest.raises(SceneFileError, match=words):
        load_situation(path)


@same_folder
@given(st.data())
def test_a_file_with_a_wrong_byte_is_read_or_refused(path, data):
    save_situation(scene("ten men"), path)
    content = bytearray(path.read_bytes())
    content[data.draw(st.integers(0, len(content) - 1))] = data.draw(st.integers(0, 255))
    path.write_bytes(content)
    try:
        assert len(load_situation(path).pressing) <= 11
    except SceneFileError as error:
        assert error.problems


def test_files_that_cannot_be_read(tmp_path):
    with pytest.raises(SceneFileError, match="no such file"):
        load_situation(tmp_path / "none.json")
    with pytest.raises(SceneFileError, match="a folder"):
        load_situation(tmp_path)
    for name in ("a\0b", "a\ud800b", ""):
        with pytest.raises(BadInput, match="path: expected the name of a file or folder"):
            load_situation(name)


def test_a_byte_order_mark_does_no_harm(path):
    save_situation(scene("low block"), path)
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes())
    assert load_situation(path) == scene("low block")


def test_errors_can_be_caught_as_the_root_or_as_a_value_error(path):
    for kind in (PressingError, ValueError):
        with pytest.raises(kind):
            load_situation(path)


# -- saving ------------------------------------------------------------------------------------------------------------

@pytest.fixture
def saved(path):
    save_situation(scene("low block"), path)
    return path


def is_untouched(path):
    return load_situation(path) == scene("low block") and os.listdir(path.parent) == [path.name]


@pytest.mark.parametrize("step", ["replace", "fsync"])
@pytest.mark.parametrize("blow", [KeyboardInterrupt, OSError(28, "No space left on device")])
def test_a_kill_before_the_last_step_leaves_the_old_file(saved, monkeypatch, step, blow):
    def strike(*_):
        raise blow

    monkeypatch.setattr(os, step, strike)
    with pytest.raises((KeyboardInterrupt, PressingError)):
        save_situation(scene("ten men"), saved)
    assert is_untouched(saved)


def test_the_new_file_is_whole_before_it_takes_the_place(saved, monkeypatch):
    def look(beside, target):
        assert load_situation(beside) == scene("ten men")
        assert beside.parent == saved.parent
        assert load_situation(target) == scene("low block")
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "replace", look)
    with pytest.raises(KeyboardInterrupt):
        save_situation(scene("ten men"), saved)


@pytest.mark.parametrize("words", [{"title": "x" * 201}, {"notes": "x" * 5001}, {"title": "\x00"}, {"title": "\ud800"},
                                   {"title": 3}, {"notes": {1, 2}}, {"title": None}])
def test_words_that_could_not_be_read_again_are_not_saved(saved, words):
    with pytest.raises(SceneFileError):
        save_situation(scene("ten men"), saved, **words)
    assert is_untouched(saved)


def test_only_a_picture_can_be_saved(saved):
    with pytest.raises(BadInput, match="a Situation"):
        save_situation(scene("low block").to_dict(), saved)
    assert is_untouched(saved)


def test_a_folder_that_is_not_there_is_told(tmp_path):
    with pytest.raises(PressingError, match="Choose a folder"):
        save_situation(scene("low block"), tmp_path / "none" / "a.json")
    with pytest.raises(PressingError, match="none/a.txt: got No such file or directory. Choose a folder"):
        write_file(tmp_path / "none" / "a.txt", b"")


def test_a_link_stays_a_link_and_rights_stay(saved, tmp_path):
    saved.chmod(0o600)
    link = tmp_path / "link.json"
    link.symlink_to(saved)
    save_situation(scene("ten men"), link)
    assert link.is_symlink()
    assert load_situation(saved) == scene("ten men")
    assert saved.stat().st_mode & 0o777 == 0o600


def test_a_new_file_has_the_rights_that_the_users_mask_leaves(path):
    before = os.umask(0o027)
    try:
        save_situation(scene("ten men"), path)
    finally:
        os.umask(before)
    assert path.stat().st_mode & 0o777 == 0o640


def test_what_a_kill_has_left_is_swept_away_and_what_somebody_writes_is_not(saved):
    fcntl = pytest.importorskip("fcntl")
    left, written, other = (saved.parent / name for name in (f".{'1a' * 8}.part", f".{'2b' * 8}.part", ".x.part"))
    for file in (left, written, other):
        file.write_text("half")
    with written.open("rb") as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        save_situation(scene("ten men"), saved)
    assert {file.name for file in saved.parent.iterdir()} == {saved.name, written.name, other.name}


# -- versions ----------------------------------------------------------------------------------------------------------

def newest(values):
    """Values of a kind of files that is at version 3, and what is wrong with them."""
    check = Checker()
    return Format(SceneFileError, 3, 1000, lambda check, values: values).newest(check, values), check.faults


@pytest.mark.parametrize("version", [1, 2, 3])
def test_every_older_version_is_read(version):
    assert newest({"version": version, "seen": []}) == ({"seen": []}, [])


def test_a_scene_of_the_first_version_still_opens(saved):
    saved.write_text(saved.read_text().replace('"version": 2', '"version": 1'))
    assert load_situation(saved) == scene("low block")


@pytest.mark.parametrize("version", [0, -1, 4, True, "1", None, 1.0])
def test_versions_that_do_not_exist_are_told(version):
    made, faults = newest({"version": version})
    assert made is None
    assert len(faults) == 1 and faults[0].startswith("version: expected a whole number, at most 3; got ")
    assert ("newer pressinglib" in faults[0]) == (version == 4)
