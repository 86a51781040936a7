"""What follows: the value conceded, balls won, metres given and passes that outplay three, scheme by scheme.

    python -m tests.judge outcomes          every opening once
    python -m tests.judge outcomes 3        three times, with other carriers and other chance

Every scheme plays the same openings with the same draws; the intervals are bootstrapped over openings.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import numpy as np

from pressinglib.data import Tracking
from pressinglib.field.frames import Frames
from pressinglib.roles.balance import block_reference
from pressinglib.roles.decisions import Decisions
from pressinglib.roles.measures import least_total
from pressinglib.roles.picture import Picture
from pressinglib.roles.pipeline import decide
from pressinglib.roles.rulebook import Rulebook
from pressinglib.roles.settings import BACK_LINE, BALANCE, COVER, GUARD_FAR_SIDE, Settings
from tests.judge.attack import MIDDLE, STRENGTHS, Strength, norm, standing, unit
from tests.judge.openings import GOAL, KINDS, PITCH, TEAM, Array, Bools, Openings, openings
from tests.judge.playout import LASTS_S, Outcome, Scheme, play

LEAD_S, MAN_M, AT_BALL_M, AT_ONCE = 0.3, 1.5, 1.0, 32
DRAWS = 1000
NEAR_M = 48.0  # hardly a shot comes within 8 s of an opening further from goal (D)
FURTHER = "ball further away"
KEPT_FRAMES = 5  # the real defenders have won the ball when they keep it for 0.4 s
NUMBERS = tuple(str(n) for n in range(1, TEAM + 1))
STAND, SHIFT, NEAREST, MAN, MAN_LED, PLAN = (
    "stand", "block shift", "nearest presses + block", "man-for-man", "man-for-man, men led by 0.3 s", "our plan")


# -- schemes -----------------------------------------------------------------------------------------------------------


def picture(o: Openings, settings: Settings | None = None) -> Picture:
    """The games as the method reads pictures."""
    nobody = "outfield"
    frames = Frames(PITCH, NUMBERS, (nobody,) * TEAM, NUMBERS, (nobody,) * TEAM, o.own, o.opp, o.ball, o.own_velocity,
                    o.opp_velocity, o.ball_velocity, o.carrier, o.receiver)
    p = Picture(frames, settings or Settings())
    line, wing = (np.take_along_axis(a, p.own_order, 1) for a in (o.line, o.wing_back))
    return p.but(line=line, wing_back=wing, opp_keeper=np.take_along_axis(o.opp_keeper, p.opp_order, 1))


def on_sheet(p: Picture, spot: Array) -> Array:
    """Places (G, 11, 2) in the order and on the side of the openings."""
    out = np.empty_like(spot)
    np.put_along_axis(out, p.own_order[..., None], p.turned_back(spot), 1)
    return out


def scheme(of: Callable[[Picture], Array], settings: Settings | None = None) -> Scheme:
    """A rule on pictures, asked for a few games at a time; the goalkeeper keeps goal the same way in all of them."""
    def targets(o: Openings) -> Array:
        parts = []
        for k in range(0, len(o), AT_ONCE):
            some = o.take(slice(k, k + AT_ONCE))
            p = picture(some, settings)
            parts.append(on_sheet(p, np.where(p.own_here[..., None], of(p), p.own)))
        return np.concatenate(parts)
    return targets


def with_keeper(p: Picture, spot: Array) -> Array:
    """On the line from ball to goal, further out the further the ball is."""
    height = np.clip(0.25 * norm(p.ball - GOAL), 1.0, 16.0)
    place = GOAL + unit(p.ball - GOAL) * height[:, None]
    return np.where(p.outfield[..., None], spot, place[:, None])


def block(p: Picture) -> Array:
    """Everybody's place in the zonal block."""
    return block_reference(p, np.zeros(p.line.shape, bool))


def nearest_presses(p: Picture) -> Array:
    """The nearest to the ball, or to whom it comes, goes goal-side of it; the others keep the block."""
    away = np.where(p.outfield, norm(p.own - p.origin[:, None]), np.inf)
    goes = np.arange(TEAM) == away.argmin(1)[:, None]
    at_ball = p.origin + unit(GOAL - p.origin) * AT_BALL_M
    return with_keeper(p, np.where(goes[..., None], at_ball[:, None], block(p)))


