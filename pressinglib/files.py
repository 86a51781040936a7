"""Files: plain values as JSON, checked with every fault in its place; and any content written whole or not at all."""

from __future__ import annotations

import json
import os
import re
import secrets
import shutil
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Generic, TypeVar

from pressinglib.errors import BadInput, PlainFileError, PressingError, as_text, shown, unwritten

try:
    import fcntl
except ImportError:  # Windows, which deletes no file that is open: what a kill leaves there stays
    fcntl = None  # type: ignore[assignment]

Made = TypeVar("Made")
Values = dict[str, Any]
LITTER = re.compile(r"\.[0-9a-f]{16}\.part")
FAULTS_SHOWN = 40
SHOWN, EXPECTED_SHOWN = 80, 500  # characters of a wrong value, and of what was expected, in a message
DEEPEST = 8  # lists and braces; a session is 6 deep: session, scenes, scene, marks, mark, point


class Checker:
    """Looks over the values of a document and notes every fault with its place: one hides no other.

    >>> check = Checker()
    >>> text(1, 8)(check.at("players").at(3).at("number"), 9)
    >>> check.at("ball").keys({"x": 1, "colour": "red"}, {"x", "y"})
    False
    >>> check.faults
    ['players[3].number: expected a text of 1-8 printable characters; got 9', 'ball.y: missing', ...]
    """

    def __init__(self, place: str = "", outer: Checker | None = None) -> None:
        self.place, self.outer = place, outer
        self.faults: list[str] = []  # at this place and further in

    def at(self, key: str | int) -> Checker:
        """The same, one level further in."""
        step = f"[{key}]" if isinstance(key, int) else f".{short(key)}" if self.place else short(key)
        return Checker(self.place + step, self)

    def note(self, *words: str) -> None:
        """A fault at this place."""
        at: Checker | None = self
        fault = printable(": ".join(filter(None, [self.place, *words])))
        while at is not None:
            at.faults.append(fault)
            at = at.outer

    def expect(self, holds: bool, expected: str, got: str) -> bool:
        """A fault unless it holds."""
        if not holds:
            self.note(f"expected {expected}; got {short(got)}")
        return holds

    def is_named(self, value: Any) -> bool:
        """Whether these are named values."""
        place = self if self.place else self.at("file")
        return place.expect(isinstance(value, dict), "named values in braces", _kind(value))

    def keys(self, value: Any, needed: Iterable[str], optional: Iterable[str] = ()) -> bool:
        """Whether these are named values, all that are needed and no unknown one."""
        if not self.is_named(value):
            return False
        known = {*needed, *optional}
        wrong = dict.fromkeys(sorted({*needed} - set(value)), "missing")
        wrong |= dict.fromkeys(sorted(set(value) - known), f"unknown key; known are {', '.join(sorted(known))}")
        for key, fault in wrong.items():
            self.at(key).note(fault)
        return not wrong

    def fields(self, value: Any, **kinds: Kind | None) -> Values:
        """Named values, each as its kind makes it, None: as it is; none where one lacks or is unknown."""
        return {key: kind(self.at(key), value[key]) if kind else value[key]
                for key, kind in kinds.items()} if self.keys(value, kinds) else {}

    def items(self, value: Any, least: int, most: int, what: str) -> list[tuple[Checker, Any]]:
        """The items of a list that is neither too short nor too long, each with its place; else none."""
        fits = isinstance(value, list) and least <= len(value) <= most
        got = f"{len(value)} of them" if isinstance(value, list) else _kind(value)
        self.expect(fits, f"a list of {least}-{most} {what}", got)
        return [(self.at(place), item) for place, item in enumerate(value)] if fits else []

    def make(self, maker: Callable[..., Made], *given: Any, named: bool = False, **values: Any) -> Made | None:
        """What is made of the values, else its complaint at this place; `named`: with the thing's own name."""
        try:
            return maker(*given, **values)
        except PressingError as error:
            parts = (("expected", short(error.expected, EXPECTED_SHOWN)), ("got", short(error.got)))
            said = "; ".join(f"{word} {text}" for word, text in parts if text)
            self.note(error.what if named or not said else "", said)
            return None


Kind = Callable[[Checker, Any], Any]  # of a value in a document: what is made of it, and what is wrong noted


def that(holds: Callable[[Any], bool], expected: str) -> Kind:
    """A value of which this holds."""
    return lambda check, value: value if check.expect(holds(value), expected, repr(value)) else None


