"""A job with some words changed and some blocks added, proved anew; and what it answers.

A change counts only if it bends no cut: that is seen from the traces, before anything is swept.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from standclear.blocks.program import linked
from standclear.blocks.read import read_program
from standclear.findings.finding import Finding, Severity
from standclear.job.models import Job
from standclear.motions.table import Trace
from standclear.motions.trace import trace_setup
from standclear.plan.amend.changes import NewBlocks, NewWord
from standclear.plan.amend.codes import MENDABLE, WRONG_OFFSET
from standclear.plan.amend.edit import edited, origins
from standclear.plan.amend.same_cuts import kept_in_place, only_calls_moved, same_cuts
from standclear.plan.amend.set_aside import begun_elsewhere, cuts_outside_only, followed_only_now
from standclear.proof.held import Held, hold
from standclear.proof.prove import judge
from standclear.proof.result import JobProof

BLOCKS = -1
"""Stands for a word's index where whole blocks are put in front of the block."""
Key = tuple[str, int, int]
"""(program, index of the block, index of the word or `BLOCKS`), in the program as it stands."""
Spot = tuple[int, int]
"""(index of the set-up, index of the block in the program as it stands)."""
Made = Mapping[Key, tuple[str, "NewWord | NewBlocks"]]
"""What is changed, with the name of the set-up whose finding each was changed for."""


@dataclass(frozen=True)
class Trial:
    """A job with some of its words changed, held and judged."""

    words: Made
    held: Held
    proof: JobProof
    origin: Mapping[str, tuple[int, ...]] = field(default_factory=dict)
    """For programs with blocks added: index of a block -> its index in the program as it stands."""

    def as_it_stands(self, program: str, block: int) -> int:
        """The index that a block of the changed program has in the program as it stands."""
        return self.origin[program][block] if program in self.origin else block

    def is_added(self, program: str, block: int) -> bool:
        """True for a block that was put in."""
        found = self.origin.get(program)
        return found is not None and block + 1 < len(found) and found[block] == found[block + 1]


def changed_programs(base: Held, made: Made) -> tuple[dict[str, bytes], dict[str, tuple[int, ...]]]:
    """The programs of `base` with the changes in place, and where their blocks come from."""
    programs, origin = dict(base.files.programs), {}
    for name in {key[0] for key in made}:
        edits, added = {}, {}
        for (program, block, word), (_, new) in made.items():
            if program != name:
                continue
            if isinstance(new, NewBlocks):
                added[block] = new.texts
            else:
                edits[block, word] = new.text
        program_now = base.programs[name]
        programs[name] = edited(program_now, edits, added)
        if added:
            origin[name] = origins(program_now, added)
    return programs, origin


def proved(
    base: Held, job: Job, made: Made, *, bends: bool = False, sunk: frozenset[Spot] = frozenset()
) -> Trial | None:
    """`job` with the changes in place; None where that bends a cut of `base`.

    With `bends` a cut may run another way, so long as all cuts of a set-up together leave the same
    section, but for metal further out than the tool stands after any rapid; or so long as nothing
    of a set-up but calls of cycles moved, which are told their shape elsewhere. Grooves, holes and
    threads stay where they are, also such as an earlier cut left nothing of. Feeds of the blocks
    `sunk` begin inside metal: what they cut on their line from there on was never meant.
    """
    programs, origin = changed_programs(base, made)
    traces = traces_of(base, job, programs, origin)
    if not _all_traces(kept_in_place if bends else same_cuts, base, traces):
        return None
    held = hold(replace(base.files, job=job, programs=programs), base)
    proof = judge(held, job)
    for index, (old, new, seen, setup) in enumerate(
        zip(base.readings, held.readings, traces, proof.setups, strict=True)
    ):
        metal = setup.metal_before
        blocks = [block for of, block in sunk if of == index]
        for a, b, trace in zip(old, new, seen, strict=True):
            if bends and only_calls_moved(a.trace, trace):
                continue
            were, are = begun_elsewhere(a.trace, trace, blocks)
            are = np.union1d(are, followed_only_now(a.trace, trace))
            if not cuts_outside_only(a, b, metal, are):
                return None
            if bends and not cuts_outside_only(b, a, metal, were):
                return None
    return Trial(made, held, proof, origin)


