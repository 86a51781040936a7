"""How often the press wins the ball within 5 s, over many varied sequences of our own invention.

    python -m tests.play.base_rate          500 sequences, in two or three minutes
    python -m tests.play.base_rate 100      fewer

A note on plausibility beside the published rates, never a target: nothing in the library was set by it. Published: 28
to 32 % of presses and counter-presses win the ball within 5 s (Bauer and Anzer 2021, 10.1007/s10618-021-00763-7; Lee et
al., exPress, MIT Sloan 2025; second hand). Half of the sequences have carriers who see every open lane and take it,
half have carriers who pass to one of the five nearest without looking: players of flesh and blood are in between.
"""

from __future__ import annotations

import sys
from collections import Counter
from dataclasses import replace
from math import dist

import numpy as np

from pressinglib.field.pitch import OUTSIDE_M
from pressinglib.field.player import Player
from pressinglib.field.scene_file import scene, scene_names
from pressinglib.field.situation import Situation
from pressinglib.play import Dribble, Pass, Sequence, simulate
from pressinglib.play.actions import Action
from pressinglib.play.game_state import OURS, OVER

COUNT, WITHIN_S, STEP_S = 500, 5.0, 0.2
MANNERS = ("look up", "pass blindly")
NEAREST = 5
SPREAD_M = 2.5  # standard deviation of everybody's place about that of the scene
HOLDS_S = (0.6, 2.2)  # how long a carrier keeps the ball
DRIBBLES = 0.25  # share of carriers who run with it first


def varied(situation: Situation, chance: np.random.Generator) -> Situation:
    """The same scene with everybody a little elsewhere; the ball stays at the carrier's feet."""
    half = np.array(situation.pitch.corner_xy) + OUTSIDE_M - 0.1

    def elsewhere(q: Player) -> Player:
        x, y = np.clip(np.array(q.xy) + chance.normal(0, SPREAD_M, 2), -half, half)
        return q.at((float(x), float(y)))

    kept = (situation.on_ball, situation.receiver)
    return replace(situation, carrier=situation.on_ball, pressing=tuple(map(elsewhere, situation.pressing)),
                   possession=tuple(q if q.number in kept else elsewhere(q) for q in situation.possession))


def play(situation: Situation, looks_up: bool, chance: np.random.Generator) -> list[Action]:
    """Each carrier holds the ball for a while, some run with it, then he passes."""
    actions: list[Action] = []
    time_s, who = 0.0, situation.receiver or situation.on_ball
    while time_s < WITHIN_S:
        time_s += chance.uniform(*HOLDS_S)
        if chance.random() < DRIBBLES:
            actions.append(Dribble(way=str(chance.choice(["outside", "straight", "inside"])), at_s=time_s))
            time_s += chance.uniform(*HOLDS_S)
        who = neighbour(situation, str(who), chance)
        actions.append(Pass(None if looks_up else who, at_s=time_s))
        time_s += 1.0
    return actions


def neighbour(situation: Situation, number: str, chance: np.random.Generator) -> str:
    """One of the five team-mates who stand nearest to a player."""
    xy = situation.player("possession", number).xy
    others = sorted((q for q in situation.possession if q.number != number), key=lambda q: dist(q.xy, xy))
    return others[chance.integers(NEAREST)].number


def one(k: int) -> tuple[str, str, Sequence]:
    """Sequence number k: the scenes in turn, everything else by chance; its scene and its manner too."""
    names = [name for name in scene_names() if scene(name).state == "open play"]
    name, manner, chance = names[k // 2 % len(names)], MANNERS[k % 2], np.random.default_rng(k)
    situation = varied(scene(name), chance)
    actions = play(situation, manner == "look up", chance)
    return name, manner, simulate(situation, actions, step_s=STEP_S, duration_s=WITHIN_S, attackers="seek", seed=k)


def main(count: int) -> None:
    """Print the rate by manner, how the sequences end, and the rate scene by scene."""
    rows = [(name, manner, _end(sequence)) for name, manner, sequence in map(one, range(count))]
    for manner in MANNERS:
        ends = Counter(end for _, m, end in rows if m == manner)
        print(f"{ends.total()} sequences, carriers {manner}: {_share(ends)}")
        print("    how they end: " + ", ".join(f"{end} {n / ends.total():.0%}" for end, n in ends.most_common()))
    print("published: 28-32 % of presses and counter-presses (Bauer and Anzer 2021; Lee et al. 2025)")
    for name in dict.fromkeys(row[0] for row in rows):
        print(f"    {name:28s} {_share(Counter(end for n, _, end in rows if n == name))}")


def _end(sequence: Sequence) -> str:
    return next((e.kind for e in sequence.events if e.kind in OVER), "theirs still")


def _share(ends: Counter[str]) -> str:
    count = max(ends.total(), 1)
    share = sum(ends[kind] for kind in OURS) / count
    return f"won within {WITHIN_S:g} s {share:4.0%} (standard error {np.sqrt(share * (1 - share) / count):.0%})"


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else COUNT)
