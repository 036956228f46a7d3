"""The text of a turning program as blocks and words, with nothing of it lost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

LONGEST_SHOWN = 120
"""Signs; blocks of a turning program are far shorter (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Word:
    """An address and its number, as written: `X-12.50`.

    `line` and `column` count from 1. `number` is None where the word carries a `#variable` or an
    `[expression]` (kept in `value_text`) or where it could not be read (`broken`).
    """

    letter: str
    """Upper case, whatever the program's case."""
    value_text: str
    number: Decimal | None
    has_point: bool
    line: int
    column: int
    text: str
    """The word exactly as it stands in the program."""
    broken: str = ""
    """Why the word could not be read; empty for a sound word."""


@dataclass(frozen=True, slots=True)
class Block:
    """One block. `raw` holds every byte from its first to its line end."""

    index: int
    line: int
    raw: bytes
    words: tuple[Word, ...]
    label: int | None = None
    """The N number as a whole number: N0100 is 100."""
    delete_level: int | None = None
    """1 for `/`, 2..9 for `/2`..`/9`, None where the block carries no slash."""
    comments: tuple[str, ...] = ()
    statement: str = ""
    """Text of an assignment or of a flow word (`#1=..`, `IF`, `WHILE`, `GOTO`): read later."""
    after_semicolon: bool = False
    """True for text after `;` on the same line: a comment on some controls, a block on others.
    Text that could only be a comment carries no words."""
    file: str = ""
    """Name of the file it stands in, where that is another one than the program's own."""

    @property
    def is_heading(self) -> bool:
        """True where a program begins or ends: `%` or a sound O word, before any word but N.

        Elsewhere such a sign is a slip of the finger: X4O for X40.
        """
        first = next((word for word in self.words if word.letter != "N"), None)
        if first is None or first.broken:
            return False
        return first.letter == "%" or (first.letter == "O" and bool(first.value_text))

    @property
    def text(self) -> str:
        """The block as a reader sees it: no line end, no blanks around it."""
        return self.raw.decode("latin-1").strip()

    @property
    def shown(self) -> str:
        """The text as a finding quotes it: cut where it is longer than `LONGEST_SHOWN` signs."""
        text = self.text
        return text if len(text) <= LONGEST_SHOWN else text[: LONGEST_SHOWN - 4].rstrip() + " ..."


@dataclass(frozen=True, slots=True)
class Program:
    """A whole file: `b"".join(b.raw for b in program.own_blocks)` is the file.

    The blocks of other files that it may call stand behind its own (`linked`), numbered on, each
    with the name of its file.
    """

    name: str
    blocks: tuple[Block, ...]
    sha256: str

    @property
    def own_blocks(self) -> tuple[Block, ...]:
        """The blocks of the file itself."""
        if not self.blocks or not self.blocks[-1].file:
            return self.blocks
        return tuple(block for block in self.blocks if not block.file)


def linked(program: Program, others: Sequence[Program]) -> Program:
    """The program with the blocks of other files behind its own; a file is linked once."""
    blocks = list(program.blocks)
    for other in {each.name: each for each in others if each.name != program.name}.values():
        for block in other.blocks:
            blocks.append(replace(block, index=len(blocks), file=other.name))
    return replace(program, blocks=tuple(blocks))
