"""Where a program can be taken up again after an edge broke, proved at both ends of what is left.

The broken tool has cut something between nothing and all that it cuts from its call to the next
tool's. What is left on the blank lies between the two, and both are proved: most metal is what
strikes, least metal what comes loose. The part stays clamped, so the restart is proved as one more
set-up in the same clamping, from what was held of the whole run.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from standclear.findings.finding import Finding, Severity, Verdict
from standclear.job.models import Job, Setup, Tool
from standclear.motions.table import Kind
from standclear.plan.later.held_parts import held_part
from standclear.plan.later.replacement import Replaced, replaced_by
from standclear.plan.later.taken_up import blocks_to_key
from standclear.proof.held import Held, HeldReading, hold, tools_of
from standclear.proof.prove import judge
from standclear.proof.result import JobProof

CUT_BEFORE = " (cut before the edge broke)"
"""Added to the name of a set-up for the stretch in front of a restart."""


@dataclass(frozen=True)
class Bound:
    """The job taken up again on one bound of the metal that is left."""

    verdict: Verdict
    findings: tuple[Finding, ...]
    """Above `note`, not allowed by the job, and not there when the job runs through."""


@dataclass(frozen=True)
class Restart:
    """One tool call: what to do after the edge broke that was called there."""

    setup: str
    tool: str
    line: int
    """Where the tool is called."""
    words: str
    from_line: int
    """Where to take up the program; an earlier call where this one relies on what no word keyed
    in brings back. 0 where there is none."""
    from_words: str
    label: int | None
    """The N number of that block."""
    key_in: tuple[str, ...]
    """Blocks to key in first, turret at home."""
    nothing: Bound | None
    """As if the broken tool had cut nothing since its call."""
    everything: Bound | None
    """As if it had cut all that it cuts before the next tool comes."""
    cannot: str = ""
    """Why there is no block, where there is none."""
    replaced: Replaced | None = None
    """With another tool in the station: what it leaves and what to touch off."""

    @property
    def verdict(self) -> Verdict:
        """The worse of the two; unproven where there is no block."""
        if self.nothing is None or self.everything is None:
            return Verdict.UNPROVEN
        return max(self.nothing.verdict, self.everything.verdict, key=lambda v: v.rank)

    @property
    def is_good(self) -> bool:
        """Clear at both bounds, with nothing to mend that the run itself has not."""
        bounds = (self.nothing, self.everything)
        same_metal = self.replaced is None or not self.replaced.cuts_more
        return (
            self.verdict is Verdict.CLEAR
            and same_metal
            and not any(bound.findings for bound in bounds if bound is not None)
        )


def restarts(
    held: Held, job: Job, proof: JobProof, tools: Sequence[Tool] = ()
) -> tuple[Restart, ...]:
    """For each tool call of each set-up where and how to take up the program again, in order.

    held, job, proof: the job as it ran. tools: what stands in their stations from the restart on,
    mm; then only the calls of these stations are answered. Raises JobError where one of them has
    no shape.
    """
    stations = {tool.station for tool in tools}
    new_job = job.model_copy(update={"tools": _with_tools(tools_of(job), tools)})
    new = hold(replace(held.files, job=new_job)) if tools else held
    found = []
    for index, readings in enumerate(held.readings):
        trace = readings[0].trace
        for number, change in enumerate(trace.changes):
            if not tools or trace.tools[change.tool].station in stations:
                found.append(_restart(_Runs(held, job, proof, new, new_job), index, number))
    return tuple(found)


@dataclass(frozen=True)
class _Runs:
    """The job as it ran, and as it goes on."""

    held: Held
    job: Job
    proof: JobProof
    new: Held
    new_job: Job

    @property
    def replaced(self) -> bool:
        return self.new is not self.held


def _with_tools(old: Sequence[Tool], new: Sequence[Tool]) -> list[Tool]:
    by_station = {tool.station: tool for tool in new}
    return [by_station.get(tool.station, tool) for tool in old]


def _restart(runs: _Runs, index: int, number: int) -> Restart:
    reading = runs.held.readings[index][0]
    change = reading.trace.changes[number]
    blocks = runs.held.programs[runs.job.setup[index].program].blocks
    at = blocks[change.block]
    plain = Restart(
        runs.job.setup[index].name,
        reading.names[change.tool],
        at.line,
        at.shown,
        0,
        "",
        None,
        (),
        None,
        None,
    )
    taken, keyed = _first_that_can(runs, index, number)
    if taken < 0:
        return replace(
            plain,
            cannot="no block from here back to the start of the set-up can be searched for: each "
            "relies on what the blocks before it do. Run the set-up from its start",
        )
    start = blocks[reading.trace.changes[taken].block]
    nothing, left = _proved(runs, index, taken, _row(runs, index, number))
    everything, least = _proved(runs, index, taken, _end_of_use(runs, index, number))
    replaced = None
    if runs.replaced:
        replaced = replaced_by(
            tools_of(runs.job)[reading.trace.tools[change.tool].tool],
            tools_of(runs.new_job)[reading.trace.tools[change.tool].tool],
            runs.proof.setups[index],
            (left, least),
        )
    return replace(
        plain,
        from_line=start.line,
        from_words=start.shown,
        label=start.label,
        key_in=keyed,
        nothing=nothing,
        everything=everything,
        replaced=replaced,
    )


def _first_that_can(runs: _Runs, index: int, number: int) -> tuple[int, tuple[str, ...]]:
    """The nearest call, from `number` back, that a search can begin at, and what to key in."""
    traces = [reading.trace for reading in runs.new.readings[index]]
    for taken in range(number, -1, -1):
        keyed = blocks_to_key(runs.new, runs.new_job, index, traces, taken)
        if keyed:
            return taken, keyed
    return -1, ()


def _row(runs: _Runs, index: int, number: int) -> list[int | None]:
    """By reading the first motion from tool call `number` on; None beyond the last call."""
    changes = [reading.trace.changes for reading in runs.held.readings[index]]
    return [each[number].row if number < len(each) else None for each in changes]


def _end_of_use(runs: _Runs, index: int, number: int) -> list[int | None]:
    """By reading the first motion that the tool of call `number` does not make. A block after
    which the part falls is left out too: with the part off there is nothing to take up."""
    begin, end = _row(runs, index, number), _row(runs, index, number + 1)
    blocks = runs.held.programs[runs.job.setup[index].program].blocks
    ends: list[int | None] = []
    for reading, first, last in zip(runs.held.readings[index], begin, end, strict=True):
        of_block = reading.trace.motions.block[first:last].tolist()
        falling = [
            k
            for k, block in enumerate(of_block)
            if block >= 0
            and not blocks[block].file
            and blocks[block].line in runs.job.setup[index].falls_at
        ]
        ends.append((first or 0) + falling[0] if falling else last)
    return ends


def _proved(runs: _Runs, index: int, taken: int, gone: list[int | None]) -> tuple[Bound, JobProof]:
    """The job with what the motions up to `gone` cut gone, taken up at call number `taken`."""
    before = [
        held_part(reading, 0, end)
        for reading, end in zip(runs.held.readings[index], gone, strict=True)
    ]
    after = [
        held_part(reading, reading.trace.changes[taken].row) for reading in runs.new.readings[index]
    ]
    split = any(_cuts(reading) for reading in before)
    setups = list(runs.job.setup)
    own = setups[index]
    parts: list[Setup] = [own]
    readings: list[tuple[HeldReading, ...]] = [tuple(after)]
    if split:
        parts = [
            own.model_copy(update={"name": own.name + CUT_BEFORE}),
            own.model_copy(update={"turned": False}),
        ]
        readings = [tuple(before), tuple(after)]
    setups[index : index + 1] = parts
    again = replace(
        runs.new,
        readings=(
            *runs.held.readings[:index],
            *readings,
            *runs.new.readings[index + 1 :],
        ),
    )
    proof = judge(again, runs.new_job.model_copy(update={"setup": setups}))
    return Bound(proof.verdict, _new_findings(proof, runs, own.name)), proof


def _cuts(reading: HeldReading) -> bool:
    return bool((reading.trace.motions.kind == Kind.FEED).any())


def _new_findings(proof: JobProof, runs: _Runs, setup: str) -> tuple[Finding, ...]:
    """What the restart adds to what is found when the job runs through."""
    known = {_same(f) for f in runs.proof.findings}
    # Without a finished outline what this end has turned itself before the edge broke counts as
    # the other end's; what a new tool cuts too much is measured against the run itself.
    blind = runs.job.part.outline is None
    return tuple(
        f
        for f in proof.findings
        if f.severity > Severity.NOTE
        and not f.allowed_because
        and not f.setup.endswith(CUT_BEFORE)
        and _same(f) not in known
        and not (blind and f.setup == setup and f.code == "good-metal-cut")
    )


def _same(finding: Finding) -> tuple[str, str, int]:
    return finding.code, finding.setup, -1 if finding.place is None else finding.place.block