def traces_of(
    base: Held, job: Job, programs: Mapping[str, bytes], origin: Mapping[str, tuple[int, ...]]
) -> tuple[tuple[Trace, ...], ...]:
    """What each set-up does with `programs`, blocks numbered as in the programs of `base`."""
    found: list[tuple[Trace, ...]] = []
    others = [read_program(programs[name], name) for name in job.subprograms]
    for index, setup in enumerate(job.setup):
        name = setup.program
        if programs == base.files.programs:
            found.append(tuple(r.trace for r in base.readings[index]))
            continue
        program = linked(read_program(programs[name], name), others)
        traces = trace_setup(program, job, index)
        found.append(tuple(renumbered(t, origin.get(name)) for t in traces))
    return tuple(found)


def renumbered(trace: Trace, origin: tuple[int, ...] | None) -> Trace:
    """The trace with its blocks numbered as in the program that they come from."""
    if origin is None:
        return trace
    known = np.array([*origin, -1], dtype=np.int32)  # -1 stays -1
    motions = replace(
        trace.motions,
        block=known[trace.motions.block],
        profile=known[trace.motions.profile],
    )
    calls = tuple(replace(call, block=origin[call.block]) for call in trace.calls)
    return replace(trace, motions=motions, calls=calls)


def _all_traces(
    alike: Callable[[Trace, Trace], bool], old: Held, new: tuple[tuple[Trace, ...], ...]
) -> bool:
    return all(
        len(a) == len(b) and all(alike(x.trace, y) for x, y in zip(a, b, strict=True))
        for a, b in zip(old.readings, new, strict=True)
    )


def size(held: Held) -> int:
    """Motions of all readings."""
    return sum(len(r.trace.motions) for readings in held.readings for r in readings)


def stop_findings(trial: Trial, job: Job) -> set[tuple[Spot | str, str]]:
    """Stops, and what makes the job unproven."""
    return {
        (spot_of(trial, f, job) or f.setup, f.code)
        for f in trial.proof.findings
        if f.severity is Severity.STOP or f.unproven
    }


def stops_elsewhere(
    trial: Trial, job: Job, codes: frozenset[str] = MENDABLE
) -> set[tuple[Spot | str, str]]:
    """Stops, and what makes the job unproven, that no clearance point is to blame for."""
    return {each for each in stop_findings(trial, job) if each[1] not in codes}


def is_open(finding: Finding, codes: frozenset[str] = MENDABLE) -> bool:
    """True for a finding that asks for a change, and that a clearance point may be to blame for:
    one of `codes`."""
    return (
        finding.code in codes
        and finding.severity > Severity.NOTE
        and not finding.allowed_because
        and finding.place is not None
    )


def open_spots(trial: Trial, job: Job, codes: frozenset[str] = MENDABLE) -> set[tuple[Spot, str]]:
    """Where clearance points may be to blame, and for what."""
    findings = trial.proof.findings
    elsewhere = {f.setup for f in findings if f.code == WRONG_OFFSET}
    spots = (
        (spot_of(trial, f, job), f.code)
        for f in findings
        if is_open(f, codes) and f.setup not in elsewhere
    )
    return {(spot, code) for spot, code in spots if spot is not None}


def spot_of(trial: Trial, finding: Finding, job: Job) -> Spot | None:
    """The place of a finding in the program as it stands."""
    if finding.place is None:
        return None
    for index, setup in enumerate(job.setup):
        if setup.name == finding.setup:
            return index, trial.as_it_stands(setup.program, finding.place.block)
    return None


def weighty(proof: JobProof) -> tuple[Finding, ...]:
    """Findings above `note` that the job does not allow."""
    return tuple(f for f in proof.findings if f.severity > Severity.NOTE and not f.allowed_because)
