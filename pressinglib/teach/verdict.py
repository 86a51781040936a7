"""What an exercise says to the learner: a card of words, and the verdict: not attempted, wrong with the reason, right."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from html import escape
from typing import TYPE_CHECKING, NamedTuple

from pressinglib.errors import UnknownName
from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan
from pressinglib.show.drawing import USUAL_LAYERS, draw_compared, draw_plan, draw_situation

if TYPE_CHECKING:
    from pressinglib.show.export import Picture

FRAME = ('<div role="status" style="border:1px solid currentColor;border-left-width:6px;border-radius:3px;'
         'padding:6px 12px;max-width:46em;line-height:1.45"><b>{head}.</b> {words}</div>')
WIDTH_CM, DPI = 16.0, 100.0  # printed pictures: as wide as the text of a page, small enough to keep in a notebook
NOT_ATTEMPTED, WRONG, RIGHT = "not attempted", "wrong", "right"
HEADS = {NOT_ATTEMPTED: "Not attempted", WRONG: "Not yet", RIGHT: "Right"}


@dataclass(frozen=True, repr=False)
class Card:
    """Words under a heading, the same as text and in a notebook.

    Parameters
    ----------
    words : str
        Plain text: whatever a name holds, it reaches HTML escaped.
    title : str, optional
        One or two words that come first.

    Examples
    --------
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


def drawn(what: Situation | Plan, layers: Iterable[str] = USUAL_LAYERS) -> Picture:
    """The picture of a situation as it is, or of a plan with the layers asked for: roles, runs and shadow by default.

    Examples
    --------
    >>> from pressinglib.roles.plan import plan_press
    >>> situation = Situation.line_up(ball_xy=(30, 10))
    >>> drawn(situation)
    Picture: Their 5 on the ball, ...
    >>> "presses" in repr(drawn(situation)), "presses" in repr(drawn(plan_press(situation)))
    (False, True)
    """
    from pressinglib.show.export import Picture

    drawing = draw_plan(what.situation, what, layers) if isinstance(what, Plan) else draw_situation(what)
    return Picture(drawing, WIDTH_CM, DPI)


def drawn_together(situation: Situation, plan: Plan, other: Plan, names: tuple[str, str]) -> Picture:
    """Two plans of one picture in one drawing: the first in full, dashed where the second sends somebody elsewhere."""
    from pressinglib.show.export import Picture

    return Picture(draw_compared(situation, plan, other, names), WIDTH_CM, DPI)


class Finding(NamedTuple):
    """One thing that was looked at: whether it holds, what to say of it (nothing: ""), and the criterion by name."""

    holds: bool
    words: str
    criterion: str = ""


@dataclass(frozen=True, repr=False)
class Verdict(Card):
    """The answer's verdict.

    Parameters
    ----------
    words : str
        The reason: which rule, which player, how far off.
    outcome : str
        "not attempted", "wrong" or "right".

    Raises
    ------
    UnknownName
        For any other outcome.

    Examples
    --------
    >>> Verdict("9 is there first.", "right")
    Right: 9 is there first.
    """

    outcome: str = NOT_ATTEMPTED
    held: int = field(default=0, compare=False)  # of the criteria that were looked at and spoken of ...
    of: int = field(default=0, compare=False)  # ... so many: partial credit

    def __post_init__(self) -> None:
        if self.outcome not in HEADS:
            raise UnknownName("outcome", self.outcome, tuple(HEADS))

    @property
    def head(self) -> str:
        """The outcome as the learner reads it, with what holds already where there is more than one thing to see to."""
        partly = self.outcome == WRONG and self.of > 1
        return f"{HEADS[self.outcome]}, {self.held} of {self.of} right" if partly else HEADS[self.outcome]

    @property
    def share(self) -> float:
        """Partial credit, 0 to 1."""
        return self.held / self.of if self.of else float(self.outcome == RIGHT)


def judged(findings: Iterable[Finding]) -> Verdict:
    """Right if everything holds; else wrong, and what does not hold is said first."""
    findings = sorted(findings, key=lambda finding: finding.holds)
    outcome = RIGHT if all(finding.holds for finding in findings) else WRONG
    said = [finding for finding in findings if finding.words]
    held = sum(finding.holds for finding in said)
    return Verdict(" ".join(finding.words for finding in said), outcome, held, len(said))
