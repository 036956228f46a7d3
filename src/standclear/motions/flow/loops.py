"""Loops: which END belongs to which DO, found once from the text."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from standclear.blocks.labels import Labels
from standclear.blocks.program import Program
from standclear.motions.flow.numbers import FlowFault
from standclear.motions.flow.statement import Do, End, read_statements


@dataclass(frozen=True)
class Loops:
    """Indices of the blocks of sound loops; a DO or END in neither table has no partner."""

    end_of: Mapping[int, int]
    do_of: Mapping[int, int]

    def leads_into(self, source: int, target: int) -> bool:
        """True where a jump would enter a loop from outside."""
        return any(
            do < target <= end and not do <= source <= end for do, end in self.end_of.items()
        )


def loops_of(program: Program, labels: Labels) -> Loops:
    """The loops of every section: DO and END of one number, one wholly inside or outside another.

    A DO or END that a switch may take out is in no loop.
    """
    end_of: dict[int, int] = {}
    open_loops: list[tuple[int, int, int]] = []
    for block in program.blocks:
        if not block.statement or block.after_semicolon:
            continue
        try:
            statements = read_statements(block.statement)
        except FlowFault:
            continue
        found = statements[-1] if statements else None
        section = labels.section[block.index]
        if isinstance(found, Do):
            open_loops = [each for each in open_loops if each[0] == section]
            number = -1 if block.delete_level is not None else found.number
            open_loops.append((section, number, block.index))
        elif isinstance(found, End) and open_loops:
            outer = [number for of, number, _ in open_loops[:-1] if of == section]
            of, number, do = open_loops[-1]
            if (of, number) == (section, found.number) and block.delete_level is None:
                open_loops.pop()
                if number not in outer:
                    end_of[do] = block.index
    return Loops(end_of, {end: do for do, end in end_of.items()})
