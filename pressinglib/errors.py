"""Every error a user can meet: what was expected, what came, what to do."""

from __future__ import annotations

import errno
from collections.abc import Sequence


class PressingError(Exception):
    """The root of all errors of this library.

    Parameters
    ----------
    what : str
        The thing that is wrong, in a few words ("slot of player 9").
    expected, got, todo : str, optional
        What was expected, what came, what to do. They stay readable as attributes.

    Examples
    --------
    >>> str(PressingError("ball", expected="two numbers", got="one", todo="give x and y in metres"))
    'ball: expected two numbers; got one. Give x and y in metres.'
    >>> str(PressingError("no players"))
    'no players'
    """

    def __init__(self, what: str, *, expected: str = "", got: str = "", todo: str = "") -> None:
        self.what, self.expected, self.got, self.todo = what, expected, got, todo
        super().__init__(self._sentence())

    def _render_traceback_(self) -> list[str]:
        """What a notebook shows: the sentence, and no lines of code, which a coach cannot use."""
        return [str(self)]

    def _sentence(self) -> str:
        middle = "; ".join(f"{word} {text}" for word, text in (("expected", self.expected), ("got", self.got)) if text)
        head = f"{self.what}: {middle}" if middle else self.what
        words = f"{head}. {self.todo[0].upper()}{self.todo[1:]}." if self.todo else head
        return words.encode("utf-8", "replace").decode()  # half a sign in a name could not be shown


class BadInput(PressingError, ValueError):
    """A value from outside is not one the library can work with."""


class UnknownName(PressingError, TypeError):
    """A name (of a rule, a setting, a slot ...) is not one of those that exist."""

    def __init__(self, kind: str, name: object, known: Sequence[str], todo: str = "check the spelling") -> None:
        self.name, self.known = name, tuple(known)
        super().__init__(kind, expected="one of " + ", ".join(self.known), got=repr(name), todo=todo)


class UnknownSlot(UnknownName, ValueError):
    """A slot that is not in the list."""


class PlainFileError(PressingError, ValueError):
    """A file of plain values cannot be read or written; `problems` lists every fault with its place."""

    kind = "file"

    def __init__(self, path: str, problems: Sequence[str], todo: str = "mend these places and load again") -> None:
        self.path, self.problems = path, tuple(problems)
        super().__init__(f"{self.kind} {path}", got="; ".join(self.problems), todo=todo)


class SceneFileError(PlainFileError):
    """A file of a scene, or of a session."""

    kind = "scene file"


class ExerciseFileError(PlainFileError):
    """A file of an exercise."""

    kind = "exercise file"


class AnswerFileError(PlainFileError):
    """A file of a learner's answers."""

    kind = "answer file"


REMEDIES = {errno.ENOSPC: "make room on the disk", errno.EDQUOT: "make room on the disk",
            errno.ENAMETOOLONG: "take a shorter name", errno.EINVAL: "take another name",
            errno.ETIMEDOUT: "try again in a moment"}


def unwritten(what: str, error: OSError) -> PressingError:
    """Why something could not be written, and what to do."""
    todo = REMEDIES.get(error.errno or 0, "choose a folder that you can write to, and close the file if it is open")
    return PressingError(what, got=error.strerror or str(error), todo=todo)


class RuleError(PressingError):
    """An analyst's own rule failed; says which rule, on which picture, and why."""

    def __init__(self, rule: str, scene: str, cause: object, todo: str = "mend the rule and try again") -> None:
        self.rule, self.scene, self.cause = rule, scene, cause
        super().__init__(f"rule {rule} on {scene}", got=str(cause), todo=todo)
