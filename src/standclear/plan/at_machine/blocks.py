"""The blocks that stand a tool at a clearance point by manual data input."""

from __future__ import annotations

from standclear.blocks.program import Program
from standclear.job.models import Job, Machine
from standclear.motions.table import Kind, Motions, Trace
from standclear.proof.result import SetupProof

ABSOLUTE_BY_WORD = ("cycles-g77", "cycles-g20")
"""Families of words in which G90 and G91 say whether X and Z are absolute."""
SHIFTS = (10, 50, 52, 92)
"""G words that, with an axis word in their block, set or shift coordinates."""


def shifts_coordinates(program: Program, motions: Motions) -> int | None:
    """Line of the first block of the set-up's way that sets or shifts coordinates; None where
    none does, so that what is keyed in counts from the work offset alone."""
    if len(motions) == 0:
        return None
    seen = motions.block[motions.block >= 0]
    for block in program.blocks[: int(seen.max(initial=-1)) + 1]:
        letters = {word.letter for word in block.words}
        numbers = {int(w.number) for w in block.words if w.letter == "G" and w.number is not None}
        if numbers & set(SHIFTS) and letters & set("XZUW"):
            cycle = 92 in numbers and (letters & {"F", "E"})
            if not cycle:
                return block.line
    return None


def blocks_to_stand(
    job: Job, index: int, setup: SetupProof, motion: int, first: str
) -> tuple[str, ...]:
    """One axis a block, the unit, offset and tool of the set-up before them."""
    motions = setup.trace.motions
    z, r = motions.start[motion].tolist()
    machine = job.machine
    assert isinstance(machine, Machine)
    scale = 1.0 if machine.control.x_words == "radius" else 2.0
    words = {"X": f"X{_number(scale * r, job)}", "Z": f"Z{_number(z, job)}"}
    second = "Z" if first == "X" else "X"
    return (
        "M05",
        *_unit_word(setup.program, machine),
        *(["G90"] if machine.control.cycle_words in ABSOLUTE_BY_WORD else []),
        "G40",
        *(["G28 U0. W0."] if machine.home == "beyond" else []),
        job.setup[index].offset,
        _tool_word(setup.program, setup.trace, int(motions.tool[motion])),
        f"G00 {words[first]}",
        f"G00 {words[second]}",
    )


def _number(mm: float, job: Job) -> str:
    """As it is keyed in: with its point, no needless zeros."""
    places, scale = (4, 25.4) if job.units == "inch" else (3, 1.0)
    text = f"{mm / scale:.{places}f}".rstrip("0")
    return "0." if text in ("-0.", "0.") else text


def _unit_word(program: Program, machine: Machine) -> tuple[str, ...]:
    """The unit word that the program gives first, if it gives one."""
    units = (70, 71) if machine.control.cycle_words == "cycles-g20" else (20, 21)
    for block in program.blocks:
        for word in block.words:
            if word.letter == "G" and word.number is not None and word.number in units:
                return (word.text,)
    return ()


def _tool_word(program: Program, trace: Trace, tool: int) -> str:
    """The word by which the program calls the tool, else station and offset in one word."""
    motions = trace.motions
    for row in (motions.tool == tool).nonzero()[0].tolist():
        block = int(motions.block[row])
        if motions.kind[row] == Kind.APPEAR and block >= 0:
            for word in program.blocks[block].words:
                if word.letter == "T":
                    return word.text
    use = trace.tools[tool]
    return f"T{use.station:02d}{use.offset:02d}"
