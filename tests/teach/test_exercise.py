"""What every exercise keeps to: all of every lesson and one of every kind, mirrored and varied too."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import replace
from itertools import chain, islice
from typing import Any

import pytest

from pressinglib.errors import BadInput
from pressinglib.field.player import Player
from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan, plan_pictures
from pressinglib.teach import exercise as exercise_file
from pressinglib.teach.choices import SetNumber
from pressinglib.teach.exercise import HINTS, NOT_ATTEMPTED, RIGHT, WRONG, Exercise, Judge
from pressinglib.teach.lessons import lesson_00
from pressinglib.teach.pictures import fresh_pictures, plan_of
from pressinglib.teach.press_questions import WhoPresses, WriteRule
from tests.teach.keys.key import Key
from tests.teach.keys.kinds import KINDS
from tests.teach.lessons import ALL, exercises_of, keys_of, lesson_modules, marked, mirrored

EXERCISES = [case for name, (exercise, _) in ALL.items() for case in (
    pytest.param(exercise, id=name), pytest.param(mirrored(exercise), id=f"{name}, mirrored", marks=marked(name)))]
every_exercise = pytest.mark.parametrize("exercise", EXERCISES)
with_key = pytest.mark.parametrize(("exercise", "key"), ALL.values(), ids=ALL)
NONSENSE = [None, "", "nine", 3.7, -1, [], {}, (1, 2, 3), float("nan"), object(), b"9", (999, 0), "9" * 5000]
SOME, MANY = 8, 200  # seeds; the more with --full
TOGETHER, LOOKED_AT = 200, (1, 4)  # seeds planned together, and pictures of each: most even ones keep the first
# Those that play each picture, plan it for several shapes or search it long take 0.05 to 1 s for one.
DEAR = {f"lesson_{name}" for name in (
    "01, what_wrong", "01, whose_ball", "01, whose_man", "02, in_order", "02, nearest", "05, lanes", "05, repair",
    "06, keeper_height", "07, how_long", "08, best_shape", "08, in_the_middle", "09, when_to_start", "10, one_answer",
    "11, who", "11, side", "11, agree", "11, cost", "12, fault")}
DEAR_SEEDS, RULE_SEEDS = (2, 200), (2, 12)


def test_every_exercise_has_answers_to_try_and_no_answer_is_left_over() -> None:
    for lesson, module in lesson_modules().items():
        assert set(keys_of(lesson)) == set(exercises_of(module))
    assert {type(exercise.judge) for exercise in KINDS.values()} >= {type(e.judge) for e, _ in ALL.values()}


@every_exercise
def test_before_an_answer_it_says_what_to_do_and_gives_nothing_away(exercise: Exercise) -> None:
    assert exercise.check(...).outcome == NOT_ATTEMPTED
    assert exercise.check(...).words == exercise.asks
    assert "{" not in f"{exercise!r}{exercise.hint(1)!r}"
    unasked = {repr(exercise.hint(step)) for step in (..., 0, 5, "1", None)}
    assert unasked == {"Stuck: Write 1, 2 or 3 over the dots for a hint; 4 shows an answer."}
    assert {mark.layer for mark in exercise.picture.drawing.marks}.isdisjoint({"roles", "shadow", "lanes", "gaps"})
    assert "presses" not in exercise.picture.drawing.words


@every_exercise
def test_three_hints_say_more_and_more(exercise: Exercise) -> None:
    hints = [exercise.hint(step) for step in range(1, HINTS + 1)]
    assert len({hint.words for hint in hints}) == HINTS
    assert exercise.hint(HINTS + 1).words == exercise.solution().words
    assert any(sign.isdigit() for sign in hints[2].words)  # how far, in seconds, metres or men
    assert [repr(hint).partition(":")[0] for hint in hints] == [f"Hint {step} of {HINTS}" for step in range(1, 4)]


@every_exercise
def test_its_own_solution_is_always_right_and_nonsense_wrong_and_never_an_error(exercise: Exercise) -> None:
    known = exercise.solution().answer
    assert exercise.check(known).outcome == RIGHT
    assert exercise.check(known) == exercise.check(known) == replace(exercise).check(known)
    for answer in NONSENSE:
        verdict = exercise.check(answer)
        assert verdict.outcome == WRONG or (isinstance(exercise.judge, SetNumber) and isinstance(answer, float)), answer
        assert 0 < len(verdict.words) < 250, answer


@with_key
def test_two_wrong_answers_are_wrong_with_a_reason_and_two_right_ones_right(exercise: Exercise, key: Key) -> None:
    wrong, right = ([exercise.check(answer) for answer in answers] for answers in (key.wrong, key.right))
    assert [(verdict.outcome, bool(verdict.words), verdict.of and verdict.held == verdict.of) for verdict in wrong] == [
        (WRONG, True, False)] * 2
    assert [(verdict.outcome, verdict.held) for verdict in right] == [(RIGHT, verdict.of) for verdict in right]


@with_key
def test_a_wrong_answer_gets_a_cue_then_the_measure_then_all_of_it(exercise: Exercise, key: Key) -> None:
    if not (exercise.form.options or exercise.form.slider):
        return  # who places, or writes a rule, hears at once what his own answer does not do
    answer = exercise.solution().answer
    names = exercise.judge.named(answer) if exercise.form.options else [exercise.judge.written(answer).split()[0]]
    names = [] if exercise.form.in_order else names  # what is to be ordered may be named
    sense = [wrong for wrong in key.wrong if exercise.taught(wrong)[0].outcome == WRONG]
    assert sense  # what is none of the choices is no try yet
    for wrong in sense:
        cue, measure, whole = (exercise.taught(wrong)[tries] for tries in range(3))
        assert {cue.outcome, measure.outcome, whole.outcome} == {WRONG}
        assert [name for name in names if re.search(rf"(?<![\w.-]){re.escape(name)}(?![\w.-])", cue.words)] == []
        assert cue.words != measure.words
        assert whole.words == f"{measure.words} Show gives an answer."
        assert exercise.hint(1).words not in cue.words
    assert exercise.taught(key.right[0])[0] == exercise.check(key.right[0])
    assert exercise.taught(...)[0].outcome == exercise.taught(None)[0].outcome == NOT_ATTEMPTED


@with_key
def test_a_wrong_choice_is_told_neither_the_right_one_nor_its_words(exercise: Exercise, key: Key) -> None:
    choices = [] if exercise.form.several else exercise.form.options
    found = {name: exercise.check(name) for name in choices}
    right = {name: verdict.words for name, verdict in found.items() if verdict.outcome == RIGHT}
    shared = {verdict.words for verdict in found.values() if verdict.outcome == WRONG}  # what is said of all tells none
    for wrong in set(choices) - set(right):
        cue, measure, _ = (told.words for told in exercise.taught(wrong))
        assert [name for name in right if re.search(rf"(?<![\w.-]){re.escape(name)}(?![\w.-])", cue)] == [], cue
        assert [words for words in right.values() if words in measure and words not in shared] == []


# -- fresh variants -----------------------------------------------------------------------------------------------


def by_custom(situation: Situation) -> bool:
    """Either team as it sees itself: 2 to the right of 3, 7 of 11, where slots say right and left (common practice)."""
    right_of = [(sign * y[a], sign * y[b]) for players, sign in ((situation.pressing, 1), (situation.possession, -1))
                for y in [{p.number: p.xy[1] for p in players if p.slot.startswith(("right", "left"))}]
                for a, b in (("2", "3"), ("7", "11")) if a in y and b in y]
    return all(right < left for right, left in right_of)


def seeds_of(name: str, exercise: Exercise, full: bool) -> int:
    """How many seeds are tried: a rule that is written costs its whole contract each time, up to two seconds."""
    rule = isinstance(exercise.judge, WriteRule)
    return (RULE_SEEDS if rule else DEAR_SEEDS if name in DEAR else (SOME, MANY))[full]


@pytest.fixture
def variants(monkeypatch: pytest.MonkeyPatch) -> Callable[[Exercise, int], Iterator[Exercise]]:
    """The variants of so many seeds; the pictures looked at first are planned together, in a sixth of the time."""
    begun: dict[Any, Iterator[Situation]] = {}  # pictures, by what was asked for
    plans: dict[Situation, Plan] = {}

    def pictures_of(exercise: Exercise, seed: int) -> list[Situation]:
        """What a seed looks at first; which that is it says when it is given no picture at all."""
        asked: list[Any] = []
        with monkeypatch.context() as dry, suppress(BadInput):
            dry.setattr(exercise_file, "fresh_pictures", lambda *of: asked.append(of) or iter(()))
            exercise.variant(seed)
        of = next(of for of in asked if of[2])  # he asks for some at all
        more = fresh_pictures(*of)
        first = [*islice(more, LOOKED_AT[seed % 2])]
        begun[of] = chain(first, more)
        return first

    def made(exercise: Exercise, seeds: int) -> Iterator[Exercise]:
        for start in range(0, seeds, TOGETHER):
            some = range(start, min(start + TOGETHER, seeds))
            first = [picture for seed in some for picture in pictures_of(exercise, seed)]
            plans.clear()
            plans.update(plan_pictures(first, exercise.rulebook))
            yield from map(exercise.variant, some)

    monkeypatch.setattr(exercise_file, "plan_of", lambda s, rules: plans.get(s) or plan_of(s, rules))
    monkeypatch.setattr(exercise_file, "fresh_pictures", lambda *of: begun.pop(of, None) or fresh_pictures(*of))
    return made


def test_each_that_is_dear_is_an_exercise() -> None:
    assert set(ALL) > DEAR


@pytest.mark.parametrize("name", ALL)
def test_seeds_give_distinct_pictures_whose_answer_is_known(name: str, full: bool, variants: Any) -> None:
    exercise = ALL[name][0]
    seeds, fresh, anew = seeds_of(name, exercise, full), [], []
    for seed, one in enumerate(variants(exercise, seeds)):
        fresh.append(one)
        # `variant` keeps no picture on which its own solution is wrong; every fifth is judged once more by itself.
        if seed % 5 == 0:
            anew.append(replace(fresh[-1]))
            assert anew[-1].check(anew[-1].judge.model(anew[-1].plan)).outcome == RIGHT
            assert anew[-1].check(...).outcome == NOT_ATTEMPTED
    assert len({exercise.situation, *(e.situation for e in fresh)}) == seeds + 1
    assert [s for s in (exercise.situation, *exercise.others, *(e.situation for e in fresh)) if not by_custom(s)] == []
    known = exercise.judge.model(exercise.plan)
    others = chain(anew, (exercise.variant(seed) for seed in range(seeds, MANY)))  # who learns a word is found out
    assert not exercise.turns or any(e.check(known).outcome == WRONG for e in others)
    turned, kept = ([e.check(known).outcome == outcome for e in fresh[first::2]]
                    for first, outcome in ((1, WRONG), (0, RIGHT)))
    assert not exercise.turns or sum(turned) >= len(turned) / 4
    assert not exercise.turns or exercise.form.placed or sum(kept) >= len(kept) / 2
    assert exercise.variant(1).situation == fresh[1].situation  # made anew, and by itself


def test_variants_come_mirrored_and_in_other_formations() -> None:
    fresh = [KINDS["who_presses"].variant(seed).situation for seed in range(40)]
    sides = {situation.ball_xy[1] > 0 for situation in fresh}
    shapes = {tuple(sorted(p.slot for p in situation.pressing)) for situation in fresh}
    assert sides == {True, False}
    assert len(shapes) > 4
    places = [xy for s in fresh for p in (*s.pressing, *s.possession) for xy in p.xy]
    assert places == [round(xy, 1) for xy in places]  # as they are written
    kept = [KINDS["deny_option"].variant(seed).situation for seed in range(10)]
    assert {tuple(p.number for p in s.pressing) for s in kept} == {
        tuple(p.number for p in KINDS["deny_option"].situation.pressing)}


def test_where_no_picture_carries_the_question_that_is_said() -> None:
    class Never(WhoPresses):
        def renewed(self, plan: Any) -> Judge | None:
            return None

    with pytest.raises(BadInput, match="Change the picture"):
        replace(KINDS["who_presses"], judge=Never()).variant(0)


@pytest.mark.parametrize("seed", [-1, 1.5, "3", None, True])
def test_a_seed_is_a_whole_number(seed: Any) -> None:
    with pytest.raises(ValueError, match="whole number"):
        KINDS["who_presses"].variant(seed)


# -- single cases -------------------------------------------------------------------------------------------------


def test_partial_credit_counts_the_criteria() -> None:
    verdict = KINDS["place_players"].check({"10": (20, 1)})
    assert (verdict.held, verdict.of) == (1, 2)
    assert repr(verdict).startswith("Not yet, 1 of 2 right: 11 is ")


def test_a_solution_holds_the_picture_with_the_answer_in_it() -> None:
    exercise = lesson_00.place_the_cover
    solution = exercise.solution()
    assert solution.situation is not None
    assert {"8": solution.situation.player("pressing", "8").xy} == solution.answer
    assert exercise.check(solution.situation).outcome == RIGHT


def test_a_hostile_number_is_judged_and_never_markup() -> None:
    number = "<b>9</b>"
    picture = lesson_00.which_side.situation
    renamed = tuple(Player(number, p.slot, p.xy) if p.number == "9" else p for p in picture.pressing)
    exercise = Exercise("Who?", "Choose.", replace(picture, pressing=renamed), WhoPresses(), "The ball.")
    shown = [exercise.check(number), exercise.check("7"), exercise.check("99"),
             *map(exercise.hint, range(1, 5))]
    assert exercise.check(number).outcome == RIGHT
    assert [card for card in shown if number in card._repr_html_()] == []
    assert "&lt;b&gt;9&lt;/b&gt;" in exercise.check("7")._repr_html_()


def test_where_the_ball_is_won_nobody_goes() -> None:
    picture = Situation.line_up(ball_xy=(30, 10))
    won = replace(picture.moved("pressing", "9", picture.ball_xy).moved("possession", picture.on_ball or "", (31, 11)),
                  ball_xy=picture.ball_xy, carrier=None)
    exercise = Exercise("Who?", "Choose.", won, WhoPresses(), "The ball.")
    assert (won.state, exercise.solution().answer) == ("won", "nobody")
    assert exercise.plan.words == "We have the ball."
    assert [exercise.check("nobody").outcome, exercise.check("9").outcome] == [RIGHT, WRONG]
