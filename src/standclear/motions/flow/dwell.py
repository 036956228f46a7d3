"""A wait between two blocks, or inside a cycle: it moves nothing and takes time."""

from __future__ import annotations

from collections.abc import Mapping

from standclear.blocks.program import Block, Word
from standclear.motions.run import Run
from standclear.motions.table import Dwell

_PER_SECOND = 1000
"""P counts thousandths of a second, and so does an X or U read in increments; common practice, no
source."""

Times = tuple[int, int]
"""How often a wait is made, least and most."""


def note_dwell(
    run: Run, block: Block, words: Mapping[str, Word], letters: str = "XUP", times: Times = (1, 1)
) -> None:
    """Notes how long a block waits by the first of `letters` that it has, in seconds; without a
    number, nothing is known and nothing noted."""
    word = next((words[letter] for letter in letters if letter in words), None)
    seconds = None if word is None else _seconds(run, word)
    if run.emitting and seconds is not None:
        note_wait(run, block, (seconds[0] * times[0], seconds[1] * times[1]))


def note_wait(run: Run, block: Block, seconds: tuple[float, float]) -> None:
    """Notes a wait of so many seconds, least and most."""
    run.dwells.append(Dwell(len(run.rows), block.index, seconds))


def wait_at_bottom(run: Run, words: Mapping[str, Word]) -> tuple[float, float] | None:
    """Seconds that P of a drilling call waits at the bottom; None without a P, or where its number
    is not known."""
    return _seconds(run, words["P"]) if "P" in words else None


def _seconds(run: Run, word: Word) -> tuple[float, float] | None:
    if word.number is None or word.number < 0:
        return None
    in_seconds, in_thousandths = float(word.number), float(word.number) / _PER_SECOND
    if word.has_point:
        return in_seconds, in_seconds
    if word.letter == "P":
        return in_thousandths, in_thousandths
    stated = run.control.number_without_point
    return (
        in_seconds if stated == "unit" else in_thousandths,
        in_thousandths if stated == "increment" else in_seconds,
    )