any_text = that(lambda value: isinstance(value, str), "a text")


def text(least: int, most: int, lines: bool = False) -> Kind:
    """A printable text of this length, not only blanks; with line breaks if these are allowed."""
    return lambda check, value: check.make(as_text, value, "", least, most, lines)


def several(kind: Kind, least: int, most: int, what: str) -> Kind:
    """A list of things of one kind."""
    return lambda check, value: tuple(kind(place, one) for place, one in check.items(value, least, most, what))


def made_of(maker: Callable[..., Made], **kinds: Kind | None) -> Callable[[Checker, Any], Made | None]:
    """A thing of named values, each as its kind makes it; nothing, and the faults noted, where one is wrong."""
    def read(check: Checker, values: Any) -> Made | None:
        given = check.fields(values, **kinds)
        return None if check.faults else check.make(maker, named=True, **given)

    return read


def short(text: str, longest: int = SHOWN) -> str:
    """The text, or its beginning."""
    return text if len(text) <= longest else text[: longest - 3] + "..."


def printable(text: str) -> str:
    """Signs that print nothing, or turn the line round, become question marks."""
    return "".join(sign if sign.isprintable() else "?" for sign in text)


def _kind(value: Any) -> str:
    kinds = {dict: "braces", list: "a list", str: "a text", bool: "true or false", type(None): "null"}
    return kinds.get(type(value), "a number")


@dataclass(frozen=True)
class Format(Generic[Made]):
    """A kind of file of plain values (a JSON object with a version): how it is read, checked and written.

    `make` takes the values, whose version is not above this one, and notes what is wrong with them.
    """

    error: type[PlainFileError]
    version: int
    limit_bytes: int
    make: Callable[[Checker, Values], Made | None]

    def load(self, path: str | os.PathLike[str]) -> Made:
        """What is in a file; an error lists every fault with its place, or says why the file cannot be read."""
        return self._parse(self._read(as_path(path)), str(path))

    def save(self, values: Values, path: str | os.PathLike[str]) -> Path:
        """Write values, their version first; a file that is there is replaced as a whole or stays as it was."""
        target = as_path(path)
        try:
            text = json.dumps({"version": self.version, **values}, ensure_ascii=False, allow_nan=False, indent=1)
            data = f"{text}\n".encode()
        except (TypeError, ValueError) as cause:
            raise self.error(str(path), [f"a value that is not text: {cause}"], "give texts as text") from cause
        self._parse(data, str(path))  # what could not be loaded again must not replace a good file
        return write_file(target, data)

    def newest(self, check: Checker, document: Any) -> Made | None:
        """What is made of values of any version."""
        if not check.is_named(document):
            return None
        if _too_deep(document, DEEPEST):
            place = check if check.place else check.at("file")
            place.note(f"expected lists and braces at most {DEEPEST} deep; got deeper ones")
            return None
        version = document.get("version")
        newer = " (get a newer pressinglib)" if type(version) is int and version > self.version else ""
        known = type(version) is int and 1 <= version <= self.version
        if not check.at("version").expect(known, f"a whole number, at most {self.version}", f"{version!r:.40}{newer}"):
            return None
        return self.make(check, {key: value for key, value in document.items() if key != "version"})

    def _parse(self, data: bytes, path: str) -> Made:
        check = Checker()
        document = self._document(check, data, path)
        made = None if check.faults else self.newest(check, document)
        if check.faults or made is None:
            more = [f"and {len(check.faults) - FAULTS_SHOWN} more"] if len(check.faults) > FAULTS_SHOWN else []
            raise self.error(path, check.faults[:FAULTS_SHOWN] + more)
        return made

    def _read(self, path: Path) -> bytes:
        """The content, at most one byte more than the limit."""
        if not os.path.isfile(path):
            found = "a folder, not a file" if os.path.isdir(path) else "no such file"
            raise self.error(str(path), [found], "check the name and the folder")
        try:
            with path.open("rb") as file:
                return file.read(self.limit_bytes + 1)
        except OSError as cause:
            raise self.error(str(path), [str(cause.strerror)], "check the rights of the file") from cause

    def _document(self, check: Checker, data: bytes, path: str) -> Any:
        """The values; what JSON readers let pass is a fault: doubled keys, NaN, Infinity."""
        def pairs(items: list[tuple[str, Any]]) -> Values:
            for key, times in Counter(key for key, _ in items).items():
                if times > 1:
                    check.at(key).note("stands twice in one pair of braces")
            return dict(items)

        if len(data) > self.limit_bytes:
            raise self.error(path, [f"more than {self.limit_bytes // 1000} kB"], "such a file is a few kB: check it")
        try:
            return json.loads(data.decode("utf-8-sig"), object_pairs_hook=pairs,
                              parse_constant=lambda name: check.note(name, "not a number"))
        except UnicodeDecodeError as cause:
            raise self.error(path, ["text that is not UTF-8"], "save it as UTF-8") from cause
        except (ValueError, RecursionError) as cause:
            why = (f"line {cause.lineno}, column {cause.colno}: {cause.msg}" if isinstance(cause, json.JSONDecodeError)
                   else "a number with too many digits" if isinstance(cause, ValueError) else "braces without end")
            raise self.error(path, [f"not JSON: {why}"], "mend the text there, or save it anew") from cause


