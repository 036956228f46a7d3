"""Insert and holder by their designations (ISO 1832, ISO 5608, ISO 6261) in a comment."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from standclear.draft.text_facts import Comment
from standclear.job.models import Tool
from standclear.tools.build import tool_shape
from standclear.tools.errors import ToolError
from standclear.tools.holder import read_holder
from standclear.tools.insert import read_insert

MOST_PARTS = 3
"""Pieces that a designation may be written in, with spaces between: PCLNR 2525 M12."""
_BETWEEN = re.compile(r"[\s,;:/=()]+")
LEAST_LETTERS = 6


def designations_in(near: Sequence[Comment], *, inside: bool | None) -> tuple[str, str] | None:
    """Insert and holder that one comment names, the first of `near` that names both.

    A boring bar alone is taken for a tool that cuts `inside`, a shank alone for one that does not;
    either where that is not known (None). None where no comment names a pair that fits together.
    """
    for comment in near:
        pieces = [each for each in _BETWEEN.split(comment.text.upper()) if each]
        holder = _first(pieces, read_holder)
        insert = _first(pieces, read_insert)
        if holder is None or insert is None:
            continue
        if inside is not None and inside != (read_holder(holder).kind == "bar"):
            continue
        if _fits(holder, insert):
            return insert, holder
    return None


def _first(pieces: Sequence[str], read: Callable[[str], object]) -> str | None:
    """The first run of pieces that reads as a designation."""
    for start in range(len(pieces)):
        for after in range(start + 1, min(start + MOST_PARTS, len(pieces)) + 1):
            text = "".join(pieces[start:after])
            if len(text) < LEAST_LETTERS:
                continue
            try:
                read(text)
            except ToolError:
                continue
            return text
    return None


def _fits(holder: str, insert: str) -> bool:
    """Whether the two make a tool that can be drawn."""
    try:
        tool_shape(Tool(station=1, insert=insert, holder=holder))
    except ToolError:
        return False
    return True
