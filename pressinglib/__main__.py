"""``python -m pressinglib``: the lessons in JupyterLab (as ``pressinglib-lessons``), or a command on match data."""

from __future__ import annotations

import argparse
import os
import shutil
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

from pressinglib.cli import (
    CLEAN,
    FAILED,
    Command,
    add_compare,
    add_find,
    add_import,
    add_plan,
    add_rules,
    add_season,
    compared,
    run_find,
    run_import,
    run_plan,
    run_season,
    say,
    write_rows,
)
from pressinglib.errors import BadInput, PressingError
from pressinglib.field.scene_file import load_scene
from pressinglib.field.situation import Situation

HOME = Path(__file__).parent
FIRST = "00_*.ipynb"
HELP = """python -m pressinglib                 open the lessons in JupyterLab (so does pressinglib-lessons)
python -m pressinglib COMMAND --help  what a command does and asks for

commands on match data:
  import   read a match and keep it in a folder
  plan     plan a whole match: tables of frames, players, lanes, gaps and faults
  season   plan many matches, on this machine or by a scheduler
  find     teachable moments of a planned match
  picture  draw a frame of a match, or a scene, with its plan
  compare  rules of your own against the stock rules
"""


def lessons_folder() -> Path:
    """The folder to work in: the notebooks of a clone as they lie, or a copy of the packaged ones."""
    packaged = HOME / "_notebooks"
    if packaged.is_dir():
        return lay_out(packaged, Path.cwd() / "pressinglib-lessons")
    return HOME.parent / "notebooks"


def lay_out(source: Path, folder: Path) -> Path:
    """Copy what is not in `folder` yet; what a learner has there already stays as it is."""
    for original in sorted(path for path in source.rglob("*") if path.is_file()):
        copy = folder / original.relative_to(source)
        if not copy.exists():
            copy.parent.mkdir(parents=True, exist_ok=True)
            # Under another name first: a copy that was broken off must not pass for a lesson the learner changed.
            unfinished = copy.with_name(copy.name + ".part")
            shutil.copyfile(original, unfinished)
            unfinished.replace(copy)
    return folder


def first_lesson(folder: Path) -> Path:
    """The notebook to open."""
    for lesson in sorted(folder.glob(FIRST)):
        return lesson
    raise SystemExit(f"No lesson {FIRST} in {folder}. Install pressinglib again, with its notebooks.")


def main(arguments: Sequence[str] | None = None) -> None:
    """Run a command, or start JupyterLab on this machine only, behind a fresh token, on lesson 00.

    What follows and is no command goes on to JupyterLab.
    """
    given = sys.argv[1:] if arguments is None else list(arguments)
    if given[:1] in (["-h"], ["--help"]):
        sys.stdout.write(HELP)
    elif given and given[0] in commands():
        raise SystemExit(run_command(given[0], given[1:]))
    else:
        open_lessons(given)


def open_lessons(given: Sequence[str]) -> None:
    """Start JupyterLab on lesson 00."""
    try:
        from jupyterlab.labapp import LabApp
    except ImportError:
        raise SystemExit("The lessons need JupyterLab. Install it with: pip install 'pressinglib[lessons]'") from None
    try:
        lesson = first_lesson(lessons_folder())
    except OSError as cause:
        raise SystemExit(f"The lessons cannot be copied: {cause}. Start in a folder that you may write to.") from None
    # The kernel of this installation, even where the user has one of the same name elsewhere.
    os.environ.setdefault("JUPYTER_PREFER_ENV_PATH", "1")
    LabApp.launch_instance([*settings(lesson), *given])


def settings(lesson: Path) -> list[str]:
    """What JupyterLab is told: serve this machine alone, behind the fresh token it makes itself; open `lesson`."""
    # In a container everybody is root, and JupyterLab would refuse to start; it serves only this machine as it is.
    root = hasattr(os, "geteuid") and os.geteuid() == 0
    return [
        "--ServerApp.ip=127.0.0.1",
        f"--ServerApp.root_dir={lesson.parent}",
        f"--LabApp.default_url=/lab/tree/{lesson.name}",
        *(["--ServerApp.allow_root=True"] if root else []),
    ]


# -- commands on match data --------------------------------------------------------------------------------------------


def commands() -> dict[str, tuple[Callable[[argparse.ArgumentParser], None], Command]]:
    """By name: what a command asks for, and what it does."""
    return {"import": (add_import, run_import), "plan": (add_plan, run_plan), "find": (add_find, run_find),
            "season": (add_season, run_season),
            "picture": (add_picture, run_picture), "compare": (add_compare, run_compare)}


def run_command(name: str, given: Sequence[str]) -> int:
    """Run one command; what goes wrong is said in a line on the error stream, and ends with 2."""
    add, run = commands()[name]
    parser = argparse.ArgumentParser(prog=f"python -m pressinglib {name}")
    add(parser)
    told = parser.parse_args(given)
    try:
        return run(told)
    except PressingError as error:
        sys.stderr.write(f"{error}\n")
    except OSError as error:
        sys.stderr.write(f"{error.filename or name}: {error.strerror or error}\n")
    except KeyboardInterrupt:
        sys.stderr.write("stopped; what was finished is kept\n")
    return FAILED


def add_picture(parser: argparse.ArgumentParser) -> None:
    """What `picture` asks for."""
    parser.description = "Draw a frame of a match that was imported, or a scene file, with its plan."
    parser.add_argument("what", type=Path, help="folder made by import, or a scene file .json")
    parser.add_argument("picture", type=Path, help="the picture to write: .png, .svg or .pdf")
    parser.add_argument("--frame", type=int, metavar="N", help="number of the frame of a match")
    parser.add_argument("--no-plan", action="store_true", help="the picture as it is")
    add_rules(parser)


def run_picture(told: argparse.Namespace) -> int:
    """Draw it and say it in words."""
    from pressinglib.data.season import rulebook_of
    from pressinglib.roles.plan import plan_press
    from pressinglib.show.drawing import draw_plan, draw_situation
    from pressinglib.show.export import save_picture

    situation, title = _situation(told)
    rules = rulebook_of(told.settings, told.rules)
    drawing = draw_situation(situation, title) if told.no_plan else draw_plan(
        situation, plan_press(situation, rules), title=title)
    save_picture(drawing, told.picture)
    say(drawing.words)
    return CLEAN


def _situation(told: argparse.Namespace) -> tuple[Situation, str]:
    """The picture that is asked for, and its title."""
    from pressinglib.data import open_match
    from pressinglib.data.match_plan import MatchPlan

    if told.what.suffix == ".json":
        scene = load_scene(told.what)
        return scene.situation, scene.title or told.what.stem
    if told.frame is None:
        raise BadInput("--frame", expected="the number of a frame", got="none", todo="say which frame of the match")
    return MatchPlan.of(open_match(told.what)).situation(told.frame), f"Frame {told.frame}"


def run_compare(told: argparse.Namespace) -> int:
    """Say the differences; write the rows and draw them if asked to."""
    from pressinglib.teach.charts import ComparedPlot

    comparison = compared(told)
    say(comparison)
    if told.to is not None:
        write_rows(comparison, told.to)
    if told.plot is not None:
        told.plot.write_bytes(ComparedPlot(comparison)._repr_png_())
    return CLEAN


if __name__ == "__main__":
    main()
