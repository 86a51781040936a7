"""Zone or man: the pressing team at the spots of its plan, or each goal-side of an opponent, and what it has to run."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import dist
from types import MappingProxyType
from typing import Any

from pressinglib.field.player import XY
from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan
from pressinglib.tables import listed
from pressinglib.teach.answers import place_of, places_of
from pressinglib.teach.criteria import Criterion
from pressinglib.teach.exercise import Judge
from pressinglib.teach.stand import Denial, Stand
from pressinglib.teach.verdict import Finding

# -- A picture with some players elsewhere.


Places = Mapping[str, XY]  # by number
NOBODY: Places = MappingProxyType({})


def placed(situation: Situation, ours: Places, theirs: Places = NOBODY) -> Situation:
    """The picture with players of the pressing team, and of the other, somewhere else.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> picture = placed(scene("worked scene"), {"6": (1, 2)}, {"9": (3, 4)})
    >>> picture.player("pressing", "6").xy, picture.player("possession", "9").xy
    ((1.0, 2.0), (3.0, 4.0))
    """
    for number, xy in ours.items():
        situation = situation.moved("pressing", number, xy)
    for number, xy in theirs.items():
        situation = situation.moved("possession", number, xy)
    return situation


# -- Place players: one or several, judged criterion by criterion; any placing that does the job is right.


@dataclass(frozen=True)
class PlacePlayers(Judge):
    """Place `numbers` so that all criteria hold.

    Parameters
    ----------
    numbers : tuple of str
        Whom the learner places; nobody else counts.
    criteria : tuple of Criterion
        See `criteria.py`; each is one part of the credit.
    rule : str
        The second hint.
    places : function of a Plan, optional
        Where they do the job. Left out: the plan's anchors, or its spots, whichever holds.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> from pressinglib.teach.criteria import denies, leaves_ball
    >>> judge = PlacePlayers(("10",), (denies("10", "6"), leaves_ball("10")), "Deny him.")
    >>> plan = plan_press(scene("worked scene"))
    >>> [[f.holds for f in judge.findings(plan, {"10": xy})] for xy in ((20, 1), (0, 0))]
    [[True, True], [False, True]]
    """

    numbers: tuple[str, ...]
    criteria: tuple[Criterion, ...]
    rule: str
    places: Callable[[Plan], Places] | None = None

    def read(self, answer: Any, situation: Situation) -> dict[str, XY] | None:
        """Their places; nobody else's count."""
        return places_of(answer, situation, self.numbers)

    def findings(self, plan: Plan, value: Places) -> list[Finding]:
        """Each criterion on the picture with the answer."""
        stand = Stand(plan, self.shown(plan.situation, value))
        return [criterion(stand)._replace(criterion=name_of(criterion)) for criterion in self.criteria]

    def hints(self, plan: Plan) -> tuple[str, str]:
        """The rule, and what does not hold yet, in metres or seconds."""
        still = [f.words for f in self.findings(plan, self._untouched(plan)) if not f.holds]
        return self.rule, "As it stands: " + " ".join(still or ["everything holds, 0 m to go."])

    def model(self, plan: Plan) -> dict[str, XY]:
        """The first of the known placings that does the job."""
        known = [self.places(plan)] if self.places else [self._of_plan(plan, "anchor_xy"),
                                                         self._of_plan(plan, "target_xy")]
        short = [{n: (round(float(x), 1), round(float(y), 1)) for n, (x, y) in each.items()} for each in known]
        return next((each for each in short[:-1] if self._holds(plan, each)), short[-1])

    def _of_plan(self, plan: Plan, place: str) -> dict[str, XY]:
        return {n: getattr(plan.assignments[n], place) for n in self.numbers}

    def _untouched(self, plan: Plan) -> dict[str, XY]:
        return {n: plan.situation.player("pressing", n).xy for n in self.numbers}

    def _holds(self, plan: Plan, value: Places) -> bool:
        return all(finding.holds for finding in self.findings(plan, value))

    def written(self, value: Places) -> str:
        """Each with his place."""
        return listed([f"{n} at ({x:g}, {y:g})" for n, (x, y) in value.items()])

    def shown(self, situation: Situation, value: Places) -> Situation:
        """The picture with all of them in their places."""
        return placed(situation, value)

    def renewed(self, plan: Plan) -> Judge | None:
        """Wherever something is left to do."""
        return None if self._holds(plan, self._untouched(plan)) else self


def name_of(criterion: Criterion) -> str:
    """A criterion is called what its function is called.

    Examples
    --------
    >>> from pressinglib.teach.criteria import leaves_ball
    >>> name_of(leaves_ball("10"))
    'leaves ball'
    """
    return criterion.__qualname__.partition(".")[0].replace("_", " ")


# -- Move players: whom you like, but only so many; any move that does the job is right.


@dataclass(frozen=True)
class MovePlayers(PlacePlayers):
    """Move at most `most` of `numbers` so that all criteria hold; `places` says who moves where in the solution.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.roles.plan import plan_press
    >>> from pressinglib.teach.criteria import denies
    >>> judge = MovePlayers(("6", "8", "10"), (denies("10", "6"),), "Deny him.", lambda plan: {"10": (20, 1)}, 1)
    >>> plan = plan_press(scene("worked scene"))
    >>> [[f.holds for f in judge.findings(plan, v)] for v in ({"10": (20, 1)}, {"10": (20, 1), "6": (0, 0)})]
    [[True, True], [True, False]]
    """

    most: int = 2

    def read(self, answer: Any, situation: Situation) -> dict[str, XY] | None:
        """Those who were moved, and where to."""
        places = super().read(answer, situation)
        stood = {n: situation.player("pressing", n).xy for n in self.numbers}
        return None if places is None else {n: xy for n, xy in places.items() if xy != stood[n]}

    def findings(self, plan: Plan, value: Places) -> list[Finding]:
        """Each criterion, and how many were moved."""
        few = len(value) <= self.most
        moved = "" if few else f"You have moved {listed(list(value))}: {self.most} at most."
        return [*super().findings(plan, value), Finding(few, moved, "few moves")]

    def _untouched(self, plan: Plan) -> dict[str, XY]:
        return {}


