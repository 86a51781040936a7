"""Lesson 10: make a scene and an exercise of your own, mark answers, see what a class has not understood.

All scenes, names and answers are invented.
"""

from __future__ import annotations

from functools import cache, partial
from math import dist
from pathlib import Path

import numpy as np

from pressinglib import Pass, Plan, Sequence, Situation, picture, plan_press, scene, simulate, teach
from pressinglib.field.player import XY
from pressinglib.field.scene_file import OwnMark
from pressinglib.show.drawing import draw_situation
from pressinglib.show.export import Picture
from pressinglib.show.pages import Pages, strip
from pressinglib.tables import Table, listed
from pressinglib.teach import Choose, Finding, PlacePlayers, Race, Stand, criterion, make_exercise
from pressinglib.teach.answer_file import AnswerFile, load_answers, so_far
from pressinglib.teach.exercise import RIGHT
from pressinglib.teach.explanation import asks_of
from pressinglib.teach.lessons import lesson_00, lesson_03, lesson_07
from pressinglib.teach.pictures import drawn, in_tenths, towards

ask = asks_of("lesson_10.md")
CLASS_FOLDER = Path(__file__).parent / "class_10"
QUESTIONS = {"00": (lesson_00.who_goes, lesson_00.which_side, lesson_00.place_the_cover)}
BY_TITLE = {exercise.title: exercise for exercise in QUESTIONS["00"]}


def who_is_right(situation: Situation) -> list[str]:
    """All whom the engine accepts as the one who goes."""
    return sorted(teach.Accepted(make_exercise(situation, "Who goes?", "Click the player.", "who goes")).right, key=int)


@criterion
def one_is_right(stand: Stand) -> Finding:
    """The question has one answer."""
    right, race = who_is_right(stand.situation), Race(plan_press(stand.situation))
    first, second = race.first(2)
    apart_s = race.time_s(second) - race.time_s(first)
    are = f"{right[0]} alone is" if len(right) == 1 else f"{listed(right)} are both"
    return Finding(len(right) == 1, f"{first} is there {apart_s:.1f} s before {second}: {are} right.")


def _further_off(plan: Plan) -> dict[str, XY]:
    """10 stepped back until the question has one answer."""
    x, y = plan.situation.player("pressing", "10").xy
    steps = [(round(x - back_m, 1), y) for back_m in np.arange(0.5, 12.0, 0.5)]
    clear = (xy for xy in steps if len(who_is_right(plan.situation.moved("pressing", "10", xy))) == 1)
    return {"10": next(clear, steps[-1])}


one_answer = ask("one_answer", drawn("two level"), PlacePlayers, ("10",), (one_is_right(),),
    places=_further_off, turns=False)


def team() -> Situation:
    """A 4-4-2 against a 4-3-3 that builds up with two and three."""
    return Situation.line_up(pressing="4-4-2", possession="4-3-3", ball_xy=(33, 14), build_up="2+3")


def _three(situation: Situation) -> dict[str, XY]:
    """Places of 8 against their 6: in the lane, behind him, and beside him on the wrong side."""
    ball, man = situation.ball_xy, situation.player("possession", "6").xy
    return {letter: in_tenths(towards(ball, man, dist(ball, man) + beyond_m))
            for letter, beyond_m in (("A", -2.5), ("B", 2.0), ("C", 9.0))}


def _to_mark(plan: Plan) -> dict[str, Finding]:
    """An answer is chosen rightly if the engine calls it wrong."""
    asked = make_exercise(plan.situation, "Cover?", "Place 8.", "deny a pass", "8, 6")
    verdicts = {letter: asked.check(xy) for letter, xy in _three(plan.situation).items()}
    return {letter: Finding(verdict.outcome != RIGHT, verdict.words) for letter, verdict in verdicts.items()}


def _slack(plan: Plan) -> str:
    man_xy = plan.situation.player("possession", "6").xy
    away = [f"{letter} is {dist(xy, man_xy):.1f} m from their 6" for letter, xy in _three(plan.situation).items()]
    return f"{listed(away)}."


