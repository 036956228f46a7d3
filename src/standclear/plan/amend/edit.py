"""Words put in place of others, in memory: every other byte of the program stays."""

from __future__ import annotations

from collections.abc import Mapping

from standclear.blocks.program import Program

Edits = Mapping[tuple[int, int], str]
"""(index of a block, index of a word in it) -> the word's new text."""


def edited(program: Program, edits: Edits) -> bytes:
    """The program's own file with the new words in place.

    Raises ValueError where a word does not stand in its block as the program says.
    """
    out: list[bytes] = []
    line, before = 0, 0
    for block in program.own_blocks:
        if block.line != line:
            line, before = block.line, 0
        raw = block.raw
        # From the last word to the first, so that places in front of a change still hold.
        for number, word in reversed(list(enumerate(block.words))):
            new = edits.get((block.index, number))
            if new is None:
                continue
            start = word.column - 1 - before
            end = start + len(word.text)
            if raw[start:end] != word.text.encode("latin-1"):
                raise ValueError(f"{word.text} does not stand at column {word.column}")
            raw = raw[:start] + new.encode("latin-1") + raw[end:]
        out.append(raw)
        before += len(block.raw)
    return b"".join(out)
