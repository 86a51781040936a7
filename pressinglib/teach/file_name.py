"""The name of a file from what a person has written: letters, figures, underlines, nothing that leads elsewhere."""

from __future__ import annotations

import re

LONGEST = 60
TAKEN = re.compile(r"con|prn|aux|nul|com\d|lpt\d")  # names that Windows keeps for itself


def file_name(words: str, otherwise: str = "file") -> str:
    """A name without ending.

    Examples
    --------
    >>> file_name("Who goes, 9 or 10?"), file_name("../../x"), file_name("..."), file_name("con")
    ('who_goes_9_or_10', 'x', 'file', 'con_')
    """
    plain = re.sub(r"[^\w-]+", "_", words.casefold()).strip("_")[:LONGEST] or otherwise
    return f"{plain}_" if TAKEN.fullmatch(plain) else plain
