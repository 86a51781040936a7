"""The house in numbers, with their limits: python -m tests.project.house."""

from __future__ import annotations

import ast
import asyncio
import sys
import tokenize
from collections.abc import Callable, Iterator
from graphlib import CycleError, TopologicalSorter
from io import StringIO
from pathlib import Path
from types import FrameType

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "pressinglib"
LESSONS = PACKAGE / "teach" / "lessons"
LIMITS = {"files": 140, "lines": 25_100, "lines of code": 15_820, "lines of the longest file": 350,
          "files for one plan": 25, "files for one drag message": 40, "files for one Check": 40,
          "circles of imports": 0, "files of fewer than 25 lines of code": 0, "lines of DEVELOPERS.md": 250}
LEAST_CODE = 25
SILENT = {tokenize.COMMENT, tokenize.NL, tokenize.NEWLINE, tokenize.INDENT, tokenize.DEDENT, tokenize.ENDMARKER}


def modules() -> list[Path]:
    """Every module of the library."""
    return sorted(PACKAGE.rglob("*.py"))


def lines_of(path: Path) -> int:
    return len(path.read_text(encoding="utf-8").splitlines())


def code_of(path: Path) -> int:
    """Lines that are neither blank, nor comment, nor docstring."""
    source = path.read_text(encoding="utf-8")
    spoken: set[int] = set()
    for token in tokenize.generate_tokens(StringIO(source).readline):
        if token.type not in SILENT:
            spoken |= set(range(token.start[0], token.end[0] + 1))
    return len(spoken - _docstring_lines(ast.parse(source)))


def _docstring_lines(tree: ast.Module) -> set[int]:
    lines: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef) and ast.get_docstring(node) is not None:
            lines |= set(range(node.body[0].lineno, (node.body[0].end_lineno or 0) + 1))
    return lines


def imports() -> dict[str, set[str]]:
    """Which module imports which, those imported for types or inside a function too."""
    names = {".".join(path.relative_to(ROOT).with_suffix("").parts): path for path in modules()}
    return {name: set(_imported(path, set(names))) - {name} for name, path in names.items()}


def _imported(path: Path, known: set[str]) -> Iterator[str]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            inside = [f"{node.module}.{alias.name}" for alias in node.names]
            yield from (name for name in (*inside, node.module) if name in known)


def circles() -> list[str]:
    """The first circle of imports, in words; none is none."""
    try:
        TopologicalSorter(imports()).prepare()
    except CycleError as error:
        return [" <- ".join(error.args[1])]
    return []


def files_for(act: Callable[[], object], before: Callable[[], object]) -> set[str]:
    """The files of the library whose functions run in an act; one like it goes before, for what is done but once."""
    seen: set[str] = set()

    def look(frame: FrameType, event: str, _: object) -> None:
        name = frame.f_code.co_filename
        if event == "call" and name.startswith(str(PACKAGE)) and frame.f_code.co_name != "<module>":
            seen.add(str(Path(name).relative_to(PACKAGE)))

    before()
    others = sys.getprofile()
    sys.setprofile(look)
    try:
        act()
    finally:
        sys.setprofile(others)
    return seen


def one_plan() -> set[str]:
    """A plan with its words and tables."""
    from pressinglib import plan_press, scene

    pictures = [scene("worked scene").with_ball((x, 10.0)) for x in (35.0, 34.5)]
    return files_for(*(lambda picture=picture: plan_press(picture).to_dict() for picture in pictures))


def one_drag() -> set[str]:
    """A message of the hand, carried out and drawn."""
    from pressinglib import Board, scene

    async def drag(board: Board) -> None:
        said = {"kind": "carry", "team": "pressing", "number": "9", "x": 26, "y": -3, "done": True, "turn": ["1", 1]}
        board.canvas._handle_custom_msg(said, [])
        await asyncio.sleep(0.2)  # it is carried out by the loop
        assert board.situation.player("pressing", "9").xy == (26.0, -3.0)

    boards = [Board(scene("worked scene")) for _ in range(2)]
    return files_for(*(lambda board=board: asyncio.run(drag(board)) for board in boards))


def one_check() -> set[str]:
    """*Check* pressed on an exercise that has an answer."""
    from pressinglib import TryIt
    from pressinglib.teach.lessons.lesson_00 import place_the_cover

    blocks = [TryIt(place_the_cover), TryIt(place_the_cover.variant(1))]
    for block in blocks:
        block.board.move("pressing", "8", (20.0, -9.0))
    return files_for(*(block.buttons["Check"].click for block in blocks))


def measured() -> dict[str, int]:
    """Every number that has a limit."""
    paths = modules()
    return {
        "files": len(paths),
        "lines": sum(map(lines_of, paths)),
        "lines of code": sum(map(code_of, paths)),
        "lines of the longest file": max(map(lines_of, paths)),
        "files of fewer than 25 lines of code": len(list(slight())),
        "circles of imports": len(circles()),
        "files for one plan": len(one_plan()),
        "files for one drag message": len(one_drag()),
        "files for one Check": len(one_check()),
        "lines of DEVELOPERS.md": lines_of(ROOT / "DEVELOPERS.md"),
    }


def slight() -> Iterator[Path]:
    """Files too small for a room of their own; not lessons, each of which is a whole with a notebook of its own."""
    return (path for path in modules() if path.name != "__init__.py" and path.parent != LESSONS
            and code_of(path) < LEAST_CODE)


def main() -> None:
    """Print rooms, numbers and limits."""
    print(f"{'room':10s}{'files':>7s}{'lines':>8s}{'code':>8s}")
    for room in sorted({path.relative_to(PACKAGE).parts[0] for path in modules() if path.parent != PACKAGE}):
        paths = sorted((PACKAGE / room).rglob("*.py"))
        print(f"{room:10s}{len(paths):7d}{sum(map(lines_of, paths)):8d}{sum(map(code_of, paths)):8d}")
    print()
    for what, count in measured().items():
        print(f"{what:40s}{count:8d}   at most {LIMITS[what]}{'   TOO MANY' if count > LIMITS[what] else ''}")
    print(*circles(), *slight(), sep="\n")


if __name__ == "__main__":
    main()
