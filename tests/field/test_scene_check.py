"""Faults of scene files: all of them, each with its place."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pressinglib.field.scene_file import SCENE, scene, scene_names
from pressinglib.files import Checker

JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text() | st.just(10**400),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3), max_leaves=8)


def problems(value):
    """Every fault in the values of a scene file."""
    check = Checker()
    SCENE.newest(check, value)
    return check.faults


def document(name="low block"):
    return {"version": 2, "title": "", "notes": "", **json.loads(json.dumps(scene(name).to_dict()))}


def paths(value, path=()):
    """Every place in nested lists and dicts."""
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    yield from (deep for key, inner in items for deep in ((*path, key), *paths(inner, (*path, key))))


def put(value, path, new):
    for key in path[:-1]:
        value = value[key]
    value[path[-1]] = new


def named(path):
    """The place as a message writes it: points and the pitch are named as a whole."""
    shown = path[:1] if path[0] in ("pitch", "ball_xy", "ball_velocity") else path[:3]
    return "".join(f"[{key}]" if isinstance(key, int) else f".{key}" for key in shown).lstrip(".")


@pytest.mark.parametrize("name", scene_names())
def test_a_sound_scene_has_none(name):
    assert problems(document(name)) == []


def test_optional_keys_may_be_missing():
    short = {key: value for key, value in document().items()
             if key in ("version", "pressing", "possession", "ball_xy")}
    short["pressing"] = [{key: p[key] for key in ("number", "slot", "xy")} for p in short["pressing"]]
    assert problems(short) == []


@given(JSON)
def test_any_value_gets_an_answer(value):
    assert problems(value) != []


@given(st.data(), JSON)
def test_a_wrong_value_anywhere_gets_an_answer_and_never_a_crash(data, value):
    faulty = document()
    put(faulty, data.draw(st.sampled_from(list(paths(document())))), value)
    assert isinstance(problems(faulty), list)


@pytest.mark.parametrize("path", [p for p in paths(document()) if p[0] != "possession" and p[1:2] not in [
    (n,) for n in range(11) if n != 3]], ids=str)
@pytest.mark.parametrize("wrong", [{"a": {}}, ["x", [1]], "\x00"], ids=["braces", "list", "text"])
def test_the_place_of_a_wrong_value_is_named(path, wrong):
    faulty = document()
    put(faulty, path, wrong)
    assert any(problem.startswith(named(path)) for problem in problems(faulty)), problems(faulty)


def test_all_faults_are_told_at_once():
    faulty = document()
    faulty["colour"] = "red"
    del faulty["ball_xy"]
    faulty["pitch"] = {"length_m": 60, "width_m": 40}
    faulty["pressing"][3] |= {"slot": "libero", "xy": [1, None], "hair": "long"}
    faulty["pressing"][5]["xy"] = [70, 0]
    faulty["possession"][0] = None
    faulty["carrier"] = "77"
    faulty["restart"] = "corner"
    told = [problem.split(":")[0] for problem in problems(faulty)]
    assert sorted(told) == [
        "ball_xy", "carrier", "colour", "pitch", "possession[0]", "pressing[3].hair", "pressing[3].slot",
        "pressing[3].xy", "pressing[5].xy", "restart"]


@pytest.mark.parametrize(("change", "problem"), [
    (lambda d: d["pressing"].append(d["pressing"][0]), "pressing: expected a list of 1-11 players; got 12"),
    (lambda d: d["pressing"][1].update(number="1"), "pressing: expected each number once"),
    (lambda d: d["pressing"][1].update(slot="goalkeeper"), "pressing: expected at most one goalkeeper"),
    (lambda d: d.update(possession=[]), "possession: expected a list of 1-11 players; got 0"),
    (lambda d: d.update(carrier="1"), "carrier 1: expected within 5 m of the ball"),
    (lambda d: d.update(receiver="1"), None),
    (lambda d: d.update(version=3), "version: expected a whole number, at most 2; got 3"),
    (lambda d: d.update(title="x" * 201), "title: expected a text of 0-200 printable characters"),
    (lambda d: d.update(notes="two lines\nand more"), None),
    (lambda d: d.update(ball_xy=[[[[[[[[[]]]]]]]]]), "file: expected lists and braces at most 8 deep"),
])
def test_what_hangs_together(change, problem):
    changed = document()
    change(changed)
    found = problems(changed)
    assert [p[: len(problem)] for p in found] == [problem] if problem else found == []


def test_long_values_are_cut_short():
    faulty = document() | {"ball_xy": "x" * 100_000, "y" * 100_000: 1}
    assert max(map(len, problems(faulty))) < 400
