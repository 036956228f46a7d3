"""A program to the motions of one set-up."""

from __future__ import annotations

from dataclasses import fields, replace
from functools import partial

import numpy as np

from standclear.blocks.program import Block, Program
from standclear.findings.finding import Finding, Severity
from standclear.job.models import Job, Machine
from standclear.motions.coordinates.places import at_start, offset_name, offset_values
from standclear.motions.flow.advance import advance, block_in_hand, report_no_return
from standclear.motions.flow.computed import with_numbers
from standclear.motions.flow.of_control import of_control
from standclear.motions.flow.variables import Variables
from standclear.motions.marks import (
    REACHED,
    begin,
    is_searched,
    mark_in_words,
    names_block,
    offset_words,
    searched_block,
)
from standclear.motions.meaning.block import is_comment, is_deleted
from standclear.motions.readings import MOST_READINGS, Chooser, every_reading
from standclear.motions.run import Run, place_of, report, report_numbers_without_point
from standclear.motions.state import Loss, State
from standclear.motions.table import Kind, Motions, Trace
from standclear.motions.way.ahead import note_block, settle_all

_EMPTY = Block(index=0, line=1, raw=b"", words=())


def trace_setup(program: Program, job: Job, setup_index: int) -> tuple[Trace, ...]:
    """What the program does in one set-up of the job, once for each reading of its text.

    All lengths of `job` are in mm; its machine and tools stand in it as objects. The program runs
    from its top, and rows begin and end at the set-up's marks. Most programs have one reading;
    control rows that the job leaves open and that change what the text says make more, at most
    `MOST_READINGS`.

    Raises TypeError where machine or tools are still names of files.
    """
    runs = every_reading(lambda chooser: _trace(program, job, setup_index, chooser))
    traces = _tagged(_distinct(runs.results))
    if runs.untried:
        finding = Finding(
            code="too-many-readings",
            severity=Severity.MEND,
            message=f"the program can be read in more than {MOST_READINGS} ways, since the job "
            f"leaves open: {', '.join(runs.untried)}",
            cure="state these rows for the machine's control",
            setup=job.setup[setup_index].name,
            place=place_of(program, program.blocks[0]),
            unproven=True,
            motion=0,
        )
        traces = (replace(traces[0], findings=(*traces[0].findings, finding)), *traces[1:])
    return traces


def _distinct(traces: tuple[Trace, ...]) -> tuple[Trace, ...]:
    """The traces without those that never come to the start mark while a search for it does, and
    without those that say what one before them says."""
    never = {f"{REACHED}=running"}
    began = [t for t in traces if not (never <= set(t.reading) and _misses_start(t))]
    kept: list[Trace] = []
    for trace in began or traces:
        same = next((k for k, other in enumerate(kept) if _alike(trace, other)), None)
        if same is None:
            kept.append(trace)
        else:
            trusted = tuple(dict.fromkeys((*kept[same].trusted, *trace.trusted)))
            kept[same] = replace(kept[same], trusted=trusted)
    return tuple(kept) if len(kept) > 1 else (replace(kept[0], reading=()),)


def _misses_start(trace: Trace) -> bool:
    return not len(trace.motions) and any(f.code == "mark-missing" for f in trace.findings)


def _alike(a: Trace, b: Trace) -> bool:
    return (
        (a.tools, a.calls, a.findings) == (b.tools, b.calls, b.findings)
        and len(a.motions) == len(b.motions)
        and all(
            np.array_equal(getattr(a.motions, each.name), getattr(b.motions, each.name))
            for each in fields(Motions)
        )
    )


def _tagged(traces: tuple[Trace, ...]) -> tuple[Trace, ...]:
    """Findings that not every reading makes carry the values of the reading that does."""
    if len(traces) == 1:
        return traces
    everywhere = set(traces[0].findings).intersection(*(set(t.findings) for t in traces[1:]))
    return tuple(
        replace(
            trace,
            findings=tuple(
                f if f in everywhere else replace(f, tags=f.tags or trace.reading)
                for f in trace.findings
            ),
        )
        for trace in traces
    )


