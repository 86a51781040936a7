"""What an exercise says to the learner: a card of words, and the verdict: not attempted, wrong with why, right."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from html import escape
from typing import NamedTuple

from pressinglib.errors import as_known

FRAME = ('<div role="status" style="border:1px solid currentColor;border-left-width:6px;border-radius:3px;'
         'padding:6px 12px;max-width:46em;line-height:1.45"><b>{head}.</b> {words}</div>')
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
        as_known(self.outcome, HEADS, "outcome")

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
    return Verdict(" ".join(finding.words for finding in said), outcome, held, len(said))
