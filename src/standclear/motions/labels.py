"""Labels: the blocks that N words name, looked for in the program that a block belongs to."""

from __future__ import annotations

from standclear.blocks.program import Block, Word
from standclear.motions.run import Run, place_of, report


def find_label(
    run: Run, block: Block, label: int, named_by: str, word: Word | None = None
) -> int | None:
    """Index of the one block that carries the label; None where none or more than one does,
    which is reported.

    `named_by` is how `block` writes the label: `P100`, `GOTO 100`.
    """
    blocks = run.program.blocks
    at = run.labels.near(block.index, label)
    if len(at) == 1:
        return at[0]
    if at:
        report(
            run,
            "label-doubled",
            block,
            f"{named_by} names a label that {len(at)} blocks carry",
            "give each block a label of its own",
            word=word,
            unproven=True,
            lasting=True,
            related=tuple(place_of(run.program, blocks[i]) for i in at),
        )
    else:
        report(
            run,
            "label-missing",
            block,
            f"{named_by} names a label that no block carries",
            f"write N{label} at the block that is meant",
            word=word,
            unproven=True,
            lasting=True,
        )
    return None