def _trace(program: Program, job: Job, setup_index: int, chooser: Chooser) -> Trace:
    run, after = _new_run(program, job, setup_index, chooser)
    setup = run.setup
    last = program.blocks[-1] if program.blocks else _EMPTY
    reached = _run_blocks(run, job, setup_index, after)
    settle_all(run, back=False)
    run.first_row = 0
    empty = not any(_says_something(block) for block in program.blocks)
    if not reached and not empty and not any(f.code == "mark-missing" for f in run.findings):
        mark = setup.end if run.emitting else setup.start
        run.emitting = True
        report(
            run,
            "mark-missing",
            last,
            f"the program ends before {mark_in_words(mark)}, where the set-up "
            f"{'ends' if mark is setup.end else 'begins'}",
            "correct the set-up's marks, or the program",
            severity=Severity.STOP,
            unproven=True,
        )
    motions = run.rows.table()
    if not (motions.kind != Kind.APPEAR).any() and not any(f.unproven for f in run.findings):
        run.emitting = True
        report(
            run,
            "program-empty",
            last,
            "the program is empty" if empty else "nothing moves in this set-up",
            "name the program that machines this end",
            unproven=True,
        )
    report_numbers_without_point(run)
    if run.machine.rapid_corner is None and _has_corner(motions):
        run.trust("the control stops exactly at corners between rapids")
    if run.variables.local_assumed:
        run.trusted.setdefault("local variables are empty where the program starts")
    for number, value in run.variables.commons.begun_with.items():
        stated = f"#{number} is {value.or_zero:g} where the program starts, as the job says"
        run.trusted.setdefault(stated)
    return Trace(
        motions=motions,
        tools=tuple(run.tools),
        calls=tuple(run.calls),
        findings=tuple(run.findings),
        trusted=tuple(run.trusted),
        reading=chooser.reading,
        changes=tuple(run.changes),
        dwells=tuple(run.dwells),
    )


def _new_run(
    program: Program, job: Job, setup_index: int, chooser: Chooser
) -> tuple[Run, dict[str, float]]:
    """A run at the program's top, and the offset values in force from the start mark on."""
    if not isinstance(job.machine, Machine) or isinstance(job.tools, str):
        raise TypeError("machine and tools of the job must be read from their files first")
    setup = job.setup[setup_index]
    before, after = offset_values(job, setup_index)
    run = Run(
        program=program,
        job=job,
        setup=setup,
        machine=job.machine,
        job_tools=list(job.tools),
        chooser=chooser,
        state=State(standing=at_start(job.machine), inch=job.units == "inch"),
        offset_values=before if setup.start else after,
        part_zero=after.get(offset_name(setup.offset)),
    )
    run.variables = Variables.of_job(job.variables, partial(of_control, run))
    if job.machine.home == "unknown":
        run.state.loss = Loss(
            "position-unknown",
            "where the tool stands when the program starts is not known",
            'state home = "beyond" in the machine file, if it lies beyond the work in +X and +Z',
        )
    return run, after


def _run_blocks(run: Run, job: Job, setup_index: int, after: dict[str, float]) -> bool:
    """Executes the program between its top and the end mark; True if every mark was reached or
    the way to it is lost, which is reported."""
    setup, walk = run.setup, run.walk
    begun, seen_words, searched = setup.start is None, False, is_searched(run)
    if begun:
        run.emitting = True
        if run.state.standing.position is not None:
            run.trust("the program starts with the turret at home, clear of everything")
    if searched:
        found = searched_block(run)
        if found is None:
            run.emitting = True
            return True
        walk.index, seen_words = found, True
    used_offsets = set[str]()
    while (block := block_in_hand(run)) is not None:
        letters = {word.letter for word in block.words}
        if not walk.frames and (block.file or (seen_words and block.is_heading)):
            return begun and setup.end is None
        if is_deleted(run, block) or is_comment(run, block):
            walk.index += 1
            continue
        run.first_row = len(run.rows)
        block = with_numbers(run, block)
        offsets = offset_words(run, block) - used_offsets
        used_offsets |= offsets
        if run.emitting and names_block(run, setup.end, block, offsets):
            return True
        if not begun and names_block(run, setup.start, block, offsets):
            begun = True
            begin(run, job, setup_index, after, block, searched=searched)
        seen_words = seen_words or bool(letters - {"%", "O", "N"})
        run.first_row = len(run.rows)
        flow = advance(run, block)
        note_block(run, block)
        if flow.lost:
            run.emitting = True
            return True
        for _ in range(flow.stops):
            walk.stops += 1
            if run.emitting and setup.end and setup.end.stop == walk.stops:
                return True
            if not begun and setup.start and setup.start.stop == walk.stops:
                begun = True
                begin(run, job, setup_index, after, block)
        if flow.ended:
            return begun and setup.end is None
        walk.index = flow.next
    if walk.frames:
        report_no_return(run)
        run.emitting = True
        return True
    return begun and setup.end is None


def _says_something(block: Block) -> bool:
    """True for a block that is more than a name, a label and a comment."""
    return bool(block.statement) or any(word.letter not in ("%", "O", "N") for word in block.words)


def _has_corner(motions: Motions) -> bool:
    """True where a rapid follows a rapid."""
    rapid = motions.kind == Kind.RAPID
    return bool((rapid[1:] & rapid[:-1]).any())
