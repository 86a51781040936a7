"""An exercise: a picture, a task, and a judge who works the answer out from the picture and knows no key by heart."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, field, replace
from html import escape
from itertools import chain
from typing import Any, NamedTuple

from pressinglib.errors import BadInput, PressingError, as_whole
from pressinglib.field.player import XY
from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan
from pressinglib.roles.rulebook import Rulebook
from pressinglib.show.export import Picture, picture
from pressinglib.show.judged import Judged, Seen
from pressinglib.tables import listed
from pressinglib.teach.pictures import fresh_pictures, plan_of

FRAME = ('<div role="status" style="border:1px solid currentColor;border-left-width:6px;border-radius:3px;'
         'padding:6px 12px;max-width:46em;line-height:1.45"><b>{head}.</b> {words}</div>')
NOT_ATTEMPTED, WRONG, RIGHT = "not attempted", "wrong", "right"
HEADS = {NOT_ATTEMPTED: "Not attempted", WRONG: "Not yet", RIGHT: "Right"}
HINTS = 3  # where to look, which rule, how far
TRIES = 60  # pictures looked at for one variant
TURNING, FURTHEST = 30, 18.0  # for another answer: as many pictures, the last so many times as far off (own choice)


@dataclass(frozen=True, repr=False)
class Card:
    """Words under a heading, the same as text and in a notebook; whatever a name holds, it reaches HTML escaped.

    >>> Card("9 goes.")
    Note: 9 goes.
    >>> "<b>9" in Card("<b>9</b> goes.")._repr_html_()
    False
    """

    words: str
    title: str = field(default="Note", kw_only=True)

    @property
    def head(self) -> str:
        """What comes first."""
        return self.title

    def __repr__(self) -> str:
        return f"{self.head}: {self.words}"

    def _repr_html_(self) -> str:
        return FRAME.format(head=escape(self.head), words=escape(self.words))


class Finding(NamedTuple):
    """One thing that was looked at: whether it holds, what to say of it (nothing: ""), and the criterion by name."""

    holds: bool
    words: str
    criterion: str = ""
    seen: tuple[Seen, ...] = ()  # what of it can be drawn


@dataclass(frozen=True, repr=False)
class Verdict(Card):
    """The answer's verdict: the reason in `words`.

    >>> Verdict("9 is there first.", "right")
    Right: 9 is there first.
    """

    outcome: str = NOT_ATTEMPTED
    held: int = field(default=0, compare=False)  # of the criteria that were looked at and spoken of ...
    of: int = field(default=0, compare=False)  # ... so many: partial credit
    judged: tuple[Judged, ...] = field(default=(), compare=False)  # what can be drawn of them

    @property
    def head(self) -> str:
        """The outcome as the learner reads it, with what holds already where there is more than one thing to see to."""
        partly = self.outcome == WRONG and self.of > 1
        return f"{HEADS[self.outcome]}, {self.held} of {self.of} right" if partly else HEADS[self.outcome]


def judged(findings: Iterable[Finding]) -> Verdict:
    """Right if everything holds; else wrong, and what does not hold is said first."""
    findings = sorted(findings, key=lambda finding: finding.holds)
    outcome = RIGHT if all(finding.holds for finding in findings) else WRONG
    said = [finding for finding in findings if finding.words]
    held = sum(finding.holds for finding in said)
    drawn = tuple((finding.holds, seen) for finding in findings for seen in finding.seen)
    return Verdict(" ".join(finding.words for finding in said), outcome, held, len(said), drawn)


class Form(NamedTuple):
    """How an answer is given: by placing players, on a slider, by choosing; where none of these is said, in words."""

    placed: tuple[str, ...] = ()  # numbers of those who are placed
    slider: tuple[float, float] | None = None
    digits: int = 1  # behind the point of what is set on it
    options: tuple[str, ...] = ()  # to choose from
    team: str = ""  # whose numbers stand among the options: they can be picked in the picture
    gaps: Mapping[str, tuple[XY, XY]] = {}  # the options that are gaps, and between which places they lie
    several: bool = False
    in_order: bool = False

    @property
    def how(self) -> str:
        """How to answer, for the learner."""
        order = " in their order" if self.in_order else ""
        ways = {"Drag in the picture, or use the arrow keys.": self.placed,
                "Set the slider, or type a number.": self.slider,
                "Click the gaps in the picture, or choose here.": self.gaps,
                f"Yours: click{order} in the picture, or choose here.": self.team == "pressing",
                f"Theirs: click{order} in the picture, or choose here.": self.team,
                "Choose here.": self.options}
        return next((words for words, given in ways.items() if given), "Type your answer.")


class Judge(ABC):
    """A kind of exercise: reads an answer, judges it by the engine, helps, and knows an answer.

    Kinds are frozen dataclasses; `plan` is that of the exercise's picture. Fields may stand in the exercise's words.
    """

    names_players: bool = False  # the question is about certain numbers, so that the team's formation must stay
    turns: bool = False  # the picture decides the answer, and another one may turn it

    @abstractmethod
    def read(self, answer: Any, plan: Plan) -> Any:
        """The answer as a value, None if nothing was answered yet; a PressingError if it makes no sense."""

    @abstractmethod
    def findings(self, plan: Plan, value: Any) -> list[Finding]:
        """What holds and what does not, each with its reason: which rule, which player, how far off."""

    @abstractmethod
    def hints(self, plan: Plan) -> tuple[str, str]:
        """Which rule, and how far: seconds or metres of this picture."""

    @abstractmethod
    def model(self, plan: Plan) -> Any:
        """An answer that does the job."""

    def form(self, plan: Plan) -> Form:
        """How an answer is given on the picture and beside it."""
        return Form()

    def named(self, value: Any) -> list[str]:
        """The options of the form that an answer names."""
        return value if isinstance(value, list) else [f"{value}"]

    def cues(self, plan: Plan, value: Any) -> tuple[str, str]:
        """What the first wrong answer and the second are told, and it tells no right one: a cue, then the measure."""
        return (judged(self.findings(plan, value)).words,) * 2

    def written(self, value: Any) -> str:
        """An answer as a learner would write it."""
        return ", ".join(self.named(value))

    def shown(self, situation: Situation, value: Any) -> Situation:
        """The picture with an answer in it; as it is where nobody moves for it."""
        return situation

    def drawn(self, situation: Situation, value: Any) -> tuple[Seen, ...]:
        """What is drawn of an answer already before it is judged."""
        return ()

    def renewed(self, plan: Plan) -> Judge | None:
        """The same question on another picture, with other players if need be; None if it cannot be asked there."""
        return self


@dataclass(frozen=True, repr=False)
class Solution(Card):
    """An answer that does the job, why, and the picture with it."""

    title: str = field(default="Solution", kw_only=True)
    answer: Any = None
    situation: Situation | None = field(default=None, compare=False)


@dataclass(frozen=True, repr=False)
class Exercise:
    """A task on a picture. Nothing in it changes: the same answer always gets the same verdict.

    `title` asks, `task` says what to do: a field of the judge may stand in braces, as in "Drag {cover}.". The judge is
    the kind of exercise, and goes by the rulebook; `look` is the first hint. `others` are pictures on which the same
    question has another answer: every second variant is near one of them. `note`: what a marker has to know of it.

    >>> from pressinglib.teach.press_questions import WhoPresses
    >>> who = Exercise("Who goes?", "Name the presser.", Situation.line_up(ball_xy=(35, 10)), WhoPresses(), "The ball.")
    >>> who.check(...)
    Not attempted: Name the presser.
    >>> who.check("9").outcome, who.check("1").outcome
    ('right', 'wrong')
    >>> who.hint(1)
    Hint 1 of 3: The ball.
    >>> fresh = who.variant(7)
    >>> fresh.check(fresh.solution().answer).outcome, fresh.situation == who.situation
    ('right', False)
    """

    title: str
    task: str
    situation: Situation
    judge: Judge
    look: str
    rulebook: Rulebook = field(default_factory=Rulebook)
    others: tuple[Situation, ...] = ()
    note: str = field(default="", compare=False)

    def __repr__(self) -> str:
        return f"{self.title} {self.asks} {self.note}".strip()

    @property
    def asks(self) -> str:
        """The task, with the players of this picture."""
        return self._with_names(self.task)

    def _with_names(self, words: str) -> str:
        """Only whole names of fields are put in: a tutor's own braces stay as they are."""
        for name, value in vars(self.judge).items():
            words = words.replace(f"{{{name}}}", listed(map(str, value)) if isinstance(value, tuple) else str(value))
        return words

    @property
    def picture(self) -> Picture:
        """The picture to print or to show, without a plan."""
        return picture(self.situation)

    @property
    def plan(self) -> Plan:
        """What the rulebook makes of the picture."""
        return plan_of(self.situation, self.rulebook)

    def read(self, answer: Any) -> Any:
        """The answer as a value, None if nothing was answered yet; a PressingError if it makes no sense."""
        try:
            return None if answer is ... else self.judge.read(answer, self.plan)
        except PressingError:
            raise
        except Exception as error:  # whatever an object of one's own does when it is looked at
            raise BadInput("This is no answer", todo="write it as the task says") from error

    def meant(self, answer: Any) -> Any:
        """The answer as a value; None where there is none, or it makes no sense."""
        with suppress(PressingError):
            return self.read(answer)

    def check(self, answer: Any) -> Verdict:
        """Not attempted for `...`, else judged by the engine; what makes no sense is wrong, and never an error."""
        try:
            value = self.read(answer)
        except PressingError as error:
            return Verdict(str(error), WRONG)
        return Verdict(self.asks) if value is None else judged(self.judge.findings(self.plan, value))

    def taught(self, answer: Any) -> tuple[Verdict, ...]:
        """What wrong tries are told: a cue, the measure, the offer to show; what makes no sense is no try yet."""
        verdict = self.check(answer)
        if verdict.outcome != WRONG:
            return (verdict,) * 3
        try:
            first, second = self.judge.cues(self.plan, self.read(answer))
        except PressingError as error:
            return (Verdict(str(error)),) * 3
        return tuple(replace(verdict, words=words) for words in (first, second, f"{second} Show gives an answer."))

    @property
    def form(self) -> Form:
        """How an answer is given."""
        return self.judge.form(self.plan)

    def hint(self, step: Any = 1) -> Card:
        """Where to look, which rule, how far: 1 to 3; 4 shows an answer; `...` asks for none and says how to ask."""
        if not isinstance(step, int | float) or step not in range(1, HINTS + 2):
            return Card(f"Write 1, 2 or 3 over the dots for a hint; {HINTS + 1} shows an answer.", title="Stuck")
        if step == HINTS + 1:
            return self.solution()
        words = (self._with_names(self.look), *self.judge.hints(self.plan))[int(step) - 1]
        return Card(words, title=f"Hint {int(step)} of {HINTS}")

    def solution(self) -> Solution:
        """An answer that does the job; others may do it too."""
        answer = self.judge.model(self.plan)
        written, why = self.judge.written(answer), judged(self.judge.findings(self.plan, answer)).words
        seen = self.form.placed or why.startswith(f"{written} ")  # in the picture, or already said
        words = why if seen else f"{written}. {why}"
        return Solution(words, answer, self.judge.shown(self.situation, answer))

    @property
    def turns(self) -> bool:
        """Whether the picture decides the answer: another one may turn it."""
        return self.judge.turns or bool(self.others)

    def variant(self, seed: int) -> Exercise:
        """The same question on a fresh picture whose answer the engine knows; the same seed gives the same one.

        What varies: where on the pitch, everybody's place a little; left and right and the team's formation if no
        numbers are asked about. On the pictures of every second seed (1, 3, 5 ...) this picture's answer is wrong:
        they are near one of `others`, or further and further off. On those between, unless players are placed, it is
        right. Where no such picture is found it is one near by.

        Raises
        ------
        BadInput
            If no picture near this one carries the question.
        """
        turned, known = as_whole(seed, "seed") % 2 == 1, self.judge.model(self.plan)
        some = self.others if turned and self.others else (self.situation,)
        base = replace(self, situation=some[seed // 2 % len(some)])
        tries = TURNING if self.turns and (turned or not self.form.placed) else 0
        near = base.near(seed, tries, FURTHEST if turned and not self.others else 1.0)
        wanted = (e for e in near if e.is_right(known) != turned)
        fresh = next((e for e in chain(wanted, self.near(seed, TRIES)) if e.is_right()), None)
        if fresh is None:
            raise BadInput(f"variant of {self.title!r}", expected="a picture with an answer", got="none",
                           todo="change the picture, or the numbers that are asked about")
        return fresh

    def near(self, seed: int, count: int, furthest: float = 1.0, keep: bool = False) -> Iterator[Exercise]:
        """The question on fresh pictures, wherever it can be asked; `keep`: of the same shapes."""
        for near in fresh_pictures(self.situation, seed, count, keep or self.judge.names_players, furthest):
            if near.state != self.situation.state:  # a ball that is won, or gets away
                continue
            with suppress(PressingError):  # where it makes no sense
                judge = self.judge.renewed(plan_of(near, self.rulebook))
                if judge is not None:
                    yield replace(self, situation=near, judge=judge)

    def is_right(self, answer: Any = None) -> bool:
        """Whether an answer is, by default the exercise's own."""
        with suppress(PressingError):
            return self.check(self.judge.model(self.plan) if answer is None else answer).outcome == RIGHT
        return False
