"""Labels and program numbers: which blocks carry a label, in the program that a block is in."""

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
    programs: Mapping[int, Sequence[int]]
    """Indices of the blocks that carry an O number, by that number."""

    def near(self, block: int, label: int) -> Sequence[int]:
        """Indices of the blocks in the section of `block` that carry the label."""
        return self.carriers.get((self.section[block], label), ())


def labels_of(program: Program) -> Labels:
    """The labels of every section of a program and of the files linked to it."""
    section: list[int] = []
    carriers: dict[tuple[int, int], list[int]] = {}
    programs: dict[int, list[int]] = {}
    number, file = 0, ""
    for block in program.blocks:
        names = [word for word in block.words if word.letter == "O"] if block.is_heading else []
        number += bool(names) or block.file != file
        file = block.file
        for word in names:
            if word.number is not None and word.number == int(word.number):
                programs.setdefault(int(word.number), []).append(block.index)
        section.append(number)
        if block.label is not None:
            carriers.setdefault((number, block.label), []).append(block.index)
    return Labels(section, carriers, programs)
