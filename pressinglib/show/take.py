"""One moment of a sequence on a board: its picture, its plan, and what happened just before."""

from __future__ import annotations

from dataclasses import dataclass, replace

from pressinglib.field.player import Player
from pressinglib.field.situation import Situation
from pressinglib.play.sequence import Sequence
from pressinglib.roles.plan import Plan

LATELY_S = 1.0  # an event is told for so long


@dataclass(frozen=True)
class Take:
    """A sequence, and the time at which it is shown.

    Parameters
    ----------
    sequence : Sequence
    time_s : float
    from_s : float
        The time at which the sequence was taken up from an earlier one.

    Examples
    --------
    >>> from pressinglib.field.scenes import scene
    >>> from pressinglib.play import Pass, simulate
    >>> take = Take(simulate(scene("worked scene"), [Pass("4", at_s=0.5)], duration_s=1.0), 0.6)
    >>> take.situation.receiver, take.words.startswith("0.6 s. ")
    ('4', True)
    """

    sequence: Sequence
    time_s: float = 0.0
    from_s: float = 0.0

    @property
    def index(self) -> int:
        """Which moment of the sequence."""
        return self.sequence.index(self.time_s)

    @property
    def lasts_s(self) -> float:
        """To the last moment of the sequence."""
        return float(self.sequence.times[-1])

    @property
    def situation(self) -> Situation:
        """The picture."""
        return self.sequence.situations[self.index]

    @property
    def plan(self) -> Plan:
        """What the pressing team has in mind."""
        return self.sequence.plans[self.index]

    @property
    def words(self) -> str:
        """When this is, and what has happened lately."""
        lately = [e.words for e in self.sequence.events if -1e-9 <= self.time_s - e.time_s < LATELY_S]
        return " ".join([f"{self.from_s + self.time_s:.1f} s.", *(_sentence(words) for words in lately)])

    @property
    def between(self) -> Situation:
        """The picture between this moment and the next, for the eye."""
        k, times = self.index, self.sequence.times
        if k + 1 >= len(times):
            return self.situation
        share = (self.time_s - times[k]) / (times[k + 1] - times[k])
        return blended(self.situation, self.sequence.situations[k + 1], min(max(float(share), 0.0), 1.0))


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}{'' if words.endswith('.') else '.'}"


def blended(now: Situation, then: Situation, share: float) -> Situation:
    """All on the way from where they are now to where they are then.

    Examples
    --------
    >>> s = Situation.line_up(ball_xy=(30, 10))
    >>> blended(s, s.moved("pressing", "9", (0, 0)).moved("pressing", "9", (10, 0)), 0.0) == s
    True
    """
    if share <= 0:
        return now

    def on_the_way(team: str) -> tuple[Player, ...]:
        return tuple(p.at(_mixed(p.xy, then.player(team, p.number).xy, share)) for p in now.players(team))

    return replace(now, pressing=on_the_way("pressing"), possession=on_the_way("possession"), carrier=None,
                   ball_xy=_mixed(now.ball_xy, then.ball_xy, share))


def _mixed(here: tuple[float, float], there: tuple[float, float], share: float) -> tuple[float, float]:
    (x0, y0), (x1, y1) = here, there
    return x0 + share * (x1 - x0), y0 + share * (y1 - y0)
