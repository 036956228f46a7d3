"""Words of a cycle call as arguments, and what earlier blocks or the job set for it."""

from __future__ import annotations

from standclear.blocks.program import Block
from standclear.motions.meaning.block import SortedBlock
from standclear.motions.meaning.words import Act
from standclear.motions.run import Run, cannot_follow, length, report
from standclear.motions.step import Position
from standclear.motions.way.move import here

_SIBLING = {
    Act.ROUGH_ALONG: Act.ROUGH_ACROSS,
    Act.ROUGH_ACROSS: Act.ROUGH_ALONG,
    Act.PECK_ALONG: Act.PECK_ACROSS,
    Act.PECK_ACROSS: Act.PECK_ALONG,
}


def standing_for_call(run: Run, block: Block) -> Position | None:
    """S, where a cycle is called from; None where it is not known exactly, which is reported."""
    start = here(run)
    if start.position is not None and start.exact:
        return start.position
    report(
        run,
        "position-unknown",
        block,
        "the cycle is called from a place that is not known",
        "go to the clearance point in both axes before the call",
        unproven=True,
    )
    return None


def argument(run: Run, block: Block, words: SortedBlock, letter: str) -> float:
    """A length word of the call as written, mm; 0 where it is left out."""
    word = words.words.get(letter)
    if word is None:
        return 0.0
    value = length(run, block, word, of_cycle=letter in "PQD")
    if value is None:
        cannot_follow(run, block, f"the value of {word.text} is not followed", word=word)
        return 0.0
    return value


def kept(run: Run, kept: dict[Act, float], act: Act, stated: float | None) -> float | None:
    """What an earlier block or the job sets for this cycle; None where neither does.

    Some controls keep one value for both cycles of a pair: what the sibling has set makes the job's
    value doubtful.
    """
    if act in kept:
        return kept[act]
    return None if _SIBLING[act] in kept else stated