mark_three = ask("mark_three", lesson_00.place_the_cover.situation, Choose, "answer", _to_mark, far=_slack,
    names_players=True, turns=False)


def three_places() -> Picture:
    """The picture with the three answers in it."""
    notes = [OwnMark("note", (xy,), letter) for letter, xy in _three(mark_three.situation).items()]
    return picture(draw_situation(mark_three.situation, marks=notes))


@cache
def class_results() -> teach.ClassResults:
    """The invented class, judged again; its files do not change."""
    return teach.read_class(CLASS_FOLDER, QUESTIONS)


def what_files_say() -> Table:
    """The same table by what the files say of themselves: nobody should mark by it."""
    rows = [(answers.learner, *(so_far([one.outcome for one in answers.tries if one.exercise == title])
                                for title in BY_TITLE)) for answers in _readable()]
    return Table(("Learner", *BY_TITLE), rows)


def _readable() -> list[AnswerFile]:
    skipped = dict(class_results().skipped)
    return [load_answers(path) for path in sorted(CLASS_FOLDER.glob("*.json")) if path.name not in skipped]


def _open_to() -> dict[str, int]:
    """For each exercise how many of the class have not solved it."""
    return {row["Exercise"].rstrip("?"): row["not yet"] + row["not tried"] for row in class_results().overview()}


def _most(plan: Plan) -> dict[str, Finding]:
    """Most of the class have not solved it, or they have."""
    open_to, learners = _open_to(), len(class_results().learners)
    return {title: Finding(count == max(open_to.values()), f"{count} of {learners} have not solved it.")
            for title, count in open_to.items()}


teach_again = ask("teach_again", lesson_00.who_goes.situation, Choose, "question", _most,
    far=lambda plan: f"{max(_open_to().values())} have not solved it.", turns=False)


def _claims(plan: Plan) -> dict[str, Finding]:
    """For each learner whether the file claims a right answer that is none."""
    found = {}
    for answers in _readable():
        false = [one for one in answers.tries
                 if one.outcome == RIGHT != BY_TITLE[one.exercise].check(one.answer).outcome]
        words = f"says right for {false[0].exercise!r}; judged again, it is not" if false else "is true"
        found[answers.learner] = Finding(bool(false), f"{answers.learner}'s file {words}.")
    return found


whose_claim = ask("whose_claim", lesson_00.which_side.situation, Choose, "learner", _claims, turns=False)


CASES = {"A": scene("build-up left"), "B": drawn("full-back first"), "C": scene("worked scene")}


@cache
def _cases() -> dict[str, Finding]:
    """For each picture whether the one who could be there first is not the one who goes."""
    found = {}
    for letter, plan in ((letter, plan_press(case)) for letter, case in CASES.items()):
        first = Race(plan).first(1)[0]
        words = f"{first} could be there first, in {Race(plan).time_s(first):.1f} s, and {plan.presser} goes."
        found[letter] = Finding(first != plan.presser, words)
    return found


counter_case = ask("counter_case", CASES["A"], Choose, "picture", lambda plan: _cases(), turns=False)


# -- What is shown.


accepted = partial(teach.Accepted, lesson_00.place_the_cover)  # the places that do the job, in the task that was marked


def class_overview() -> Table:
    """How far everybody is with each question, and its commonest wrong answer."""
    return class_results().overview()


def three_cases() -> Pages:
    """Pictures A, B and C, one beside the other."""
    page = Pages("A, B and C")
    page.beside([draw_situation(case, letter) for letter, case in CASES.items()], 1, page.room_cm)
    return page


@cache
def played() -> Sequence:
    """A press over time, which their 4 has to answer."""
    return simulate(scene("worked scene"), [Pass("4", at_s=0.8), Pass("3", at_s=2.5)], duration_s=5, attackers="seek")


def moments() -> Pages:
    """Four moments of it on a page, for the copier."""
    return strip(played(), 4, title="Four moments of a press", grey=True)


EARLIER = (lesson_03.which_side, lesson_07.full_back)  # asked again, on fresh pictures
