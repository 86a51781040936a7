"""Named scenes of our own invention: places set by hand, metres, the pressing team attacking +x.

Left and right in the names are the pressing team's. Every scene is fiction; shapes and heights are common practice.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from pressinglib.errors import as_known
from pressinglib.field.formations import formation_slots, slot_numbers
from pressinglib.field.pitch import Pitch
from pressinglib.field.player import XY, Player
from pressinglib.field.situation import Situation

Places = Mapping[int, XY]


def scene(name: str) -> Situation:
    """The picture with this name, one of `scene_names()`.

    Raises
    ------
    UnknownName
        Lists the names that exist.

    Examples
    --------
    >>> scene("worked scene").on_ball
    '5'
    >>> scene("overload")
    Traceback (most recent call last):
    pressinglib.errors.UnknownName: scene: expected one of build-up left, build-up right, ...
    """
    return _SCENES[as_known(name, scene_names(), "scene", "use one of these names")].situation()


def scene_names() -> tuple[str, ...]:
    """The names of all scenes.

    Examples
    --------
    >>> "worked scene" in scene_names()
    True
    """
    return tuple(_SCENES)


class _Scene(NamedTuple):
    """What it shows, in a line; both teams by shirt number, and the ball; velocities of those who run."""

    words: str
    ours: str
    our_xy: Places
    theirs: str
    their_xy: Places
    ball_xy: XY
    our_runs: Places = MappingProxyType({})
    their_runs: Places = MappingProxyType({})
    facing: Mapping[int, float] = MappingProxyType({})  # theirs
    ball_velocity: XY = (0.0, 0.0)
    carrier: str | None = None
    restart: str | None = None

    def situation(self) -> Situation:
        """The formations' default numbers give the slots."""
        ours = _slots(self.ours)
        pressing = [Player(str(n), ours[n], xy, self.our_runs.get(n, (0, 0))) for n, xy in self.our_xy.items()]
        theirs = _slots(self.theirs)
        possession = [Player(str(n), theirs[n], xy, self.their_runs.get(n, (0, 0)), self.facing.get(n))
                      for n, xy in self.their_xy.items()]
        return Situation(Pitch(), tuple(pressing), tuple(possession), self.ball_xy, self.carrier,
                         ball_velocity=self.ball_velocity, restart=self.restart)


def _slots(formation: str) -> dict[int, str]:
    slots = formation_slots(formation)
    return dict(zip(map(int, slot_numbers(slots)), slots, strict=True))


