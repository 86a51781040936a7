"""What of a moment a board shows, and how it is written: a plain value that no undo touches."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Any

from pressinglib.field.situation import Situation
from pressinglib.roles.plan import Plan
from pressinglib.show.compare import draw_compared
from pressinglib.show.drawing import USUAL_LAYERS, Drawing, draw_plan, draw_situation, known_layers
from pressinglib.show.labels import Labels
from pressinglib.show.part import Part, part_box
from pressinglib.show.wishes import Moment

THESE = "these rules"


@dataclass(frozen=True)
class Shown:
    """What a board shows.

    Parameters
    ----------
    layers : iterable of str
    plan : bool
        False hides all that the plan says.
    portrait : bool
        The pressing team attacks upwards.
    part : str or (x, x, y, y)
        See `pressinglib.show.part`.
    labels : Labels
    start : bool
        Whoever has moved leaves a ghost where he stood at first.

    Raises
    ------
    UnknownName, BadInput
    """

    layers: tuple[str, ...] = USUAL_LAYERS
    plan: bool = True
    portrait: bool = False
    part: Part = "whole"
    labels: Labels = field(default_factory=Labels)
    start: bool = False

    def __post_init__(self) -> None:
        object.__setattr__(self, "layers", known_layers(self.layers))

    def with_layers(self, layers: Iterable[str]) -> Shown:
        """These layers and no others."""
        return replace(self, layers=known_layers(layers))

    def with_labels(self, **labels: Any) -> Shown:
        """Other names or another unit."""
        return replace(self, labels=replace(self.labels, **labels))

    def with_part(self, part: Part, situation: Situation) -> Shown:
        """Another part of this pitch."""
        part_box(situation.pitch, part, 0.0)
        return replace(self, part=part)

    def drawing(self, moment: Moment, plan: Plan, other: Plan | None = None,
                before: Situation | None = None) -> Drawing:
        """The drawing of a moment; `before` gives the ghosts.

        Examples
        --------
        >>> moment = Moment(Situation.line_up(ball_xy=(35, 10)))
        >>> Shown().drawing(moment, moment.plan()).words == moment.plan().words
        True
        >>> {mark.layer for mark in Shown(plan=False).drawing(moment, moment.plan()).marks} >= {"roles"}
        False
        """
        labels = replace(self.labels, upright=self.portrait)
        how: dict[str, Any] = {"labels": labels, "marks": moment.marks, "start": before}
        if not self.plan:
            return draw_situation(moment.situation, **how)
        if other is not None and moment.other is not None:
            return draw_compared(moment.situation, plan, other, (THESE, moment.other[0]), self.layers, **how)
        return draw_plan(moment.situation, plan, self.layers, **how)