def _too_deep(value: Any, levels: int) -> bool:
    """Whether lists and braces go deeper; stops at the level that is one too many, so that no depth can hurt."""
    inside = value.values() if isinstance(value, dict) else value if isinstance(value, list) else None
    return inside is not None and (levels == 0 or any(_too_deep(v, levels - 1) for v in inside))


def as_path(value: object) -> Path:
    """A path that a file system can take, else BadInput."""
    try:
        name = os.fsencode(value) if isinstance(value, (str, os.PathLike)) else b""
    except UnicodeEncodeError:  # a lone surrogate
        name = b""
    if not name or b"\0" in name:
        raise BadInput("path", expected="the name of a file or folder", got=shown(value), todo="take another name")
    return Path(os.fsdecode(name))


def write_file(path: str | os.PathLike[str], content: bytes) -> Path:
    """Replace a file as a whole, or leave it as it was; a PressingError says why, and what to do."""
    target = as_path(path)
    try:
        with beside(target) as unfinished:
            unfinished.write_bytes(content)
    except OSError as error:
        raise unwritten(f"file {path}", error) from error
    return target


def made_folder(folder: Path) -> Path:
    """A folder, made if it is not there yet; a PressingError if it cannot be."""
    try:
        as_path(folder).mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise unwritten(f"folder {folder}", error) from error
    return folder


@contextmanager
def beside(target: Path) -> Iterator[Path]:
    """A path to write to, which takes the target's place in one step: a kill leaves the old file or the new.

    A link is followed; the rights are those of the old file, else what the user's mask leaves.
    """
    target = Path(os.path.realpath(as_path(target)))
    sweep(target.parent)
    with _locked(target) as path:
        yield path
        with path.open("r+b") as file:
            os.fsync(file.fileno())
        if target.exists():
            shutil.copymode(target, path)
        os.replace(path, target)


def sweep(folder: Path) -> None:
    """Away with what killed writers have left in a folder: nobody holds its lock any more."""
    for path in folder.glob(".*.part") if fcntl is not None else ():
        if LITTER.fullmatch(path.name) and path.is_file() and not path.is_symlink():
            with suppress(OSError), path.open("rb") as file:
                fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
                path.unlink()


@contextmanager
def _locked(target: Path) -> Iterator[Path]:
    """A new file that nobody sweeps away while it is written; gone afterwards, if it is still there."""
    while True:
        path = target.with_name(f".{secrets.token_hex(8)}.part")
        try:
            file = path.open("xb")
        except OSError as error:
            error.filename = str(target)  # what lies beside it means nothing to a reader
            raise
        if fcntl is None:
            file.close()  # Windows replaces no file that is open
        else:
            with suppress(OSError):  # a disk without locks: nobody can sweep there either
                fcntl.flock(file, fcntl.LOCK_EX)
        if path.exists():
            break
        file.close()  # swept before it had its lock
    try:
        with file:
            yield path
    finally:
        path.unlink(missing_ok=True)


# -- The name of a file from what a person has written: letters, figures, underlines, nothing that leads elsewhere.

LONGEST = 60
TAKEN = re.compile(r"con|prn|aux|nul|com\d|lpt\d")  # names that Windows keeps for itself


def file_name(words: str, otherwise: str = "file") -> str:
    """A name without ending.

    >>> file_name("Who goes, 9 or 10?"), file_name("../../x"), file_name("..."), file_name("con")
    ('who_goes_9_or_10', 'x', 'file', 'con_')
    """
    plain = re.sub(r"[^\w-]+", "_", words.casefold()).strip("_")[:LONGEST] or otherwise
    return f"{plain}_" if TAKEN.fullmatch(plain) else plain