_SCENES = {
    "build-up left": _Scene(
        "Their right centre-back has the ball, full-backs low, one holding midfielder; we press in a 4-4-2.",
        "4-4-2", {1: (-31, 2), 2: (-4, -15), 5: (-6, -3), 4: (-6, 9), 3: (-4, 21), 7: (13, -16), 8: (10, -5),
                 6: (11, 7), 11: (15, 20), 9: (24, -4), 10: (27, 7)},
        "4-3-3", {1: (46, 1), 2: (30, 30), 5: (36, 13), 4: (37, -8), 3: (29, -29), 6: (21, 3), 8: (13, 13),
                 10: (7, -10), 7: (0, 29), 9: (-3, 4), 11: (1, -28)},
        (35.3, 13), facing={5: 180}),
    "build-up right": _Scene(
        "Their left centre-back has the ball in front of two holding midfielders; we press in a 4-3-3.",
        "4-3-3", {1: (-33, -2), 2: (-3, -20), 5: (-7, -8), 4: (-7, 4), 3: (-4, 15), 6: (4, -2), 8: (14, -9),
                 10: (13, 7), 7: (21, -21), 9: (25, -3), 11: (20, 12)},
        "4-2-3-1", {1: (46, -1), 2: (27, 29), 5: (36, 8), 4: (34, -12), 3: (26, -31), 8: (24, 8), 6: (22, -9),
                 7: (2, 27), 10: (7, 1), 11: (0, -29), 9: (-5, -2)},
        (33.3, -12.2), facing={4: 190}),
    "build-up middle": _Scene(
        "A centre-back steps up the middle with the ball, both full-backs high; we hold a 4-1-4-1.",
        "4-1-4-1", {1: (-34, 0), 2: (-7, -17), 5: (-9, -6), 4: (-9, 5), 3: (-7, 16), 6: (3, 0), 7: (12, -18),
                 8: (14, -6), 10: (14, 7), 11: (12, 19), 9: (23, 0)},
        "4-3-3", {1: (47, 0), 2: (14, 31), 5: (38, 14), 4: (34, -2), 3: (13, -31), 6: (25, 5), 8: (9, 12), 10: (8, -12),
                 7: (-3, 20), 9: (-7, -1), 11: (-4, -20)},
        (33.2, -2), their_runs={4: (-2.5, 0)}, facing={4: 180}, ball_velocity=(-2.5, 0)),
    "against a back three": _Scene(
        "Three centre-backs and two holding players against two forwards; the ball is with their right centre-back.",
        "4-4-2", {1: (-33, 2), 2: (-5, -14), 5: (-8, -4), 4: (-8, 7), 3: (-5, 19), 7: (12, -14), 8: (10, -4),
                 6: (11, 8), 11: (16, 22), 9: (25, -2), 10: (25, 10)},
        "3-4-3", {1: (47, 2), 2: (13, 32), 5: (34, 19), 6: (38, 1), 4: (35, -17), 3: (14, -31), 8: (22, 7),
                 10: (19, -8), 7: (0, 14), 9: (-6, 2), 11: (0, -16)},
        (33.3, 19.2), facing={5: 175}),
    "full-back on the ball": _Scene(
        "Their left back has the ball near the touchline, on our right; we have shifted across.",
        "4-2-3-1", {1: (-34, -4), 2: (-3, -25), 5: (-7, -13), 4: (-7, -2), 3: (-4, 9), 8: (7, -15), 6: (6, -3),
                 7: (14, -25), 10: (17, -9), 11: (13, 7), 9: (27, -11)},
        "4-3-3", {1: (46, -2), 2: (26, 28), 5: (37, 7), 4: (34, -11), 3: (22, -31), 6: (21, -6), 8: (9, 11),
                 10: (10, -19), 7: (1, 28), 9: (-5, -5), 11: (0, -31)},
        (21.3, -31.3), facing={3: 165}),
    "goalkeeper on the ball": _Scene(
        "Their goalkeeper has the ball at his feet, centre-backs split beside the box; we are high in a 4-3-3.",
        "4-3-3", {1: (-28, 1), 2: (2, -20), 5: (-4, -6), 4: (-4, 6), 3: (2, 20), 6: (11, 0), 8: (22, -9), 10: (23, 8),
                 7: (31, -19), 9: (35, 1), 11: (31, 19)},
        "4-2-3-1", {1: (47, 2), 2: (31, 31), 5: (44, 18), 4: (44, -17), 3: (30, -31), 8: (32, 7), 6: (31, -6),
                 7: (5, 27), 10: (13, 4), 11: (4, -27), 9: (-2, 0)},
        (46.3, 2), facing={1: 180}),
    "press broken": _Scene(
        "We pressed on the left, they came out on the empty right: their left back runs with the ball past six of us.",
        "4-2-3-1", {1: (-35, -3), 2: (-9, -17), 5: (-10, -5), 4: (-9, 6), 3: (-4, 18), 8: (10, 2), 6: (14, 13),
                 7: (17, -9), 10: (23, 8), 11: (25, 24), 9: (31, 11)},
        "4-3-3", {1: (46, 3), 2: (30, 31), 5: (37, 15), 4: (33, -5), 3: (7, -26), 6: (23, 2), 8: (14, 19), 10: (3, -8),
                 7: (0, 30), 9: (-7, 1), 11: (-7, -29)},
        (5.9, -26), our_runs={7: (-4, -2), 8: (-3, -2), 2: (0, -1)}, their_runs={3: (-5, 0.4), 11: (-3, 0),
        10: (-3, 0)}, facing={3: 175}, ball_velocity=(-5, 0.4)),
    "counter-attack 4 v 3": _Scene(
        "Counter-attack, four against three: their 10 runs at our last three, the rest of us chase back.",
        "4-2-3-1", {1: (-45, 0), 2: (-27, -13), 5: (-29, -3), 4: (-28, 8), 3: (2, 24), 8: (2, -9), 6: (4, 9),
                 7: (19, -20), 10: (15, 2), 11: (24, 16), 9: (33, -3)},
        "4-3-3", {1: (38, 0), 2: (16, 28), 5: (25, 8), 4: (23, -9), 3: (14, -27), 6: (12, -1), 8: (5, 16), 10: (-12, 2),
                 7: (-17, 22), 9: (-24, 3), 11: (-18, -20)},
        (-13.2, 2), our_runs={2: (-4, 0), 5: (-4, 0), 4: (-4, 0), 3: (-6, -2), 6: (-6, -1), 8: (-6, 0), 10: (-5, 0),
        7: (-4, 1)}, their_runs={10: (-6, 0), 7: (-6.5, -1), 9: (-5, 0), 11: (-6.5, 1), 8: (-5, 0)}, facing={10: 180},
        ball_velocity=(-6, 0)),
    "ten men": _Scene(
        "We are one short: 4-4-1 in a mid block, their holding midfielder has time on the ball.",
        "4-4-1", {1: (-42, 0), 2: (-19, -16), 5: (-21, -5), 4: (-21, 5), 3: (-19, 16), 7: (-6, -17), 8: (-8, -6),
                 10: (-8, 5), 11: (-6, 16), 9: (7, 0)},
        "4-3-3", {1: (40, 0), 2: (8, 31), 5: (27, 11), 4: (26, -11), 3: (7, -31), 6: (16, -3), 8: (0, 11),
                 10: (-1, -12), 7: (-14, 26), 9: (-17, 1), 11: (-15, -26)},
        (15.3, -3), facing={6: 180}),
    "low block": _Scene(
        "Low block at the edge of the box: their right midfielder looks for a way through.",
        "4-4-2", {1: (-49.5, 1.5), 2: (-37, -11), 5: (-39, -3), 4: (-39, 5), 3: (-37, 14), 7: (-29, -12), 8: (-30, -3),
                 6: (-30, 6), 11: (-28, 16), 9: (-18, -4), 10: (-20, 5)},
        "4-3-3", {1: (33, 0), 2: (-23, 30), 5: (3, 11), 4: (2, -10), 3: (-16, -28), 6: (-9, -1), 8: (-16, 11),
                 10: (-22, -10), 7: (-33, 20), 9: (-37, 1), 11: (-34, -20)},
        (-16.7, 11), facing={8: 195}),
    "behind the midfield": _Scene(
        "Their attacking midfielder has turned between our lines: midfield and forwards are behind the ball.",
        "4-4-2", {1: (-42, 1), 2: (-20, -15), 5: (-22, -5), 4: (-22, 5), 3: (-20, 15), 7: (3, -16), 8: (1, -6),
                 6: (2, 7), 11: (4, 17), 9: (17, -4), 10: (16, 7)},
        "4-2-3-1", {1: (42, 0), 2: (8, 30), 5: (30, 11), 4: (29, -10), 3: (7, -30), 8: (12, 11), 6: (11, -9),
                 7: (-14, 23), 10: (-9, 1), 11: (-15, -24), 9: (-20, -1)},
        (-9.8, 0.8), our_runs={8: (-2, 1), 6: (-2, -1)}, their_runs={10: (-2, 0), 9: (-2, -1)}, facing={10: 180}),
    "our corner": _Scene(
        "Their right winger has the ball near our left corner, men waiting in the box.",
        "4-2-3-1", {1: (-50.5, 2.5), 2: (-45, -8), 5: (-46, -1), 4: (-46, 6), 3: (-44, 24), 8: (-39, 0), 6: (-41, 13),
                 7: (-38, -13), 10: (-30, 6), 11: (-36, 23), 9: (-19, 2)},
        "4-3-3", {1: (32, 1), 2: (-32, 29), 5: (-1, 12), 4: (-2, -8), 3: (-17, -24), 6: (-21, 9), 8: (-34, 15),
                 10: (-33, -3), 7: (-44.5, 28.5), 9: (-43, 4), 11: (-42, -9)},
        (-45.2, 28.3), facing={7: 230}),
    "their corner": _Scene(
        "Their left back is held near his own corner, facing his goal; we have closed in from the right.",
        "4-3-3", {1: (-24, -3), 2: (15, -24), 5: (4, -11), 4: (3, 1), 3: (7, 13), 6: (20, -10), 8: (30, -19),
                 10: (25, -3), 7: (39, -26), 9: (39, -13), 11: (33, 4)},
        "4-2-3-1", {1: (49, -3), 2: (32, 28), 5: (43, 10), 4: (46, -14), 3: (44, -28.5), 8: (31, 1), 6: (34, -15),
                 7: (11, 25), 10: (18, -7), 11: (22, -31), 9: (6, -5)},
        (44.8, -28.7), our_runs={7: (4, -2), 9: (2, -1)}, facing={3: 20}),
    "throw-in": _Scene(
        "Their right back has a throw-in on our left; no offside from the throw (Law 15: opponents 2 m away).",
        "4-4-2", {1: (-35, 3), 2: (-5, -5), 5: (-8, 5), 4: (-7, 15), 3: (0, 26), 7: (8, -4), 8: (8, 6), 6: (8, 17),
                 11: (12, 27), 9: (21, 9), 10: (20, 20)},
        "4-3-3", {1: (45, 2), 2: (14, 34.3), 5: (27, 21), 4: (31, 3), 3: (23, -20), 6: (16, 12), 8: (10, 21),
                 10: (5, 0), 7: (3, 30), 9: (-6, 11), 11: (0, -22)},
        (14, 34), facing={2: 250}, carrier="2", restart="throw-in"),
    "back five": _Scene(
        "We defend with a back five behind three midfielders; their holding midfielder has the ball.",
        "5-3-2", {1: (-40, 1), 2: (-14, -17), 5: (-17, -7), 6: (-17, 2), 4: (-16, 11), 3: (-13, 21), 7: (-4, -9),
                 8: (-5, 3), 11: (-3, 14), 9: (7, -3), 10: (9, 8)},
        "4-2-3-1", {1: (41, 0), 2: (7, 31), 5: (28, 13), 4: (27, -9), 3: (6, -31), 8: (15, 6), 6: (16, -9), 7: (-9, 26),
                 10: (0, 7), 11: (-9, -25), 9: (-14, 0)},
        (14.3, 6), facing={8: 180}),
    "wingers high": _Scene(
        "Both our wingers are caught above the ball, their holding midfielder has turned in the middle.",
        "4-3-3", {1: (-36, 1), 2: (-10, -17), 5: (-13, -6), 4: (-13, 5), 3: (-10, 16), 6: (0, -2), 8: (9, -9),
                 10: (9, 9), 7: (29, -23), 9: (28, 3), 11: (30, 22)},
        "4-3-3", {1: (45, 0), 2: (27, 30), 5: (36, 13), 4: (36, -11), 3: (26, -31), 6: (18, 1), 8: (2, 13),
                 10: (1, -13), 7: (-6, 28), 9: (-11, 1), 11: (-7, -28)},
        (17.2, 1), their_runs={6: (-2, 0)}, facing={6: 180}),
    "worked scene": _Scene(
        "Build-up of a 4-3-3 from its right centre-back against a high 4-2-3-1: the example for every rule.",
        "4-2-3-1", {1: (-33, 1), 2: (-5, -17), 5: (-7, -6), 4: (-7, 6), 3: (-5, 18), 8: (7, -8), 6: (7, 7),
                 7: (15, -18), 10: (17, 1), 11: (16, 19), 9: (27, -2)},
        "4-3-3", {1: (47, 0), 2: (28, 30), 5: (35, 10), 4: (36, -8), 3: (27, -30), 6: (22, 1), 8: (9, 14), 10: (6, -10),
                 7: (-2, 29), 9: (-5, 1), 11: (-2, -29)},
        (35, 10), carrier="5"),
}
SCENES: Mapping[str, str] = MappingProxyType({name: one.words for name, one in _SCENES.items()})
