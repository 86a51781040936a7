"""Lesson 10: make a scene and an exercise of your own, mark answers, see what a class has not understood.

All scenes, names and answers are invented.
"""

from functools import cache, partial
from math import dist
from pathlib import Path

from pressinglib import Pass, Plan, Sequence, Situation, plan_press, scene, simulate, teach
from pressinglib.show.drawing import draw_situation
from pressinglib.show.judged import ran
from pressinglib.show.pages import Pages, strip
from pressinglib.tables import Table, listed
from pressinglib.teach import Choose, Finding, PlacePlayers, Race, Stand, WhoPresses, asks_of, criterion
from pressinglib.teach.answer_file import AnswerFile, load_answers, so_far
from pressinglib.teach.choices import off_him
from pressinglib.teach.criteria import denies
from pressinglib.teach.exercise import RIGHT
from pressinglib.teach.lessons import lesson_00
from pressinglib.teach.pictures import drawn, in_tenths, placed, towards

ask = asks_of("lesson_10.md")
CLASS_FOLDER = Path(__file__).parent / "class_10"
QUESTIONS = teach.Course("00", (lesson_00.who_goes, lesson_00.which_side, lesson_00.place_the_cover))
BACK_M = 3.0  # behind his place 10 is neither level nor left far behind
EASY_S = 1.0  # who is there so long before the next is seen at a glance (own choice)
MARKED, BEYOND_M = ("6", "8", "10"), (-2.5, 2.0, 9.0)  # whose places are marked; so far past their 6 as the ball rolls
BY_TITLE = {exercise.title: exercise for exercise in QUESTIONS}


def who_is_right(plan: Plan) -> list[str]:
    """All whom the engine accepts as the one who goes."""
    return [number for number, finding in WhoPresses().choices(plan).items() if finding.holds]


@criterion
def one_is_right(stand: Stand) -> Finding:
    """The question has one answer, and a learner has to look for it."""
    plan = plan_press(stand.situation)
    right, race = who_is_right(plan), Race(plan)
    first, second = race.first(2)
    apart_s = round(round(race.time_s(second), 1) - round(race.time_s(first), 1), 1)
    when = f"is there {apart_s:.1f} s before {second}" if apart_s else f"and {second} are there together"
    words = f"{first} {when}: {listed(right)} {'are' if right[1:] else 'is'} right"
    easy = f", and anybody sees it. {EASY_S:.0f} s at most." if apart_s > EASY_S else "."
    runs = (ran(n, stand.own(n), stand.situation.ball_xy, race.time_s(n)) for n in (first, second))
    return Finding(len(right) == 1 and apart_s <= EASY_S, words + easy, seen=(*runs,))


one_answer = ask("one_answer", drawn("two level"), PlacePlayers, ("10",), (one_is_right(),),
    places=lambda plan: {"10": towards(plan.situation.player("pressing", "10").xy, plan.situation.ball_xy, -BACK_M)})


def team() -> Situation:
    """A 4-4-2 against a 4-3-3 that builds up with two and three."""
    return Situation.line_up(pressing="4-4-2", possession="4-3-3", ball_xy=(33, 14), build_up="2+3")


def _three(*numbers: str) -> Situation:
    """Three of ours against the pass to their 6: in the lane, goal-side, and too far behind."""
    situation = lesson_00.place_the_cover.situation
    ball, man = situation.ball_xy, situation.player("possession", "6").xy
    return placed(situation, {n: in_tenths(towards(ball, man, dist(ball, man) + beyond_m))
                              for n, beyond_m in zip(numbers, BEYOND_M, strict=True)})


def _to_mark(plan: Plan) -> dict[str, Finding]:
    """An answer is chosen rightly if the engine calls it wrong."""
    stand = Stand(plan, plan.situation)
    found = {number: denies(number, "6")(stand) for number in MARKED}
    return {number: finding._replace(holds=not finding.holds) for number, finding in found.items()}


mark_three = ask("mark_three", _three(*MARKED), Choose, "player", _to_mark, far=off_him("6", MARKED),
    others=(_three("10", "6", "8"), _three("8", "10", "6")))


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
        words = (f"{first} could be there first, in {Race(plan).time_s(first):.1f} s, "
                 f"{'and' if first == plan.presser else 'but'} {plan.presser} goes.")
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
