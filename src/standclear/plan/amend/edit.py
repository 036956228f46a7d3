"""Words put in place of others and blocks put in front of others, in memory: every other byte of
the program stays."""

from __future__ import annotations

from collections.abc import Mapping

from standclear.blocks.program import Block, Program

Edits = Mapping[tuple[int, int], str]
"""(index of a block, index of a word in it) -> the word's new text."""
Added = Mapping[int, tuple[str, ...]]
"""Index of a block -> the text of each block put in front of it, without line end."""
NOTHING_ADDED: Added = {}


def edited(program: Program, edits: Edits, added: Added = NOTHING_ADDED) -> bytes:
    """The program's own file with the new words and blocks in place.

    Raises ValueError where a word does not stand in its block as the program says, or where a
    block would be put into the middle of a line.
    """
    out: list[bytes] = []
    line, before = 0, 0
    for block in program.own_blocks:
        if block.index in added:
            if not begins_a_line(program, block):
                raise ValueError(f"line {block.line} begins before block {block.index}")
            end = line_end(program, block)
            out += [text.encode("latin-1") + end for text in added[block.index]]
        if block.line != line:
            line, before = block.line, 0
        words = {k: text for (index, k), text in edits.items() if index == block.index}
        out.append(_with_words(block, words, before))
        before += len(block.raw)
    return b"".join(out)


def block_with(program: Program, block: Block, words: Mapping[int, str]) -> str:
    """The block as a reader sees it, with new texts for some of its words."""
    before, at = 0, block.index
    while at > 0 and program.blocks[at - 1].line == block.line and not program.blocks[at - 1].file:
        at -= 1
        before += len(program.blocks[at].raw)
    return _with_words(block, words, before).decode("latin-1").strip()


def _with_words(block: Block, words: Mapping[int, str], before: int) -> bytes:
    """The block's bytes; `before` signs of its line stand in front of it."""
    raw = block.raw
    # From the last word to the first, so that places in front of a change still hold.
    for number in sorted(words, reverse=True):
        word, new = block.words[number], words[number]
        start = word.column - 1 - before
        end_of_word = start + len(word.text)
        if raw[start:end_of_word] != word.text.encode("latin-1"):
            raise ValueError(f"{word.text} does not stand at column {word.column}")
        raw = raw[:start] + new.encode("latin-1") + raw[end_of_word:]
    return raw


def origins(program: Program, added: Added) -> tuple[int, ...]:
    """For each block of the program with `added` put in, the index of the block that it was; an
    added one has that of the block it stands in front of."""
    found: list[int] = []
    for block in program.blocks:
        found += [block.index] * (1 + len(added.get(block.index, ())))
    return tuple(found)


def begins_a_line(program: Program, block: Block) -> bool:
    """True where a block can be put in front of this one: it stands in the program's own file and
    a line ends before it."""
    if block.file or block.index == 0:
        return False
    before = program.blocks[block.index - 1]
    return before.line != block.line and before.raw.endswith((b"\n", b"\r"))


def line_end(program: Program, block: Block) -> bytes:
    """The line end of the block in front of this one."""
    raw = program.blocks[block.index - 1].raw
    return raw[len(raw.rstrip(b"\r\n")) :]
