"""M words of one machine: they move nothing unless the job says so."""

from __future__ import annotations

from standclear.blocks.program import Block, Word
from standclear.motions.run import Run, cannot_follow

_MOVES = {
    "opens-chuck": "it opens the chuck",
    "pulls-bar": "it pulls the bar",
    "tailstock": "it moves the tailstock, which is not examined",
    "steady": "it moves a steady rest, which is not examined",
    "other": "the job says that it moves something",
}


def meet_machine_word(run: Run, block: Block, number: int, word: Word) -> None:
    """An M word that no standard fixes: what the job says of it, or trust that it moves nothing."""
    stated = next((each for each in run.job.m_words if each.number == number), None)
    if stated is None:
        run.trust(f"M{number} (first on line {word.line}) moves nothing")
    elif stated.does == "nothing":
        run.trust(f"M{number} moves nothing, as the job says")
    elif stated.does == "parts-catcher":
        run.trust(f"M{number} moves the parts catcher, whose way is not examined")
    else:
        cannot_follow(
            run,
            block,
            f"{word.text} is not followed: {_MOVES[stated.does]}",
            "end the set-up before this block, and begin another after it",
            word=word,
        )
