"""``python -m pressinglib``: the lessons in JupyterLab (as ``pressinglib-lessons``), or a command on match data."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Sequence
from importlib.util import find_spec
from pathlib import Path

from pressinglib.cli import COMMANDS, HELP, run_command
from pressinglib.errors import PressingError
from pressinglib.files import beside
from pressinglib.lab import HOME, settings, shipped

FIRST = "00_*.ipynb"
TO_PRESENT = "To present without code, install Voila as well: pip install voila"
MISSING = "The lessons need JupyterLab. Install it with: pip install 'pressinglib[lessons]'"


def main(arguments: Sequence[str] | None = None) -> None:
    """Run a command, or start JupyterLab on this machine only, behind a fresh token, on lesson 00.

    What follows and is no command goes on to JupyterLab.
    """
    given = sys.argv[1:] if arguments is None else list(arguments)
    if given[:1] in (["-h"], ["--help"]):
        sys.stdout.write(HELP)
    elif given and given[0] in COMMANDS:
        raise SystemExit(run_command(given[0], given[1:]))
    elif given[:1] == ["--pages"]:
        write_pages(given[1:])
    elif given[:1] == ["--present"]:
        open_lessons(given[1:], "voila/render")
    else:
        open_lessons(given)


def open_lessons(given: Sequence[str], shown: str = "lab/tree") -> None:
    """Start JupyterLab on lesson 00, shown by itself or, to present, as a page without any code."""
    if shown != "lab/tree" and find_spec("voila") is None:
        raise SystemExit(TO_PRESENT)
    try:
        from jupyterlab.labapp import LabApp
    except ImportError:
        raise SystemExit(MISSING) from None
    try:
        lesson = first_lesson(lessons_folder())
    except OSError as cause:
        raise SystemExit(f"The lessons cannot be copied: {cause}. Start in a folder that you may write to.") from None
    # The kernel of this installation, even where the user has one of the same name elsewhere.
    os.environ.setdefault("JUPYTER_PREFER_ENV_PATH", "1")
    LabApp.launch_instance([*settings(lesson, shown), *given])


def write_pages(given: Sequence[str]) -> None:
    """Write every lesson as a page that opens anywhere, and an index of them."""
    if len(given) != 1:
        raise SystemExit("Say where: pressinglib-lessons --pages FOLDER")
    try:
        from pressinglib.teach.page_exercises import save_lessons

        save_lessons(shipped(), given[0])
    except ImportError:
        raise SystemExit(MISSING) from None
    except PressingError as error:
        raise SystemExit(str(error)) from None


def lessons_folder() -> Path:
    """The folder to work in: the notebooks of a clone as they lie, or a copy of the packaged ones."""
    source = shipped()
    return lay_out(source, Path.cwd() / "pressinglib-lessons") if source.parent == HOME else source


def lay_out(source: Path, folder: Path) -> Path:
    """Copy what is not in `folder` yet; what a learner has there already stays as it is."""
    for original in sorted(path for path in source.rglob("*") if path.is_file()):
        copy = folder / original.relative_to(source)
        if not copy.exists():
            copy.parent.mkdir(parents=True, exist_ok=True)
            # A copy that was broken off must not pass for a lesson that the learner changed.
            with beside(copy) as unfinished:
                shutil.copyfile(original, unfinished)
    return folder


def first_lesson(folder: Path) -> Path:
    """The notebook to open."""
    for lesson in sorted(folder.glob(FIRST)):
        return lesson
    raise SystemExit(f"No lesson {FIRST} in {folder}. Install pressinglib again, with its notebooks.")


if __name__ == "__main__":
    main()
