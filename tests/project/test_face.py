"""The face: what `import pressinglib as pl` offers, loaded when asked for, and what a notebook shows of it."""

from __future__ import annotations

import importlib
import inspect
import operator
import pkgutil
import subprocess
import sys
from pathlib import Path
from types import ModuleType

import pytest
from IPython.core.interactiveshell import InteractiveShell

import pressinglib as pl
from pressinglib.data import MatchPlan, open_match

ROOT = Path(__file__).parents[2]
OFFERED = {
    "Board", "Dribble", "Fault", "Frames", "Job", "Pass", "Pitch", "Plan", "Player", "PressingError", "Rulebook", "Run",
    "Sequence", "Settings", "Situation", "Touch", "TryIt", "check_rule", "choices", "compare_rulebooks", "data",
    "field", "find_faults", "improve", "load_situation", "physics", "picture", "plan_frames", "plan_press", "play",
    "roles", "save_page", "save_picture", "save_situation", "scene", "scene_names", "show", "simulate", "teach",
    "traps",
}
OPEN_MATCH = ROOT / "notebooks" / "data" / "dfl-open"
ROOMS = ("field", "physics", "roles", "play", "data", "show", "teach")
ANYWHERE = [pl, *(importlib.import_module(f"pressinglib.{room}") for room in ROOMS)]
HOSTILE = '"><script>alert(1)</script>'


def python(code: str) -> str:
    """What another interpreter prints: this one has loaded too much already."""
    answer = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True)
    assert answer.returncode == 0, answer.stderr
    return answer.stdout


def test_offers_these_names_and_nothing_else() -> None:
    assert set(dir(pl)) == set(pl.__all__) == OFFERED
    with pytest.raises(AttributeError, match="plan_pres"):
        _ = pl.plan_pres


@pytest.mark.parametrize("place", ANYWHERE, ids=lambda place: place.__name__)
def test_every_name_is_there_and_says_what_it_is_for(place: ModuleType) -> None:
    for name in place.__all__:
        found = getattr(place, name)
        assert not callable(found) or found.__doc__, name
    assert place.__doc__


@pytest.mark.parametrize("place", ANYWHERE, ids=lambda place: place.__name__)
def test_no_name_hides_a_module(place: ModuleType) -> None:
    modules = {module.name for module in pkgutil.iter_modules(place.__path__) if not module.ispkg}
    assert modules & set(place.__all__) == set()


def test_names_can_be_imported_one_by_one() -> None:
    names = ", ".join(sorted(OFFERED))
    assert python(f"from pressinglib import {names}; print(scene('worked scene').on_ball)") == "5\n"


def test_the_first_import_loads_nothing_heavy() -> None:
    code = "import sys; import pressinglib; print('numpy' in sys.modules, 'IPython' in sys.modules)"
    assert python(code) == "False False\n"


@pytest.mark.parametrize("make", [pl.scene, lambda name: pl.plan_press(pl.scene(name))], ids=["situation", "plan"])
def test_a_notebook_shows_the_picture_with_its_words(make: object) -> None:
    what = make("worked scene")
    shown = displayed(what)
    assert shown["text/plain"] == repr(what)
    assert shown["text/html"].count('src="data:image/png;base64,') == 1
    assert ("presses" in shown["text/html"]) == isinstance(what, pl.Plan)
    assert "their 5" in shown["text/html"].lower()


def test_a_hostile_number_stays_words() -> None:
    s = pl.scene("worked scene")
    us = tuple(pl.Player(HOSTILE[:8], p.slot, p.xy) if p.number == "9" else p for p in s.pressing)
    html = displayed(pl.plan_press(pl.Situation(s.pitch, us, s.possession, s.ball_xy)))["text/html"]
    assert HOSTILE[:8] not in html
    assert "&quot;&gt;&lt;scrip" in html


def displayed(what: object) -> dict[str, str]:
    """What a notebook that imports the library gets to show."""
    InteractiveShell.clear_instance()
    shell = InteractiveShell.instance()
    try:
        importlib.reload(pl)
        return shell.display_formatter.format(what)[0]
    finally:
        InteractiveShell.clear_instance()


