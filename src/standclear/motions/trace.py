"""A program to the motions of one set-up."""

from __future__ import annotations

from dataclasses import replace

from standclear.blocks.program import Block, Program
from standclear.findings.finding import Finding, Severity
from standclear.job.models import Job, Machine, Mark
from standclear.motions.ahead import note_block, settle_all
from standclear.motions.block import is_deleted
from standclear.motions.execute import execute
from standclear.motions.habits import check_turning_stop
from standclear.motions.move import appear, here
from standclear.motions.nose.pieces import ON
from standclear.motions.offsets import selected_offset
from standclear.motions.places import (
    Standing,
    at_start,
    counted_from,
    follows_in_program,
    offset_name,
    offset_values,
)
from standclear.motions.readings import MOST_READINGS, Chooser, every_reading
from standclear.motions.run import (
    Run,
    cannot_follow,
    place_of,
    report,
    report_numbers_without_point,
)
from standclear.motions.state import Loss, State
from standclear.motions.table import FAR, Kind, Motions, Trace
from standclear.motions.words import meaning_of

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
    traces = _tagged(runs.results)
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
            f"the program ends before {_mark_in_words(mark)}, where the set-up "
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
    return Trace(
        motions=motions,
        tools=tuple(run.tools),
        calls=tuple(run.calls),
        findings=tuple(run.findings),
        trusted=tuple(run.trusted),
        reading=chooser.reading,
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
    setup, blocks = run.setup, run.program.blocks
    stops = 0
    begun = setup.start is None
    if begun:
        run.emitting = True
        if run.state.standing.position is not None:
            run.trust("the program starts with the turret at home, clear of everything")
    index, seen_words, used_offsets = 0, False, set[str]()
    while index < len(blocks):
        block = blocks[index]
        letters = {word.letter for word in block.words}
        if seen_words and ("%" in letters or "O" in letters):
            break
        if is_deleted(run, block):
            index += 1
            continue
        offsets = _offset_words(run, block) - used_offsets
        used_offsets |= offsets
        if run.emitting and _names_block(setup.end, block, offsets):
            return True
        if not begun and _names_block(setup.start, block, offsets):
            begun = True
            _begin(run, job, setup_index, after, block)
        seen_words = seen_words or bool(letters - {"%", "O", "N"})
        run.first_row = len(run.rows)
        flow = execute(run, block)
        note_block(run, block)
        if flow.lost:
            run.emitting = True
            return True
        for _ in range(flow.stops):
            stops += 1
            if run.emitting and setup.end and setup.end.stop == stops:
                return True
            if not begun and setup.start and setup.start.stop == stops:
                begun = True
                _begin(run, job, setup_index, after, block)
        if flow.ended:
            break
        index = flow.next
    return begun and setup.end is None


def _says_something(block: Block) -> bool:
    """True for a block that is more than a name, a label and a comment."""
    return bool(block.statement) or any(word.letter not in ("%", "O", "N") for word in block.words)


def _names_block(mark: Mark | None, block: Block, new_offsets: set[str]) -> bool:
    """True where a label or offset mark stands at this block."""
    if mark is None:
        return False
    if mark.label is not None:
        return block.label == mark.label
    return mark.offset is not None and offset_name(mark.offset) in new_offsets


def _offset_words(run: Run, block: Block) -> set[str]:
    if block.after_semicolon:
        return set()
    by_letter = {word.letter: word for word in block.words}
    names = {
        selected_offset(meaning_of(word.number, run.control.cycle_words).act, word, by_letter)
        for word in block.words
        if word.letter == "G" and word.number is not None
    }
    return {name for name in names if name is not None}


def _begin(run: Run, job: Job, setup_index: int, after: dict[str, float], block: Block) -> None:
    """The start mark: rows are made from here on, counted from this set-up's part zero."""
    state, own = run.state, offset_name(run.setup.offset)
    run.emitting = True
    if state.compensation != ON:
        cannot_follow(run, block, "nose compensation is on where the set-up begins")
    turned = run.setup.turned is not False and setup_index > 0
    if turned and follows_in_program(job, setup_index):
        check_turning_stop(run, block)
    standing = here(run)
    if standing.z not in (None, FAR) and follows_in_program(job, setup_index):
        state.standing = _through_turning(run, standing, own, after)
    if state.set_in_program and follows_in_program(job, setup_index):
        state.standing = Standing(None, None, state.offset)
        state.loss = Loss(
            "position-unknown",
            "the coordinates were set by the program in the clamping before this one",
            "set them anew where the set-up begins",
        )
    run.offset_values = {**after, **run.set_values}
    if state.standing.position is not None and state.tool >= 0:
        appear(run, block)


def _through_turning(run: Run, standing: Standing, own: str, after: dict[str, float]) -> Standing:
    """The place where the tool was left, counted from the part zero of the new clamping."""
    # The value before the mark places the tool on the machine, the value after it the part.
    old, new = run.offset_values.get(standing.offset), after.get(own)
    if standing.z is not None and old is not None and new is not None:
        return Standing(standing.z + old - new, standing.r, own)
    if standing.offset == own:
        run.trust(f"{own} is not changed where the part is turned round")
        return standing
    run.state.loss = Loss(
        "position-unknown",
        "the tool was left standing in another clamping; where that is in this one is not known",
        "send the tool home before the part is turned round, or give the values of both offsets",
    )
    return counted_from(standing, own, {})


def _mark_in_words(mark: Mark | None) -> str:
    if mark is None:
        return "its end"
    if mark.label is not None:
        return f"a block labelled N{mark.label} is reached"
    if mark.stop is not None:
        return f"stop number {mark.stop} is executed"
    return f"{mark.offset} is selected"


def _has_corner(motions: Motions) -> bool:
    """True where a rapid follows a rapid."""
    rapid = motions.kind == Kind.RAPID
    return bool((rapid[1:] & rapid[:-1]).any())
