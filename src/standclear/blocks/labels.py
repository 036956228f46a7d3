"""Labels of a file: which blocks carry a label, in the program of the file that a block is in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from standclear.blocks.program import Program


@dataclass(frozen=True, slots=True)
class Labels:
    """A file may hold several programs, each from its O word to the next: its sections."""

    section: Sequence[int]
    """For each block the number of its section."""
    carriers: Mapping[tuple[int, int], Sequence[int]]
    """Indices of the blocks that carry a label, by (section, label)."""

    def near(self, block: int, label: int) -> Sequence[int]:
        """Indices of the blocks in the section of `block` that carry the label."""
        return self.carriers.get((self.section[block], label), ())


def labels_of(program: Program) -> Labels:
    """The labels of every section of a file."""
    section: list[int] = []
    carriers: dict[tuple[int, int], list[int]] = {}
    number = 0
    for block in program.blocks:
        number += any(word.letter == "O" for word in block.words)
        section.append(number)
        if block.label is not None:
            carriers.setdefault((number, block.label), []).append(block.index)
    return Labels(section, carriers)
