"""The contract of an own rule, tried on every named scene: what it must hold to be used with confidence."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cache, wraps
from typing import Any

import numpy as np

from pressinglib.errors import BadInput, PressingError, RuleError, as_bool, as_known, as_xy
from pressinglib.field.frames import Frames
from pressinglib.field.scene_file import scene, scene_names
from pressinglib.field.situation import Situation
from pressinglib.roles.picture import Picture
from pressinglib.roles.pipeline import decide
from pressinglib.roles.rulebook import RULES, TRIAL_SCENE, Job, Rulebook, UnknownPlayer
from pressinglib.roles.settings import Settings

Answer = dict[str, Any]  # a word, None or a `Job` by number; the only one of a rule that names nobody under ""
NEAR_M = 1e-6
OTHER_SIDE = {"left": "right", "right": "left"}


@dataclass(frozen=True)
class Promise:
    """One line of the contract, and the first scene that breaks it."""

    words: str
    scene: str | None = None
    cause: str | None = None

    @property
    def kept(self) -> bool:
        """Whether no scene breaks it."""
        return self.scene is None

    def __str__(self) -> str:
        broken = f"failed: {self.words} - on the scene {self.scene!r}: {self.cause}"
        return f"passed: {self.words}" if self.kept else broken


@dataclass(frozen=True)
class RuleCheck:
    """What `check_rule` found; printed, one line a promise."""

    rule: str
    promises: tuple[Promise, ...]

    @property
    def passed(self) -> bool:
        """Whether every promise is kept."""
        return all(promise.kept for promise in self.promises)

    def __str__(self) -> str:
        return "\n".join([f"{self.rule}, on {len(scene_names())} named scenes", *map(str, self.promises)])


def check_rule(rule: Callable[..., Any], name: str = "choose_presser", mirrors: bool = False) -> RuleCheck:
    """Whether a plain function of one situation (and of what is decided so far) keeps the contract of a rule.

    It must give an answer of the right kind, name only players of the team, answer the same picture the same way twice
    and in any order of its players, and, if it claims to, give the mirrored answer for the mirrored picture.

    `name` is the decision it replaces, as in `Rulebook.with_rules`, else UnknownName; `mirrors` whether it claims to
    treat left and right alike. BadInput for a rule that is marked `frame_rule`.

    Examples
    --------
    >>> print(check_rule(lambda situation: situation.pressing[-1].number))
    choose_presser, on ... named scenes
    passed: gives an answer of the right kind
    passed: names only players of the team
    passed: answers the same picture twice alike
    failed: answers alike in another order of players - on the scene 'worked scene': '9' became '1'
    >>> check_rule(lambda situation: "left", "choose_steer", mirrors=True).promises[-1].cause
    "'left' became 'left', expected 'right'"
    """
    as_known(name, RULES, "rule")
    both_sides = as_bool(mirrors, "mirrors")
    if getattr(rule, "takes_frames", False):
        raise BadInput("rule", expected="a function of one situation", got="a rule for frames",
                       todo="compare the plans it gives: compare_rulebooks(...)")

    heard: list[Any] = []

    @wraps(rule)
    def listening(*given: Any) -> Any:
        heard.append(rule(*given))
        return heard[-1]

    rules = cache(lambda: Rulebook().with_rules(**{name: listening}))

    def answer(s: Situation) -> Answer:
        decide(Picture(Frames.of([s]), Settings()), rules())
        said = heard[-1]
        return {number: one if one is None or isinstance(one, str | Job) else Job(as_xy(one, "place"))
                for number, one in (said if isinstance(said, Mapping) else {"": said}).items()}

    def refusal(s: Situation, of_player: bool) -> str | None:
        try:
            answer(s)
        except RuleError as error:
            return str(error.cause) if isinstance(error, UnknownPlayer) == of_player else None
        return None

    promises = [_tried("gives an answer of the right kind", lambda s: refusal(s, of_player=False)),
                _tried("names only players of the team", lambda s: refusal(s, of_player=True))]
    if all(promise.kept for promise in promises):  # else there are no answers to compare
        promises += [_tried("answers the same picture twice alike", lambda s: _differ(answer(s), answer(s))),
                     _tried("answers alike in another order of players", lambda s: _differ(answer(s), answer(replace(
                         s, pressing=s.pressing[::-1], possession=s.possession[::-1]))))]
        if both_sides:
            promises.append(_tried("gives the mirrored answer for the mirrored picture", lambda s: _differ(
                was := answer(s), answer(s.mirrored()), {number: _mirrored(one) for number, one in was.items()})))
    return RuleCheck(name, tuple(promises))


def _tried(words: str, trouble: Callable[[Situation], str | None]) -> Promise:
    """The promise after all named scenes, with the first that breaks it; the trial scene comes first."""
    for title in sorted(scene_names(), key=lambda title: title != TRIAL_SCENE):
        try:
            cause = trouble(scene(title))
        except PressingError as error:
            cause = str(getattr(error, "cause", error))
        if cause is not None:
            return Promise(words, title, cause)
    return Promise(words)


def _mirrored(one: Any) -> Any:
    """What the mirrored picture should give."""
    return replace(one, xy=(one.xy[0], -one.xy[1])) if isinstance(one, Job) else OTHER_SIDE.get(one, one)


def _differ(answer: Answer, other: Answer, expected: Answer | None = None) -> str | None:
    """What became what, if `other` is not the answer itself or what is expected in its place."""
    wanted = answer if expected is None else expected
    if wanted.keys() == other.keys() and all(_same(wanted[number], other[number]) for number in wanted):
        return None
    return f"{_shown(answer)} became {_shown(other)}" + ("" if expected is None else f", expected {_shown(expected)}")


def _same(one: Any, other: Any) -> bool:
    """Equal words; places within a thousandth of a millimetre."""
    if isinstance(one, Job) and isinstance(other, Job):
        return one.man == other.man and bool(np.allclose(one.xy, other.xy, rtol=0, atol=NEAR_M))
    return bool(one == other)


def _shown(answer: Answer) -> str:
    """An answer in one line."""
    one = {number: f"({job.xy[0]:.2f}, {job.xy[1]:.2f})" + (f" on their {job.man}" if job.man else "")
           if isinstance(job, Job) else repr(job) for number, job in answer.items()}
    return one[""] if "" in one else "{" + ", ".join(f"{number}: {words}" for number, words in one.items()) + "}"