def test_a_terminal_shows_words() -> None:
    code = """
from IPython.terminal.interactiveshell import TerminalInteractiveShell
shell = TerminalInteractiveShell.instance()
import sys, pressinglib as pl
print(list(shell.display_formatter.format(pl.scene("worked scene"))[0]), "matplotlib" in sys.modules)
"""
    assert python(code).endswith("['text/plain'] False\n")


PLAYED = pl.simulate(pl.scene("worked scene"), [pl.Pass("6", at_s=0.2), pl.Pass("8", at_s=1.0)], duration_s=3)
PLAN = PLAYED.plans[0]


@pytest.mark.parametrize("what", [
    PLAYED.situations[5], PLAYED.frames, PLAYED, PLAN, PLAN.assignments["9"], pl.Rulebook(), pl.Settings(), pl.Pitch(),
    PLAYED.situations[0].pressing[0], pl.Settings(pressers="anyone"), MatchPlan.of(open_match(OPEN_MATCH)),
], ids=lambda what: type(what).__name__)
def test_what_is_printed_is_short_and_readable(what: object) -> None:
    lines = repr(what).splitlines()
    assert 1 <= len(lines) <= 10 and max(map(len, lines)) <= 140
    assert not any(word in repr(what) for word in ("array(", "object at 0x", "mappingproxy"))


# The names that courses and other programs are written against, with what they take; they stay.
FIXED = {
    "pressinglib": ("Situation", "Pitch", "Player", "Frames", "Rulebook", "Settings", "plan_press", "plan_frames",
                    "find_faults", "simulate", "compare_rulebooks", "check_rule", "Board", "scene", "save_picture",
                    "load_situation", "save_situation", "PressingError"),
    "pressinglib.physics": ("arrival_time", "ball_time", "loft", "shadow_half_angle", "gap_limit", "oval_pressure",
                            "pass_coverage", "interception_probability", "chance_to_reach", "total_pressure",
                            "control_field", "offside_line_m"),
    "pressinglib.roles.measures": ("shape_measures",),
}
PARAMETERS = {
    "physics.arrival_time": ("xy", "velocity", "target_xy", "alpha_per_s", "top_speed_mps", "reaction_s"),
    "physics.ball_time": ("distance_m", "speed_mps"),
    "physics.loft": ("speed_mps", "angle_deg"),
    "physics.shadow_half_angle": ("distance_m", "reach_m"),
    "physics.gap_limit": ("distance_m", "reach_m", "ball_mps", "reaction_s", "player_mps"),
    "physics.oval_pressure": ("distance_m", "angle_deg", "front_m", "back_m", "q"),
    "physics.pass_coverage": ("distance_m", "offset_m"),
    "physics.interception_probability": ("time_s", "arrival_s", "sigma_s"),
    "physics.total_pressure": ("situation", "model"),
    "physics.control_field": ("situation", "step_m"),
    "plan_press": ("situation", "rulebook"),
    "plan_frames": ("frames", "rulebook"),
    "find_faults": ("situation", "rulebook", "before"),
    "simulate": ("situation", "actions", "rulebook"),
}


@pytest.mark.parametrize(("home", "name"), [(home, name) for home, names in FIXED.items() for name in names])
def test_a_fixed_name_is_where_it_was(home: str, name: str) -> None:
    assert hasattr(importlib.import_module(home), name)


@pytest.mark.parametrize("function", PARAMETERS)
def test_a_fixed_name_takes_what_it_took(function: str) -> None:
    taken = tuple(inspect.signature(operator.attrgetter(function)(pl)).parameters)
    assert taken[:len(PARAMETERS[function])] == PARAMETERS[function]


def test_a_formula_refuses_in_words_however_often_it_is_asked_for() -> None:
    for _ in range(2):
        with pytest.raises(pl.PressingError, match="distance_m of ball_time"):
            pl.physics.ball_time("")
