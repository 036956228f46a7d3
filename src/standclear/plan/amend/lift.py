"""Clearance values lifted into variables at the head of a program: next month's bar is one number.

`#101` is the largest diameter of the bar over its run-out, `#102` on how far the raw face stands
out in front of part zero in each set-up. A clearance word is then that number and the air it had.
Offered only where the program moves as it did, row by row of the table of motions.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from standclear.blocks.program import Block, Program
from standclear.job.models import Job
from standclear.motions.flow.variables import COMMONS
from standclear.motions.table import Kind
from standclear.plan.amend.edit import begins_a_line, edited, origins
from standclear.plan.amend.level import same_motions
from standclear.plan.amend.trial import traces_of
from standclear.plan.amend.words import R, Site, Z, site_before
from standclear.proof.held import Held
from standclear.proof.result import JobProof


@dataclass(frozen=True, slots=True)
class Lifted:
    """One word that now goes by a variable."""

    setup: str
    program: str
    line: int
    column: int
    old: str
    new: str


@dataclass(frozen=True, slots=True)
class Variable:
    """One number at the head of a program."""

    program: str
    name: str
    """Such as `#101`."""
    what: str
    block: str
    """The block that sets it."""


@dataclass(frozen=True)
class Lift:
    """What was lifted; empty, with the reason, where the motions could not be proved the same."""

    words: tuple[Lifted, ...]
    variables: tuple[Variable, ...]
    programs: dict[str, bytes]
    why_not: str = ""


def lift(held: Held, job: Job, proof: JobProof) -> Lift:
    """The clearance words of `held`, which answered `proof` for `job`, in variables."""
    words: list[Lifted] = []
    variables: list[Variable] = []
    programs = dict(held.files.programs)
    origin: dict[str, tuple[int, ...]] = {}
    for name in dict.fromkeys(setup.program for setup in job.setup):
        program = held.programs[name]
        sites = _sites(held, job, proof, name)
        head = _after_heading(program)
        free = _free_numbers(held, len(job.setup) + 1)
        if not sites or head is None or len(free) <= len(job.setup):
            continue
        named: dict[tuple[int, int], str] = {}
        bases = _bases(proof, job, sites)
        for (index, axis), value in sorted(bases.items(), key=_as_listed):
            number = free[0] if axis == R else free[1 + index]
            text = f"#{number}={_plain(value)}"
            what = "BAR" if axis == R else f"FACE ALLOWANCE {index + 1}"
            named[index, axis] = f"#{number}"
            if all(v.block != f"{text} ({what})" for v in variables if v.program == name):
                variables.append(Variable(name, f"#{number}", what, f"{text} ({what})"))
        edits: dict[tuple[int, int], str] = {}
        for (index, site), stands in sites.items():
            word = program.blocks[site.block].words[site.word]
            base = bases[index, site.axis]
            assert word.number is not None
            more = word.number - base
            sign = "-" if more < 0 else "+"
            text = f"{word.letter}[{named[index, site.axis]}{sign}{_plain(abs(more))}]"
            edits[site.block, site.word] = text
            words.append(Lifted(stands, name, word.line, word.column, word.text, text))
        added = {head.index: tuple(v.block for v in variables if v.program == name)}
        programs[name] = edited(program, edits, added)
        origin[name] = origins(program, added)
    if not words:
        return Lift((), (), {}, "no word of a plain rapid gives a clearance point here")
    why = _differs(held, job, programs, origin)
    if why:
        return Lift((), (), {}, why)
    changed = {n: d for n, d in programs.items() if d != held.files.programs[n]}
    return Lift(tuple(words), tuple(variables), changed)


def _differs(
    held: Held,
    job: Job,
    programs: Mapping[str, bytes],
    origin: Mapping[str, tuple[int, ...]],
) -> str:
    """Why the programs do not move as those of `held`; empty where they do."""
    for index, new in enumerate(traces_of(held, job, programs, origin)):
        old = [reading.trace for reading in held.readings[index]]
        same = len(old) == len(new) and all(
            same_motions(a.motions, b.motions)
            and a.reading == b.reading
            and a.tools == b.tools
            and [f.code for f in a.findings] == [f.code for f in b.findings]
            for a, b in zip(old, new, strict=True)
        )
        if not same:
            return (
                f"set-up {job.setup[index].name} is not proved to move the same with variables: "
                "the number may not be known where it starts"
            )
    return ""


def _sites(held: Held, job: Job, proof: JobProof, name: str) -> dict[tuple[int, Site], str]:
    """Words that place a tool outside the raw blank, by set-up; those that serve two set-ups are
    left out."""
    found: dict[tuple[int, Site], str] = {}
    for index, setup in enumerate(proof.setups):
        if job.setup[index].program != name:
            continue
        limits = {R: setup.raw.bounds[3], Z: setup.raw.bounds[2]}
        for reading in held.readings[index]:
            motions = reading.trace.motions
            for row in range(len(motions)):
                if motions.kind[row] != Kind.RAPID or motions.call[row] >= 0:
                    continue
                for axis in (R, Z):
                    site = site_before(setup.program, motions, row + 1, axis, job)
                    # A variable is the bar or the face itself: nothing may be added to it.
                    if site is None or site.shift or site.mm < limits[axis]:
                        continue
                    word = setup.program.blocks[site.block].words[site.word]
                    if word.has_point:
                        found[index, site] = setup.name
    owners: dict[tuple[int, int], set[int]] = {}
    for index, site in found:
        owners.setdefault((site.block, site.word), set()).add(index)
    return {key: v for key, v in found.items() if len(owners[key[1].block, key[1].word]) == 1}


def _bases(
    proof: JobProof, job: Job, sites: Mapping[tuple[int, Site], str]
) -> dict[tuple[int, int], Decimal]:
    """What each variable is worth, in the program's unit: the raw blank's outermost diameter, alike
    in all set-ups, and where its face stands at most."""
    found: dict[tuple[int, int], Decimal] = {}
    widest = max(setup.raw.bounds[3] for setup in proof.setups)
    for index, site in sites:
        # One programmed unit of the coordinate, mm: the least step times ten to the decimals.
        setup = proof.setups[index]
        word = setup.program.blocks[site.block].words[site.word]
        places = len(word.value_text.partition(".")[2])
        unit = site.step.scaleb(places)
        outermost = widest if site.axis == R else setup.raw.bounds[2]
        value = Decimal(repr(round(outermost, 6))) / unit
        inch = job.units == "inch"
        digits = Decimal("0.0001") if inch else Decimal("0.001")
        found[index, site.axis] = value.quantize(digits, rounding=ROUND_CEILING)
    return found


def _as_listed(each: tuple[tuple[int, int], Decimal]) -> tuple[int, int]:
    (index, axis), _ = each
    return (0, 0) if axis == R else (1, index)


def _after_heading(program: Program) -> Block | None:
    """The first block behind the head of the program."""
    for block in program.own_blocks:
        if block.words and not block.is_heading and begins_a_line(program, block):
            return block
    return None


def _free_numbers(held: Held, count: int) -> list[int]:
    """Common variables that no program of the job names, nor its files."""
    taken = {
        int(n) for data in held.files.programs.values() for n in re.findall(rb"#\s*(\d+)", data)
    }
    if any(b"#[" in data for data in held.files.programs.values()):
        return []
    numbers = [n for n in COMMONS[0] if n > COMMONS[0][0] and n not in taken]
    return numbers[:count]


def _plain(value: Decimal) -> str:
    """With a point always, and no needless zeros: `48.2`, `3.`."""
    whole, _, part = f"{value:f}".partition(".")
    return f"{whole}.{part.rstrip('0')}"