def man_for_man(p: Picture, lead_s: float = 0.0) -> Array:
    """Every outfield player one man, goal-side of him, all ways together shortest; left over: the block."""
    men = p.opp + lead_s * p.opp_velocity
    places = PITCH.inside(men + unit(GOAL - men) * np.where(p.is_holder, AT_BALL_M, MAN_M)[..., None], 0.5)
    job = least_total(norm(p.own[:, :, None] - places[:, None]), p.outfield, p.opp_here & ~p.opp_keeper)
    spot = np.take_along_axis(places, np.maximum(job, 0)[..., None], 1)
    return with_keeper(p, np.where((job >= 0)[..., None], spot, block(p)))


def plan(rules: Rulebook | None = None, without: Callable[[Picture, Decisions], Bools] | None = None,
         keeper: bool = True) -> Scheme:
    """The method; whoever `without` says keeps the block instead of what the plan sends him to."""
    rules = rules or Rulebook()

    def of(p: Picture) -> Array:
        d = decide(p, rules)
        spot = np.where(without(p, d)[..., None], block(p), d.spot) if without else d.spot
        return spot if keeper else with_keeper(p, spot)

    return scheme(of, rules.settings)


BASELINES: Mapping[str, Scheme] = {
    STAND: scheme(lambda p: with_keeper(p, p.own)), SHIFT: scheme(lambda p: with_keeper(p, block(p))),
    NEAREST: scheme(nearest_presses), MAN: scheme(man_for_man), MAN_LED: scheme(lambda p: man_for_man(p, LEAD_S))}


def _role(role: int) -> Callable[[Picture, Decisions], Bools]:
    return lambda p, d: d.role == role


def taken_out() -> dict[str, Scheme]:
    """Our plan with one rule gone: whom it concerns keeps the block. The names say which."""
    stock = Rulebook()
    return {
        "without: a presser": plan(without=lambda p, d: np.arange(TEAM) == d.presser[:, None]),
        "without: front players first": plan(stock.with_settings(pressers="anyone")),
        "without: the lead": plan(stock.with_settings(lead_time_s=0.0)),
        "without: an angle": plan(stock.with_settings(approach_limits_deg=(0, 0, 0, 0))),
        "without: covers": plan(without=_role(COVER)), "without: balance": plan(without=_role(BALANCE)),
        "without: the far side": plan(without=lambda p, d: d.duty == GUARD_FAR_SIDE),
        "without: the back line": plan(without=_role(BACK_LINE)), "without: the goalkeeper": plan(keeper=False)}


# -- figures -----------------------------------------------------------------------------------------------------------


def played(o: Openings, what: Scheme, strength: Strength, rounds: int, **more: tuple[float, float]) -> Outcome:
    """Means over the rounds, (G,) an opening."""
    all_of = [play(o, what, strength, seed, **more) for seed in range(rounds)]
    return Outcome(*(np.mean([getattr(x, name) for x in all_of], axis=0) for name in FIELDS))


FIELDS = ("value", "won", "metres", "outplayed")


def drawn_means(values: Array, seed: int = 0) -> Array:
    """(DRAWS,) means over openings drawn anew (Efron 1979, bootstrap); one seed draws the same openings."""
    return values[np.random.default_rng(seed).integers(0, len(values), (DRAWS, len(values)))].mean(1)


def interval(values: Array, seed: int = 0) -> tuple[float, float]:
    """95 % of means over openings drawn anew."""
    low, high = np.percentile(drawn_means(values, seed), (2.5, 97.5))
    return float(low), float(high)


def some_of(x: Outcome, which: Bools) -> Outcome:
    """The outcomes of some openings."""
    return Outcome(*(getattr(x, name)[which] for name in FIELDS))


def share(ours: Array, theirs: Array, seed: int = 0) -> tuple[float, float, float]:
    """What we concede as a share of what another scheme concedes on the same openings, with its 95 % interval."""
    low, high = np.percentile(drawn_means(ours, seed) / drawn_means(theirs, seed), (2.5, 97.5))
    return float(ours.mean() / theirs.mean()), float(low), float(high)


def row(name: str, x: Outcome, than: Outcome | None = None) -> str:
    """One line of the table; last, what our plan concedes as a share of what this scheme does, with its interval."""
    low, high = interval(1000 * x.value)
    cells = f"{name:<32}{1000 * np.mean(x.value):6.1f} ({low:4.1f}-{high:4.1f}){100 * np.mean(x.won):6.0f}"
    cells += f"{np.mean(x.metres):7.1f}{np.mean(x.outplayed):7.2f}"
    if than is None or than is x:
        return cells
    return cells + "{:8.2f} ({:.2f} to {:.2f})".format(*share(than.value, x.value))


HEAD = f"{'':<32}{'value x 1000':>18}{'won %':>6}{'metres':>7}{'past 3':>7}{'ours as a share of it':>23}"


