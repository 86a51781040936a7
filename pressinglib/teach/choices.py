"""Questions that are answered by a word, an order or a number; what is right is asked of the plan."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import dist
from typing import Any, NamedTuple

import numpy as np

from pressinglib.doors import door_class
from pressinglib.field.frames import Frames
from pressinglib.field.situation import Situation
from pressinglib.roles.faults import KINDS, Fault, faults_in_frames, find_faults
from pressinglib.roles.plan import Assignment, Plan
from pressinglib.roles.rulebook import Rulebook
from pressinglib.show.judged import Seen, of_100, ran
from pressinglib.tables import by_number, listed
from pressinglib.teach.answers import number_of, one_of, several_of
from pressinglib.teach.exercise import Finding, Form, Judge
from pressinglib.teach.pictures import in_tenths, once

SPANS = {"degrees": 90.0, "points": 60.0, "s": 10.0}  # of a slider that is given no ends (own choice)
STEPS = {"degrees": 1.0, "points": 1.0, "moments": 1.0, "s": 0.1}  # a band is widened to full ones, else half metres
OFFERED = 3  # beside the fault that is there
TEAM_OF = {"player": "pressing", "opponent": "possession"}  # by the first word of what is chosen
SAME_S = 0.1  # who is there this little later is as good an answer: no eye can tell (own choice, D)
Choices = Callable[[Plan], Mapping[str, Finding]]


@once
def told(choices: Choices, plan: Plan) -> Mapping[str, Finding]:
    """What is said of each choice."""
    return choices(plan)


class ChooseOne(Judge):
    """One of a few is chosen; each says for itself whether it holds, and why."""

    what: str  # is chosen, in a word
    choices: Choices

    def read(self, answer: Any, plan: Plan) -> str:
        return one_of(answer, self.form(plan).options, self.what)

    def findings(self, plan: Plan, value: str) -> list[Finding]:
        return [told(self.choices, plan)[value]]

    def cues(self, plan: Plan, value: str) -> tuple[str, str]:
        """What it hangs on, then why this one is not it; or how far, where that would tell a right one."""
        found, (rule, far) = told(self.choices, plan), self.hints(plan)
        why, right = found[value].words, {name: finding.words for name, finding in found.items() if finding.holds}
        tells = why in right.values() or any(re.search(rf"(?<![\w.-]){re.escape(n)}(?![\w.-])", why) for n in right)
        return f"{value if value.isdecimal() else repr(value)} is not it. {rule}", far if tells else why

    def form(self, plan: Plan) -> Form:
        names, team = told(self.choices, plan), TEAM_OF.get(self.what.partition(" ")[0], "")
        return Form(options=tuple(sorted(names, key=by_number) if team else names), team=team)

    def model(self, plan: Plan) -> str:
        """The first that holds."""
        found = told(self.choices, plan)
        return max(found, key=lambda name: found[name].holds)

    def renewed(self, plan: Plan) -> Judge | None:
        """Wherever something is right and something is wrong."""
        return self if len({finding.holds for finding in told(self.choices, plan).values()}) == 2 else None


@dataclass(frozen=True)
class Choose(ChooseOne):
    """Choose one of several; more than one of them may be right.

    `what` is chosen, in a word: "player", "opponent", "way out". `choices` makes of a plan, for each, the finding:
    whether it holds, and why, in seconds or metres. `rule` is the second hint, `far` the third, with a number: a
    function of a plan, or a text with {right} and {all}, how many hold and there are. `names_players`: the choices are
    about certain numbers, and variants keep the formation. `turns`: another picture may turn the answer; not if
    something beside the picture decides, or if a mirror turns it already.
    """

    what: str
    choices: Choices
    rule: str
    far: str | Callable[[Plan], str]
    names_players: bool = True
    turns: bool = True

    def hints(self, plan: Plan) -> tuple[str, str]:
        if not isinstance(self.far, str):
            return self.rule, self.far(plan)
        found = told(self.choices, plan).values()
        return self.rule, self.far.format(right=sum(each.holds for each in found), all=len(found))


def soonest(times: Mapping[str, float], words: Callable[[str], str]) -> dict[str, Finding]:
    """Whoever is first, and whoever is level as far as an eye can tell."""
    return {name: Finding(s <= min(times.values()) + SAME_S, words(name)) for name, s in times.items()}


def one_holds(options: Iterable[str], right: str, measured: str, so: str = "") -> Mapping[str, Finding]:
    """Choices of which one holds; what follows from the measure stands under that one alone."""
    return {each: Finding(each == right, f"{measured} {so}".strip() if each == right else measured) for each in options}


def whose_job(is_it: Callable[[Assignment], bool], *ours: str) -> Choices:
    """Each of some of ours, else of midfield and attack, whether his job is the one: his duty, and his run."""
    def choices(plan: Plan) -> dict[str, Finding]:
        return {n: Finding(is_it(job), f"{n}'s job here is to {job.duty}.", seen=(
                    ran(n, plan.situation.player("pressing", n).xy, in_tenths(job.target_xy), job.arrival_s),))
                for n, job in plan.assignments.items()
                if (n in ours if ours else job.role not in ("back line", "goalkeeper"))}

    return choices


def off_him(man: str, ours: Sequence[str]) -> Callable[[Plan], str]:
    """How far some of ours are from one of theirs, in words."""
    def far(plan: Plan) -> str:
        s = plan.situation
        man_xy = s.player("possession", man).xy
        return ", ".join(f"{n} is {dist(s.player('pressing', n).xy, man_xy):.0f} m off" for n in ours) + "."

    return far


@dataclass(frozen=True)
class OrderSteps(Judge):
    """Write steps, or players, in their order; who is level may come either way round.

    `names` are short, such as numbers of players; `times` makes of a plan the seconds of each, and the least comes
    first; `rule` is the second hint.
    """

    names: tuple[str, ...]
    times: Callable[[Plan], Mapping[str, float]]
    rule: str
    names_players = turns = True

    def read(self, answer: Any, plan: Plan) -> list[str]:
        return several_of(answer, self.names, "step")

    def findings(self, plan: Plan, value: list[str]) -> list[Finding]:
        """Each neighbouring pair, and that nothing is missing."""
        times, found = self.times(plan), []
        for a, b in pairwise(value):
            holds = round(times[a], 1) <= round(times[b] + SAME_S, 1)
            ends = "." if holds else f": {b} is before {a}."
            found.append(Finding(holds, f"{a}: {times[a]:.1f} s, {b}: {times[b]:.1f} s{ends}", listed((a, b))))
        missing = [name for name in self.names if name not in value]
        if not missing and all(each.holds for each in found):
            return [Finding(True, ", ".join(f"{name} in {times[name]:.1f} s" for name in value) + ".")]
        return [*found, Finding(not missing, f"{listed(missing)} still to come." if missing else "")]

    def cues(self, plan: Plan, value: list[str]) -> tuple[str, str]:
        """The first pair that is the wrong way round, then its measure."""
        wrong = next(finding for finding in self.findings(plan, value) if not finding.holds)
        return f"Look at {wrong.criterion} again." if wrong.criterion else "That is not all yet.", wrong.words

    def hints(self, plan: Plan) -> tuple[str, str]:
        first = self.model(plan)[0]
        return self.rule, f"{first} is first, with {self.times(plan)[first]:.1f} s."

    def model(self, plan: Plan) -> list[str]:
        times = self.times(plan)
        return sorted(self.names, key=lambda name: (times[name], name))

    def form(self, plan: Plan) -> Form:
        team = "pressing" if all(name in plan.assignments for name in self.names) else ""
        return Form(options=tuple(sorted(self.names, key=by_number)), team=team, several=True, in_order=True)

    def renewed(self, plan: Plan) -> Judge | None:
        """Wherever at least one pair is not level."""
        return self if np.ptp([*self.times(plan).values()]) > SAME_S else None


@door_class
@dataclass(frozen=True)
class NameFault(ChooseOne):
    """Say which of a few faults is there; every one that the engine finds is right.

    `fault` was planted; a variant shows it, or one of the `others`, which might be meant and are not there: left out,
    the next in the list of all.
    """

    fault: str
    others: tuple[str, ...] = ()
    what, names_players = "fault", True

    def __post_init__(self) -> None:
        for kind in (self.fault, *self.others):
            one_of(kind, KINDS, "fault")

    def choices(self, plan: Plan) -> dict[str, Finding]:
        """In the order of the method: there with its reason and change, or where to look instead."""
        faults, kinds = _found(plan), [*KINDS, *KINDS]
        offered = self.fault, *(self.others or kinds[kinds.index(self.fault) + 1:][:OFFERED])
        who = listed(faults[self.fault].players) if self.fault in faults else "the ball"
        return {kind: Finding(True, f"{faults[kind].why} {faults[kind].change}") if kind in faults else
                Finding(False, f"{kind.capitalize()}: not here. Look at {who}.")
                for kind in KINDS if kind in offered}

    def cues(self, plan: Plan, value: str) -> tuple[str, str]:
        """The way to look through a picture, then at whom."""
        return f"{value!r} is not it. Go through: ball, covers, far side, back line.", super().cues(plan, value)[1]

    def hints(self, plan: Plan) -> tuple[str, str]:
        players = _found(plan)[self.fault].players
        return f"It is one of these: {', '.join(told(self.choices, plan))}.", f"It is about {listed(players)}."

    def model(self, plan: Plan) -> str:
        return self.fault

    def shown(self, situation: Situation, value: str) -> Situation:
        """The mended picture for the right answer, else the picture as it is."""
        return next((f.changed for f in find_faults(situation) if f.kind == value and f.changed), situation)

    def renewed(self, plan: Plan) -> Judge | None:
        """Wherever one of those that are offered is there, and no other."""
        found = told(self.choices, plan)
        there = [kind for kind in found if found[kind].holds]
        return NameFault(there[0], tuple(kind for kind in found if kind not in there)) if len(there) == 1 else None


@once
def fault_kinds(situation: Situation, rules: Rulebook) -> set[str]:
    """What is wrong, without the changes that mend it, which take longer."""
    return {fault.kind for fault in faults_in_frames(Frames.of([situation]), rules)}


@once
def _found(plan: Plan) -> dict[str, Fault]:
    """By kind; of several of one kind the first."""
    return {fault.kind: fault for fault in reversed(find_faults(plan.situation, plan.rulebook))}


def drawn_of(*seen: Seen) -> list[Finding]:
    """What is drawn of an answer, right or wrong."""
    return [Finding(holds, "", seen=seen) for holds in (True, False)]


def apart(situation: Situation, *numbers: str) -> list[Finding]:
    """The line between two of the pressing team, with its metres."""
    first, second = (situation.player("pressing", number).xy for number in numbers)
    return drawn_of(Seen("limit", (first, second), f"{dist(first, second):.1f} m"))


class Band(NamedTuple):
    """The least and the most that does the job, and a good value between."""

    low: float
    best: float
    high: float


NO_BAND = Band(1.0, 0.0, 0.0)  # nothing does the job


@dataclass(frozen=True)
class SetNumber(Judge):
    """Write a number; everything inside the band is right.

    Its `unit` is "m", "s", "degrees" or a word for what is counted; `band` makes of a plan what does the job. What
    happens with `too_little` and `too_much` is a whole sentence each; `rule` is the second hint. `names_players`: the
    question is about certain numbers, and variants keep the formation. `slider` has the ends of the one on which it
    can be set; `moved` says what the number does to the picture, and `seen` is drawn of it; `share` gives the first and
    the last of 100 marks in a row that it fills.
    """

    unit: str
    band: Callable[[Plan], Band]
    too_little: str
    too_much: str
    rule: str
    names_players: bool = True
    slider: tuple[float, float] | None = None
    moved: Callable[[Situation, float], Situation] | None = None
    seen: Callable[[Plan, Situation], Iterable[Finding]] = lambda plan, moved: ()
    share: Callable[[float], tuple[float, float]] | None = None

    def read(self, answer: Any, plan: Plan) -> float:
        return number_of(answer, self.unit)

    def limits(self, plan: Plan) -> tuple[float, float]:
        """The ends of the band as they are said: what lies between them, said as short, is right."""
        (low, _, high), step = self.band(plan), STEPS.get(self.unit, 0.5)
        return round(step * np.floor(low / step + 1e-6), 1), round(step * np.ceil(high / step - 1e-6), 1)

    def findings(self, plan: Plan, value: float) -> list[Finding]:
        """Inside the band, or how far outside and what comes of it."""
        (low, high), value, said = self.limits(plan), round(value, self.digits), self.written
        off = max(low - value, value - high)
        looked_at = self.seen(plan, self.shown(plan.situation, value))
        seen = (found._replace(words="") for found in looked_at if found.holds == (off <= 0))  # no other: it gainsays
        return [Finding(off <= 0, f"{said(value)} is {said(off)} too {self._too(value < low)}" if off > 0 else
                        f"Anything from {said(low)} to {said(high)} is right."), *seen]

    def _too(self, low: bool) -> str:
        return f"little. {self.too_little}" if low else f"much. {self.too_much}"

    def hints(self, plan: Plan) -> tuple[str, str]:
        low, high = self.limits(plan)
        return self.rule, f"Less than {self.written(low)} is too {self._too(True)}" if low > 0 else \
            f"More than {self.written(high)} is too {self._too(False)}"

    def cues(self, plan: Plan, value: float) -> tuple[str, str]:
        """Which way it is wrong, and what comes of it; then by how much."""
        return f"Too {self._too(value < self.limits(plan)[0])}", self.findings(plan, value)[0].words

    def form(self, plan: Plan) -> Form:
        return Form(slider=self.ends, digits=self.digits)

    def model(self, plan: Plan) -> float:
        """The good value, in full tenths where that is still inside."""
        low, best, high = self.band(plan)
        short = round(best, self.digits)
        return short if low <= short <= high else best

    def written(self, value: float) -> str:
        unit = self.unit.removesuffix("s") if value == 1 and not self.digits else self.unit
        return f"{value:.{self.digits}f} {unit}"

    @property
    def ends(self) -> tuple[float, float]:
        """Of the slider."""
        return self.slider or (0.0, SPANS.get(self.unit, 30.0))

    @property
    def digits(self) -> int:
        """Behind the point: what is counted in full ones has none."""
        return int(STEPS.get(self.unit) != 1.0)

    def shown(self, situation: Situation, value: float) -> Situation:
        """Nobody leaves the pitch for a number that the slider has not."""
        return situation if self.moved is None else self.moved(situation, float(np.clip(value, *self.ends)))

    def drawn(self, situation: Situation, value: float) -> tuple[Seen, ...]:
        return (of_100(situation, *self.share(value), self.written(value)),) if self.share else ()

    def renewed(self, plan: Plan) -> Judge | None:
        """Wherever some number does the job."""
        low, best, high = self.band(plan)
        return self if low <= best <= high and low < high else None
