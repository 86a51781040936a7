"""The method against its rivals, judged by the control race and by the method's own danger."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from pressinglib.field.frames import Frames
from pressinglib.roles.measures import after_running, danger
from pressinglib.roles.picture import Floats, Picture
from pressinglib.roles.rulebook import Rulebook
from tests.judge.frames import in_parts
from tests.judge.moves import KEEP, MOVES, STAND, planned, targets
from tests.judge.race import drifted, judged_danger, run

OWN, RACE_1, RACE_3 = "own danger, 2 s", "control race, 1 s", "control race, 3 s"
JUDGES = (RACE_1, RACE_3, OWN)
Values = dict[str, dict[str, Floats]]


def judged(many: list[Frames], rules: Rulebook | None = None) -> Values:
    """By judge and move: the judged danger of every frame, (F,)."""
    parts = [_judged(*planned(frames, rules)) for frames in in_parts(many)]
    return {judge: {move: np.concatenate([part[judge][move] for part in parts]) for move in MOVES} for judge in JUDGES}


def _judged(p: Picture, d: object) -> Values:
    """Targets once, then every judge."""
    to = targets(p, d)  # type: ignore[arg-type]
    return {RACE_1: _raced(p, to, 1.0), RACE_3: _raced(p, to, 3.0), OWN: _by_own_danger(p, to)}


def _raced(p: Picture, to: dict[str, Floats], time_s: float) -> dict[str, Floats]:
    values = {move: judged_danger(p, *run(p, spot, time_s), time_s) for move, spot in to.items()}
    on = drifted(p.pitch, p.own, p.own_velocity, time_s)
    return {**values, KEEP: judged_danger(p, on, p.own_velocity, time_s)}


def _by_own_danger(p: Picture, to: dict[str, Floats]) -> dict[str, Floats]:
    """All counted after 2 s, ball and opponents still; standing is the picture as it is."""
    values = {move: danger(p, after_running(p, spot)) for move, spot in to.items()}
    on = drifted(p.pitch, p.own, p.own_velocity, p.settings.run_time_s)
    return {**values, STAND: danger(p, p.own), KEEP: danger(p, on)}


def lower(a: Floats, b: Floats) -> float:
    """Share of frames in which a is lower than b; equal ones count half."""
    return float(np.mean((a < b - 1e-9) + 0.5 * (np.abs(a - b) <= 1e-9)))


def ratio(a: Floats, b: Floats) -> float:
    """Median of a / b."""
    return float(np.median(a / b))


def print_tables(values: Values, show: Callable[[str], None] = print) -> None:
    """One table a judge: a row a move; the share of frames in which it is lower than each other move."""
    for judge, by_move in values.items():
        show(f"\n{judge}: median, and % of frames in which the move of the row is lower than that of the column")
        show(" " * 18 + "median  of stand  of keep" + "".join(f"{m.split()[0][:9]:>10}" for m in MOVES))
        for move, value in by_move.items():
            against = "".join(" " * 9 + "-" if m == move else f"{100 * lower(value, by_move[m]):10.0f}" for m in MOVES)
            ratios = f"{ratio(value, by_move[STAND]):10.2f}{ratio(value, by_move[KEEP]):9.2f}"
            show(f"{move:<18}{np.median(value):6.3f}{ratios}{against}")