def zones(o: Openings) -> dict[str, Bools]:
    """Openings by where they are decided: the value is conceded near our goal, the ball is won further away."""
    near = norm(o.ball - GOAL) < NEAR_M
    counter = o.kind == KINDS.index("counter-attacks")
    return {f"ball within {NEAR_M:g} m of our goal": near & ~counter, FURTHER: ~near & ~counter,
            "counter-attacks": counter}


def print_table(tracking: Tracking, rounds: int = 1, show: Callable[[str], None] = print,
                more: Sequence[tuple[str, Scheme]] = (), each_scene: int = 20, of_match: int = 672) -> None:
    """All schemes against attackers of three strengths by zone, the rules one by one, and what really followed.

    Of the openings with the ball further away every third is played: what they concede varies less.
    """
    o = openings(tracking, each_scene, of_match)
    o = o.take(~zones(o)[FURTHER] | (np.arange(len(o)) % 3 == 0))
    kinds = ", ".join(f"{(o.kind == k).sum()} {name}" for k, name in enumerate(KINDS))
    show(f"\ngames played on for {LASTS_S:g} s: {len(o)} openings ({kinds}), each {rounds} time(s) a scheme")
    show("value: chance of the shot, or what the ball is worth where it is; 0 where won. past 3: such passes a game")
    match = o.kind == KINDS.index("match")
    for strength in STRENGTHS:
        ours = played(o, plan(), strength, rounds)
        chosen = [*BASELINES.items(), *more, *(taken_out().items() if strength is MIDDLE else ())]
        all_of = {PLAN: ours, **{name: played(o, what, strength, rounds) for name, what in chosen}}
        for zone, which in zones(o).items():
            show(f"\n{strength.name} attackers, {zone}: {which.sum()} openings\n{HEAD}")
            for name, x in all_of.items():
                show(row(name, some_of(x, which), some_of(ours, which) if x is not ours else None))
        show(row("\nthe match moments alone: our plan", some_of(ours, match)))
        show(row("   as the match really went on", really(tracking, o.take(match))))


# -- what really followed ----------------------------------------------------------------------------------------------


def really(tracking: Tracking, o: Openings) -> Outcome:
    """The same measures of the real 8 s after each match moment; the ball dead counts as won, shots are not known."""
    sides = _sides(tracking, o)
    found = [_followed(tracking, t, side) for t, side in zip(o.time_s, sides, strict=True)]
    return Outcome(*(np.array(values) for values in zip(*found, strict=True)))


def _sides(tracking: Tracking, o: Openings) -> list[str]:
    """Who defends: the side in whose own frame the ball lies where the opening has it."""
    rows = np.searchsorted(tracking.time_s, o.time_s - 1e-6)
    home = np.hypot(*(tracking.frames("home", rows).ball_xy - o.ball).T) < 0.1
    return ["home" if h else "away" for h in home]


def _followed(tracking: Tracking, time_s: float, side: str) -> tuple[float, bool, float, int]:
    first = int(np.searchsorted(tracking.time_s, time_s - 1e-6))
    last = int(np.searchsorted(tracking.time_s, time_s + LASTS_S))
    rows = np.arange(first, min(last, len(tracking)))
    f = tracking.frames(side, rows)  # type: ignore[arg-type]
    ours = tracking.carrier(side)[rows]  # type: ignore[arg-type]
    theirs = tracking.carrier("away" if side == "home" else "home")[rows]
    kept = np.convolve(ours >= 0, np.ones(KEPT_FRAMES))[:len(rows)] >= KEPT_FRAMES
    ends = np.flatnonzero(kept | ~tracking.alive[rows])
    end = int(ends[0]) if len(ends) else len(rows) - 1
    keeper = np.array([s == "goalkeeper" for s in f.pressing_slots])[None]
    value = 0.0 if len(ends) else float(standing(f.ball_xy[[end]], f.pressing_xy[[end]], keeper)[0])
    gone = norm(f.ball_xy[0] - GOAL) - norm(f.ball_xy[end] - GOAL)
    return value, bool(len(ends)), float(gone), _past_three(f, theirs[:end + 1], keeper[0])


def _past_three(f: Frames, carrier: Array, keeper: Bools) -> int:
    """Changes of carrier after which three or more have the ball behind them who had it in front."""
    held = np.flatnonzero(carrier >= 0)
    count = 0
    for a, b in zip(held[:-1], held[1:], strict=True):
        if carrier[a] != carrier[b]:
            before, after = (f.pressing_xy[k, ~keeper, 0] < f.ball_xy[k, 0] for k in (a, b))
            count += int((before & ~after).sum() >= 3)
    return count
