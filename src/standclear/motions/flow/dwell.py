"""A wait between two blocks: it moves nothing and takes time."""

from __future__ import annotations

from collections.abc import Mapping

from standclear.blocks.program import Block, Word
from standclear.motions.run import Run
from standclear.motions.table import Dwell

_PER_SECOND = 1000
"""P counts thousandths of a second, and so does an X or U read in increments; common practice, no
source."""


def note_dwell(run: Run, block: Block, words: Mapping[str, Word]) -> None:
    """Notes how long G04 waits by its X, U or P, in seconds; without a number, nothing is known
    and nothing noted."""
    word = next((words[letter] for letter in "XUP" if letter in words), None)
    if not run.emitting or word is None or word.number is None or word.number < 0:
        return
    in_seconds, in_thousandths = float(word.number), float(word.number) / _PER_SECOND
    if word.has_point:
        seconds = (in_seconds, in_seconds)
    elif word.letter == "P":
        seconds = (in_thousandths, in_thousandths)
    else:
        stated = run.control.number_without_point
        seconds = (
            in_seconds if stated == "unit" else in_thousandths,
            in_thousandths if stated == "increment" else in_seconds,
        )
    run.dwells.append(Dwell(len(run.rows), block.index, seconds))
