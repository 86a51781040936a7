"""A bar on the error stream that says how far a long job is; silent where nobody watches."""

from __future__ import annotations

import sys
from types import TracebackType
from typing import Any


class Bar:
    """Shows done of total with tqdm where it is installed, else nothing; to be used with `with`.

    Examples
    --------
    >>> with Bar("planning", quiet=True) as bar:
    ...     bar.show(5, 10)
    """

    def __init__(self, words: str, quiet: bool = False, unit: str = "frames") -> None:
        self.words, self.quiet, self.unit = words, quiet, unit
        self.bar: Any = None

    def __enter__(self) -> Bar:
        return self

    def show(self, done: int, total: int) -> None:
        """So many of so many are done."""
        if self.bar is None and not self.quiet:
            self.bar = _tqdm(self.words, total, self.unit)
        if self.bar is not None:
            self.bar.update(done - self.bar.n)

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None,
                 trace: TracebackType | None) -> None:
        if self.bar is not None:
            self.bar.close()


def _tqdm(words: str, total: int, unit: str) -> Any:
    try:
        from tqdm import tqdm
    except ImportError:
        return None
    return tqdm(total=total, desc=words, unit=f" {unit}", file=sys.stderr, leave=True)