# -- Place a player: the cover who denies a short option.


@dataclass(frozen=True)
class DenyOption(Judge):
    """Place `cover` so that a pass to `option` does not pay: he cuts it out, or is goal-side at the first touch.

    Parameters
    ----------
    cover, option : str
        Numbers of the one to be placed and of the opponent to be denied.
    """

    cover: str
    option: str

    def read(self, answer: Any, situation: Situation) -> XY | None:
        """His place; nobody else's counts."""
        return place_of(answer, situation, self.cover)

    def findings(self, plan: Plan, value: XY) -> list[Finding]:
        """He leaves the ball to the presser, and he denies his man."""
        return [self._leaves_the_ball(plan, value)._replace(criterion="leaves ball"),
                self._denies(Denial(plan, self.option, value))._replace(criterion="denies")]

    def _leaves_the_ball(self, plan: Plan, xy: XY) -> Finding:
        away_m = dist(xy, plan.situation.ball_xy)
        words = f"{self.cover} is {away_m:.1f} m from the ball: two press one ball. Leave it to {plan.presser}."
        near = away_m < plan.rulebook.settings.contain_distance_m
        return Finding(not near, words if near else "")

    def _denies(self, denial: Denial) -> Finding:
        number, man, late_s = self.cover, self.option, denial.late_s
        if denial.goal_side and late_s <= 0:
            return Finding(True, f"{number} is goal-side of {man}, and with him "
                                 f"{-late_s:.1f} s before his first touch.")
        if denial.cuts_out:
            return Finding(True, f"{number} is in the lane: he cuts the pass to {man} out, "
                                 f"with {-denial.margin_s:.1f} s to spare.")
        if late_s > 0:
            nearer_m = max(denial.away_m - denial.slack_m, 0.1)
            return Finding(False, f"{number} gets to {man} {late_s:.1f} s after his first touch. "
                                  f"Come {nearer_m:.1f} m nearer to him.")
        return Finding(False, f"{number} is near enough, but on the wrong side of {man}, who turns and is gone. "
                              f"Get goal-side of him, or into the lane.")

    def hints(self, plan: Plan) -> tuple[str, str]:
        """The rule, and how far he may stand off."""
        slack_m = Denial(plan, self.option, self.model(plan)).slack_m
        return (f"A cover takes the short pass away: {self.cover} stands in the lane to {self.option}, "
                f"or goal-side of him.",
                f"Goal-side he may be {slack_m:.1f} m off, no more. In the lane, 1 to 2 m in front of him.")

    def model(self, plan: Plan) -> XY:
        """Where the rule puts him: his anchor, which is easier to explain than the spot a search settles on."""
        x, y = plan.assignments[self.cover].anchor_xy
        return round(float(x), 1), round(float(y), 1)

    def shown(self, situation: Situation, value: XY) -> Situation:
        """The picture with him in his place."""
        return situation.moved("pressing", self.cover, value)

    def renewed(self, plan: Plan) -> Judge | None:
        """Wherever the plan wants this of him and he does not do it already."""
        wanted = plan.assignments[self.cover].mark == self.option
        done = all(f.holds for f in self.findings(plan, plan.situation.player("pressing", self.cover).xy))
        return self if wanted and not done else None


# -- Zone or man: the pressing team at the spots of its plan, or each goal-side of an opponent, and what it has to run


GOAL_SIDE_M = 1.5  # an arm's length (common practice)


def man_for_man(situation: Situation) -> Situation:
    """Everybody 1.5 m goal-side of an opponent, the pairs with the least running in all (Hungarian method).

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> metres_run(scene("worked scene"), man_for_man(scene("worked scene")))
    '118 m of running'
    >>> metres_run(scene("worked scene"), scene("worked scene"))
    '0 m of running'
    """
    from scipy.optimize import linear_sum_assignment

    ours = [p for p in situation.pressing if not p.is_goalkeeper]
    goal = situation.pitch.own_goal_xy
    places = []
    for man in (p for p in situation.possession if not p.is_goalkeeper):
        share = GOAL_SIDE_M / dist(man.xy, goal)
        places.append((man.xy[0] + share * (goal[0] - man.xy[0]), man.xy[1] + share * (goal[1] - man.xy[1])))
    rows, columns = linear_sum_assignment([[dist(p.xy, place) for place in places] for p in ours])
    return placed(situation, {ours[i].number: places[j] for i, j in zip(rows, columns, strict=True)})


def metres_run(before: Situation, after: Situation) -> str:
    """How far all of ours have to run from one picture to another, together."""
    return f"{sum(dist(p.xy, after.player('pressing', p.number).xy) for p in before.pressing):.0f} m of running"


def runs_made(plan: Plan) -> Situation:
    """Everybody at the spot that the plan gives him."""
    return placed(plan.situation, {n: (float(job.target_xy[0]), float(job.target_xy[1]))
                                    for n, job in plan.assignments.items()})
