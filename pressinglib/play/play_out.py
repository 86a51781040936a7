"""Games played on from many pictures at once: whoever presses is sent to places, all else is chance.

No law of the plans is used here, so that it can judge them. Players accelerate evenly and then cruise (Spearman 2018,
Beyond expected goals, grade A), and neither turn nor brake at will; balls roll out evenly or fly; whether a pass comes
off, a tackle wins the ball, or a carrier gets past his man is drawn. Carriers are rational: they take what promises
most, as far as they see it; their team-mates show for the ball, keep onside, run behind the line. Numbers without a
source are our own (grade D). One seed gives one series of draws, whoever is sent where; left and right are alike.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from pressinglib.field.frames import Frames
from pressinglib.field.pitch import GOAL_WIDTH_M, PENALTY_AREA_M
from pressinglib.physics.motion import RUNNING
from pressinglib.roles.picture import Bools, Floats, Ints, norm, unit

Orders = Callable[[Frames], Floats]  # (G, N, 2) where ours are sent, in the order of the sheet
LASTS_S, SOON_S, FIRST_S, STEP_S, ORDERS_S = 8.0, 5.0, 2.0, 0.1, 0.4  # they are sent anew every 0.4 s ...
LAG_S = (0.2, 0.4)  # ... and each hears it so much later
TOP_MPS, ACCELERATES, BRAKES, TURNS = 7.5, 5.0, 5.0, 6.0  # m/s and m/s2
AT_EASE = 0.75  # share of the top speed of a carrier, and of who is not in a hurry
SPRINT_MPS = 7.0  # the usual band (common practice)
PASS_MPS, ROLL_OUT, FLIGHT_MPS, LIFT_S, HANGS_S = 14.5, 1.2, 18.0, 0.4, 0.8
REACH_M, MISS_M, ERROR_RAD, PRESSED_ERROR = 0.9, 2.5, 0.05, 1.7  # a pass may miss by so much; it strays so far
TOUCH_S, THINK_S, LOSS = 0.45, 0.3, 0.012  # first touch, between two thoughts, what losing the ball costs him
PRESSED_M, TACKLE_M, TACKLE_PER_S, BEAT_PER_S, STUNNED_S = 2.5, 1.1, 1.4, 0.6, 0.7
EIGHT = np.arange(8) * np.pi / 4
AROUND = np.stack([np.cos(EIGHT), np.sin(EIGHT)], axis=-1)
ALONG = np.linspace(0.1, 1.0, 7)  # shares of a pass at which somebody may cut it out
AWAY = 99.0  # m or s of who is not there



# -- Laws of running and of the ball.


def _reach_s(xy: Floats, velocity: Floats, to: Floats, top: Any, reach_m: float = 0.0, late_s: float = 0.2) -> Floats:
    """Time of players to within reach of places: even acceleration, then cruising; who is absent never comes."""
    way = to - (xy + late_s * velocity)
    far = norm(way)
    v = np.clip((velocity * way).sum(-1) / np.maximum(far, 1e-9), 0.0, top)
    left, sprint = np.maximum(far - reach_m, 0.0), (top**2 - v**2) / (2 * ACCELERATES)
    short = (np.sqrt(v**2 + 2 * ACCELERATES * np.minimum(left, sprint)) - v) / ACCELERATES
    return np.nan_to_num(late_s + short + np.maximum(left - sprint, 0.0) / top, nan=AWAY)


def _stride(xy: Floats, velocity: Floats, target: Floats, top: Floats) -> tuple[Floats, Floats]:
    """One step: nobody speeds up, brakes or turns at will; who nears his target brakes so that he stops there."""
    way = target - xy
    wanted = unit(way) * np.minimum(top, np.sqrt(2 * BRAKES * norm(way)))[..., None]
    ahead = np.where((norm(velocity) > 0.3)[..., None], unit(velocity), unit(way))
    along = ((wanted - velocity) * ahead).sum(-1, keepdims=True)
    across = wanted - velocity - along * ahead
    across = across * np.minimum(1.0, TURNS * STEP_S / np.maximum(norm(across), 1e-9))[..., None]
    after = velocity + np.clip(along, -BRAKES * STEP_S, ACCELERATES * STEP_S) * ahead + across
    return xy + 0.5 * (velocity + after) * STEP_S, after


def _roll_s(length_m: Floats) -> Floats:
    """Time of a rolling ball; it stops at last."""
    return (PASS_MPS - np.sqrt(np.maximum(PASS_MPS**2 - 2 * ROLL_OUT * length_m, 0.01))) / ROLL_OUT


def _likely(late_s: Floats, spread_s: float) -> Floats:
    return 0.5 + 0.5 * np.tanh(late_s / (2 * spread_s))


# -- The games.


@dataclass(eq=False)
class PlayOut:
    """From C pictures K series of games, C K = G in all; `step` moves all of them on by a tenth of a second.

    Each series has its orders, and the same draws in the same pictures as the others: so series are compared in pairs.
    """

    frames: Frames
    orders: Sequence[Orders]  # K
    seed: int
    first: Floats | None = None  # (G, N, 2) where ours are sent for the first 2 s
    time_s: float = 0.0

    def __post_init__(self) -> None:
        self.copies = len(self.frames)
        self.frames = f = self.frames.take(np.tile(np.arange(self.copies), len(self.orders)))
        games = len(f)
        self.rows, self.pitch, self.goal = np.arange(games), f.pitch, np.array(f.pitch.own_goal_xy)
        self.own, self.own_v = np.array(f.pressing_xy), np.array(f.pressing_velocity)
        self.opp, self.opp_v = np.array(f.possession_xy), np.array(f.possession_velocity)
        self.own_top, self.opp_top = (np.where(np.isnan(top), TOP_MPS, top * (TOP_MPS / RUNNING.top_speed_mps))
                                      for top in (f.pressing_top_mps, f.possession_top_mps))
        self.ball = np.array(f.ball_xy)
        self.their_keeper = np.array([slot == "goalkeeper" for slot in f.possession_slots])
        self.travels, self.holder = f.receiver >= 0, np.where(f.receiver >= 0, f.receiver, f.carrier)
        self.start, self.aim = np.array(self.ball), np.where(self.travels[:, None], self._held_xy(), self.ball)
        side = np.where(self.ball[:, 1] >= 0, 1.0, -1.0)  # what is tried one after another begins on the ball's side
        self.around = AROUND * np.stack([np.ones(games), side], axis=-1)[:, None]
        self.begun_s, self.lands_s = np.zeros(games), _roll_s(norm(self.aim - self.start))
        self.think_s, self.stunned_s = np.full(games, 0.2), np.zeros(self.own.shape[:2])
        # When we won the ball, and when they had it in our penalty area (inf: never); what ours ran as a sprint.
        self.won_s, self.box_s, self.sprint_m = np.full(games, np.inf), np.full(games, np.inf), np.zeros(games)
        first = np.random.default_rng((self.seed, 0))
        self.late_s = self._alike(first.uniform(*LAG_S, (self.copies, self.own.shape[1])))
        self.comes_off = self._alike(first.random(self.copies) < 0.9)
        self.order = self.before = self.own + 0.3 * self.own_v
        self.show, self.way = np.array(self.opp), np.array(self.ball)

    @property
    def over(self) -> Bools:
        """(G,) who has the ball is settled, or they are in our penalty area."""
        return np.isfinite(np.minimum(self.won_s, self.box_s))

    def _alike(self, drawn: Any, axis: int = 0) -> Any:
        """What was drawn for each picture, for the games of every series."""
        return np.concatenate([drawn] * len(self.orders), axis)

    def end(self, after_s: float = LASTS_S) -> Floats:
        """(K, C, 5) of all games, played to the end.

        Ball won within 5 s and 8 s, ball in our penalty area (1 or 0), metres that it came nearer to our goal, metres
        that ours ran at 7 m/s or faster, together.
        """
        for k in range(round(after_s / STEP_S)):
            if not self.over.all():
                self.step(k)
        ground_m = norm(self.frames.ball_xy - self.goal) - norm(self.ball - self.goal)
        came = [self.won_s <= SOON_S + 1e-9, np.isfinite(self.won_s), np.isfinite(self.box_s), ground_m, self.sprint_m]
        return np.stack(came, axis=-1).astype(float).reshape(len(self.orders), self.copies, -1)

    def step(self, k: int) -> None:
        """Orders, carriers' choices, running, the ball, tackles."""
        count = max(self.own.shape[1], 2 * self.opp.shape[1])
        self.chance = self._alike(np.random.default_rng((self.seed, 1 + k)).random((4, self.copies, count)), 1)
        if k % round(ORDERS_S / STEP_S) == 0:
            self._send()
        if k % 7 == 0:
            self.show = self._shows()
        ask = np.flatnonzero(~self.travels & ~self.over & (self.think_s <= self.time_s))
        if len(ask):
            self._choose(ask)
        self._run()
        self.time_s += STEP_S
        self._move_ball()
        self._tackle()

    def _send(self) -> None:
        """Where ours are told to go now, in the games that are not over."""
        self.before, self.order, self.ordered_s = self.order, np.array(self.order), self.time_s
        if self.first is not None and self.time_s < FIRST_S - 1e-9:
            self.order = self.first
            return
        now = self._picture()
        for orders, games in zip(self.orders, self.rows.reshape(len(self.orders), -1), strict=True):
            if len(games := games[~self.over[games]]):
                self.order[games] = orders(now.take(games))

    def _picture(self) -> Frames:
        """The games as they stand."""
        ball_v = (self.aim - self.start) / np.maximum(self.lands_s - self.begun_s, STEP_S)[:, None]
        ball_v = np.where(self.travels[:, None], ball_v, self.opp_v[self.rows, self.holder])
        return replace(self.frames, pressing_xy=self.own, pressing_velocity=self.own_v, possession_xy=self.opp,
                       possession_velocity=self.opp_v, ball_xy=self.ball, ball_velocity=ball_v,
                       carrier=np.where(self.travels, -1, self.holder),
                       receiver=np.where(self.travels, self.holder, -1),
                       ball_height_m=np.zeros(len(self.rows)), restart=np.zeros(len(self.rows), int))

    def _held_xy(self) -> Floats:
        return self.opp[self.rows, self.holder]

    def _away_m(self, xy: Floats) -> Floats:
        """(G, N) distance of ours to one place a game."""
        return np.nan_to_num(norm(self.own - xy[:, None]), nan=AWAY)

    # -- theirs --------------------------------------------------------------------------------------------------

    def _line_x(self) -> Floats:
        """(G, 1) the offside line (Law 11): second-last of ours, or the ball, never beyond halfway."""
        second = np.sort(np.nan_to_num(self.own[..., 0], nan=AWAY), axis=1)[:, min(1, self.own.shape[1] - 1)]
        return np.minimum(np.minimum(second, self.ball[:, 0]), 0.0)[:, None]

    def _shows(self) -> Floats:
        """(G, M, 2) where theirs go: along with the ball, to where they are free; some run behind the line."""
        base = self.frames.possession_xy + ((self.ball - self.frames.ball_xy) * (0.8, 0.5))[:, None]
        ring = np.concatenate([np.zeros((len(base), 1, 2)), 4.0 * self.around], axis=1)
        tries = self.pitch.inside(base[:, :, None] + ring[:, None], 1.0)
        free_m = np.nan_to_num(norm(tries[:, :, :, None] - self.own[:, None, None]), nan=AWAY).min(-1)
        score = 0.4 * np.minimum(free_m, 6.0) - 0.05 * tries[..., 0] - 0.4 * (np.arange(9) > 0)
        best = np.take_along_axis(tries, np.nan_to_num(score).argmax(-1)[..., None, None], 2)[:, :, 0]
        high = np.nan_to_num(self.opp[..., 0], nan=AWAY).argsort(1).argsort(1) < 4
        at_ease = (self._away_m(self.ball).min(1) > PRESSED_M)[:, None]
        runs = high & at_ease & (self.chance[3, :, :high.shape[1]] < 0.35)
        onside = self._line_x() + 0.4
        best[..., 0] = np.where(runs, onside, np.maximum(best[..., 0], onside))
        deep = np.stack([np.minimum(base[..., 0], self.ball[:, None, 0] + 25.0), 0.5 * base[..., 1]], axis=-1)
        return np.where(self.their_keeper[:, None], deep, best)

    def _choose(self, ask: Ints) -> None:
        """Those whose moment has come pass, run on, or wait."""
        self.think_s[ask] = self.time_s + THINK_S
        aims, time, chance = self._passes(ask)
        noise = 0.3 * (self.chance[0, ask, :aims.shape[1]] - 0.5)
        seen = np.where(chance < 0, -1.0, np.clip(chance + noise, 0.0, 1.0))
        score = np.where(chance < 0, -np.inf, seen * self.threat(aims) - (1 - seen) * LOSS)
        run, worth = self._dribble(ask)
        best, a = score.argmax(1), np.arange(len(ask))
        pressed = self._away_m(self.ball)[ask].min(1) < PRESSED_M
        passes = score[a, best] > worth * np.where(pressed, 0.75, 1.0)
        self.way[ask] = run
        games, j, a = ask[passes], best[passes], a[passes]
        self.comes_off[games] = self.chance[1, games, 0] < chance[a, j]
        self.start[games], self.aim[games], self.travels[games] = self.ball[games], aims[a, j], True
        self.begun_s[games], self.lands_s[games] = self.time_s, self.time_s + time[a, j]
        self.holder[games] = j % self.opp.shape[1]

    def _passes(self, ask: Ints) -> tuple[Floats, Floats, Floats]:
        """Aims (A, 2 M, 2) to feet and into space, when the ball is met there, and the chance of it; -1 for none."""
        opp, v, top, ball = self.opp[ask], self.opp_v[ask], self.opp_top[ask], self.ball[ask][:, None]
        feet = opp + v * 0.7 * np.clip(norm(opp - ball) / PASS_MPS, 0.2, 1.2)[..., None]
        aims = self.pitch.inside(np.concatenate([feet, opp + 0.5 * v + 8.0 * unit(self.goal - opp)], axis=1), 0.5)
        length = norm(aims - ball)
        xy2, v2, top2 = (np.concatenate([of, of], axis=1) for of in (opp, v, top))
        meets = _reach_s(xy2, v2, aims, top2, 0.5)
        rolls, flies = np.maximum(_roll_s(length), meets), length / FLIGHT_MPS + LIFT_S
        points = ball[:, :, None] + (aims - ball)[:, :, None] * ALONG[:, None]
        own, own_v, own_top = (of[ask][:, None] for of in (self.own, self.own_v, self.own_top))
        cut = _reach_s(own[:, :, None], own_v[:, :, None], points[:, :, :, None], own_top[:, :, None], REACH_M).min(-1)
        first = _reach_s(own, own_v, aims[:, :, None], own_top, REACH_M).min(-1) - np.maximum(flies, meets)
        stray = ERROR_RAD * np.where(self._away_m(self.ball)[ask].min(1) < PRESSED_M, PRESSED_ERROR, 1.0)[:, None]
        straight = np.exp(-((stray * length / MISS_M) ** 2))
        ground = _likely((cut - rolls[..., None] * ALONG).min(-1), 0.3)
        loft = 0.85 * _likely(first, 0.35) * (length > 15.0)
        chance = np.maximum(ground, loft) * straight
        out = (opp[..., 0] < self._line_x()[ask]) & (opp[..., 0] < 0.0) | ~np.isfinite(opp[..., 0])
        out |= np.arange(opp.shape[1]) == self.holder[ask][:, None]
        chance = np.where(np.concatenate([out, out], axis=1) | (length < 3.0), -1.0, chance)
        return aims, np.where(loft > ground, np.clip(meets, flies, flies + HANGS_S), rolls), chance

    def _dribble(self, ask: Ints) -> tuple[Floats, Floats]:
        """Where a carrier would run, and what that is worth to him: threat there, less where ours come first."""
        tries = self.pitch.inside(self._held_xy()[ask][:, None] + 6.0 * self.around[ask], 0.5)
        own, own_v, own_top = (of[ask][:, None] for of in (self.own, self.own_v, self.own_top))
        first = _reach_s(own, own_v, tries[:, :, None], own_top, 1.0, 0.0).min(-1)
        chance = _likely(first - 1.1, 0.3)
        score = chance * self.threat(tries) - (1 - chance) * LOSS
        return np.take_along_axis(tries, score.argmax(1)[:, None, None], 1)[:, 0], score.max(1)

    def threat(self, xy: Floats) -> Floats:
        """What the ball is worth at a place before anybody defends; wide places count as further off."""
        return 0.004 + 0.25 * np.exp(-norm((xy - self.goal) * (1.0, 1.3)) / 14.0)

    # -- running, the ball, tackles ------------------------------------------------------------------------------

    def _run(self) -> None:
        """Ours where they were last told to; theirs to the ball or where they show."""
        heard = (self.time_s >= self.ordered_s + self.late_s)[..., None]
        own_to, opp_to = np.where(heard, self.order, self.before), np.array(self.show)
        own_to = np.where((self.stunned_s > self.time_s)[..., None], self.own, own_to)
        opp_to[self.rows, self.holder] = np.where(self.travels[:, None], self.aim, self.way)
        has_it = np.arange(self.opp.shape[1]) == self.holder[:, None]
        hurries = np.where(has_it, self.travels[:, None], norm(opp_to - self.opp) > 5.0)
        before = self.own
        self.own, self.own_v = _stride(self.own, self.own_v, own_to, self.own_top)
        self.opp, self.opp_v = _stride(self.opp, self.opp_v, opp_to, np.where(hurries, 1.0, AT_EASE) * self.opp_top)
        self.own, self.opp = self.pitch.inside(self.own, -2.0), self.pitch.inside(self.opp, -2.0)
        ran = np.where(norm(self.own_v) >= SPRINT_MPS, norm(self.own - before), 0.0)
        self.sprint_m += np.where(self.over, 0.0, np.nansum(ran, axis=1))

    def _move_ball(self) -> None:
        """It travels to its aim, where the pass has come off or not, or goes along with its holder."""
        going = ~self.over
        share = np.clip((self.time_s - self.begun_s) / np.maximum(self.lands_s - self.begun_s, STEP_S), 0.0, 1.0)
        at_feet = self._held_xy() + 0.5 * unit(self.opp_v[self.rows, self.holder] + (-1e-6, 0.0))
        ball = np.where(self.travels[:, None], self.start + (self.aim - self.start) * share[:, None], at_feet)
        self.ball = np.where(going[:, None], self.pitch.inside(ball), self.ball)
        lands = self.travels & going & (self.time_s >= self.lands_s - 1e-9)
        self.won_s = np.where(lands & ~self.comes_off, self.time_s, self.won_s)
        self.travels = self.travels & ~lands
        self.think_s = np.where(lands, self.time_s + TOUCH_S, self.think_s)
        self.way = np.where(lands[:, None], self._held_xy(), self.way)
        box = np.array([self.goal[0] + PENALTY_AREA_M, GOAL_WIDTH_M / 2 + PENALTY_AREA_M])
        inside = (self.ball[:, 0] <= box[0]) & (np.abs(self.ball[:, 1]) <= box[1]) & ~self.travels & ~self.over
        self.box_s = np.where(inside, self.time_s, self.box_s)

    def _tackle(self) -> None:
        """Near the carrier one of ours wins the ball or is beaten, by chance; from behind he wins it less often."""
        man, v = self._held_xy()[:, None], self.opp_v[self.rows, self.holder][:, None]
        near = np.exp(-((norm(self.own - man) / TACKLE_M) ** 2)) * (self.stunned_s <= self.time_s)
        near = np.nan_to_num(near) * (~self.travels & ~self.over)[:, None]
        goal_side = norm(self.own - self.goal) < norm(man - self.goal)
        wins = 1 - np.exp(-STEP_S * TACKLE_PER_S * near * np.where(goal_side, 1.0, 0.5))
        closing = np.clip((unit(man - self.own) * (self.own_v - v)).sum(-1), 0.0, 8.0)
        loses = 1 - np.exp(-STEP_S * BEAT_PER_S * near * (1 + closing / 3.0))
        drawn = self.chance[2, :, :near.shape[1]]
        self.won_s = np.where((drawn < wins).any(1), self.time_s, self.won_s)
        self.stunned_s = np.where((drawn > 1 - loses) & goal_side, self.time_s + STUNNED_S, self.stunned_s)
