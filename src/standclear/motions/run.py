"""One run of a program under one reading: what it works with, what it has found so far.

The functions here report findings, read numbers and name places; they move nothing.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cached_property

from standclear.blocks.labels import Labels, labels_of
from standclear.blocks.program import Block, Program, Word
from standclear.findings.finding import Finding, Measure, Place, Quantity, Severity
from standclear.job.models import Control, Job, Machine, Setup, Tool
from standclear.motions.coordinates.places import offset_name
from standclear.motions.flow.loops import Loops, loops_of
from standclear.motions.flow.variables import Variables, nothing_known
from standclear.motions.flow.walk import Walk
from standclear.motions.meaning.words import COOLANT_ON
from standclear.motions.readings import Chooser
from standclear.motions.rows import RowWriter
from standclear.motions.state import State
from standclear.motions.table import Call, Dwell, SpeedMode, ToolChange, ToolUse
from standclear.tools.nose import ToolNose

MM_PER_INCH = Decimal("25.4")
"""Exact by definition (ISO 80000-3)."""


@dataclass
class Run:
    """The work of one run. `emitting` is True between the set-up's marks."""

    program: Program
    job: Job
    setup: Setup
    machine: Machine
    job_tools: list[Tool]
    chooser: Chooser
    state: State
    offset_values: Mapping[str, float]
    """Machine Z of work offsets, as far as job and program give them."""
    part_zero: float | None
    """Machine Z of the set-up's part zero; None where the job does not give it."""
    set_values: dict[str, float] = field(default_factory=dict)
    """Those that the program itself has set."""
    rows: RowWriter = field(default_factory=RowWriter)
    tools: list[ToolUse] = field(default_factory=list)
    calls: list[Call] = field(default_factory=list)
    changes: list[ToolChange] = field(default_factory=list)
    dwells: list[Dwell] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    trusted: dict[str, None] = field(default_factory=dict)
    emitting: bool = False
    first_row: int = 0
    """Number of the first row that the block in hand makes."""
    shown: bool = False
    """A row says where the tool in use stands."""
    said: set[str] = field(default_factory=set)
    """Facts that are reported once only."""
    reported: set[tuple[str, Place, str]] = field(default_factory=set)
    """Code, place and message of every finding: a profile that is run twice is told of once."""
    noses: dict[int, ToolNose | None] = field(default_factory=dict)
    """Noses of the job's tools, by index, as far as they were asked for."""
    variables: Variables = field(default_factory=lambda: Variables(nothing_known))
    walk: Walk = field(default_factory=Walk)
    pointless: list[tuple[Block, Word, float, float, str]] = field(default_factory=list)
    """Length words without a point: as increments, as units, and the control row that decides."""

    @property
    def control(self) -> Control:
        """How the control behaves where controls differ."""
        return self.machine.control

    @property
    def own_offset(self) -> str:
        """The work offset that holds the set-up's part zero."""
        return offset_name(self.setup.offset)

    @cached_property
    def uses_coolant(self) -> bool:
        """True where some word of the program turns coolant on."""
        return any(
            word.letter == "M" and word.number in COOLANT_ON
            for block in self.program.blocks
            for word in block.words
        )

    @cached_property
    def labels(self) -> Labels:
        """The labels of the program."""
        return labels_of(self.program)

    @cached_property
    def loops(self) -> Loops:
        """The loops of the program."""
        return loops_of(self.program, self.labels)

    def trust(self, sentence: str) -> None:
        """Notes what is taken on trust between the marks."""
        if self.emitting:
            self.trusted.setdefault(sentence)


def place_of(program: Program, block: Block, word: Word | None = None) -> Place:
    """Where a block, or a word of it, stands."""
    column = word.column if word else (block.words[0].column if block.words else 1)
    name = block.file or program.name
    return Place(name, block.index, block.line, column, block.shown, bool(block.file))


def report(
    run: Run,
    code: str,
    block: Block,
    message: str,
    cure: str = "",
    *,
    word: Word | None = None,
    severity: Severity = Severity.MEND,
    unproven: bool = False,
    lasting: bool = False,
    once: str = "",
    related: tuple[Place, ...] = (),
    measures: tuple[Measure, ...] = (),
    tags: tuple[str, ...] = (),
) -> None:
    """Adds a finding; an unproven one holds from the first motion of the block in hand on.

    Before the set-up's start mark only `lasting` ones count: what could not be followed there may
    still be in force when the set-up begins. `once` names a fact to be said a single time.
    """
    if not run.emitting and not (unproven and lasting):
        return
    if once:
        if once in run.said:
            return
        run.said.add(once)
    place = place_of(run.program, block, word)
    if (code, place, message) in run.reported:
        return
    run.reported.add((code, place, message))
    run.findings.append(
        Finding(
            code=code,
            severity=severity,
            message=_sentence(message),
            cure=_sentence(cure),
            setup=run.setup.name,
            place=place,
            related=related,
            measures=measures,
            unproven=unproven,
            motion=run.first_row if unproven else -1,
            tags=tags,
        )
    )


def _sentence(words: str) -> str:
    """The words with a capital and a full stop, as they stand in an answer."""
    return words and words[0].upper() + words[1:].removesuffix(".") + "."


def cannot_follow(
    run: Run,
    block: Block,
    message: str,
    cure: str = "write the block in words that are followed, or prove it by hand",
    *,
    word: Word | None = None,
    lasting: bool = True,
    once: str = "",
    tags: tuple[str, ...] = (),
) -> None:
    """What could move the tool and is not followed: unproven from here on."""
    report(
        run,
        "cannot-follow",
        block,
        message,
        cure,
        word=word,
        unproven=True,
        lasting=lasting,
        once=once,
        tags=tags,
    )


def unit_factor(inch: bool) -> Decimal:
    """Millimetres in one unit of the program."""
    return MM_PER_INCH if inch else Decimal(1)


def length(run: Run, block: Block, word: Word, *, of_cycle: bool = False) -> float | None:
    """The value of a length word in mm, signed, as written (a diameter stays one).

    `of_cycle`: a P, Q or D of a cycle, which has its own row for numbers without a point. None
    where the word carries no number.
    """
    if word.number is None:
        return None
    if not run.state.unit_stated:
        report(
            run,
            "unit-not-stated",
            block,
            f"no word says whether lengths are inch or mm: read in {run.job.units}, as the job is",
            "begin the program with its unit word",
            word=word,
            severity=Severity.NOTE,
            once="unit",
        )
    unit = unit_factor(run.state.inch)
    as_unit = float(word.number * unit)
    if word.has_point or word.number == 0:
        return as_unit
    as_increment = float(word.number * increment(run) * unit)
    if as_increment == as_unit:
        return as_unit
    row = "cycle_number_without_point" if of_cycle else "number_without_point"
    stated = (
        run.control.cycle_number_without_point if of_cycle else run.control.number_without_point
    )
    noted = f"pointless {block.index} {word.column}"
    if run.emitting and noted not in run.said:
        run.said.add(noted)
        run.pointless.append((block, word, as_increment, as_unit, row))
    value = run.chooser.value(row, stated, ("increment", "unit"))
    return as_increment if value == "increment" else as_unit


def radial(run: Run, x: float) -> float:
    """An X or U value as a radius."""
    return x / 2 if run.control.x_words == "diameter" else x


def spindle_value(run: Run, word: Word) -> float | None:
    """The value of an S word: rpm, or m/min where constant surface speed is on (ft/min in inch)."""
    if word.number is None:
        return None
    if run.state.speed_mode == SpeedMode.SURFACE and run.state.inch:
        return float(word.number * MM_PER_INCH * 12 / 1000)
    return float(word.number)


def feed_value(run: Run, word: Word) -> float | None:
    """The value of an F word, mm per revolution or per minute; a point is not asked for."""
    return None if word.number is None else float(word.number * unit_factor(run.state.inch))


def increment(run: Run) -> Decimal:
    """Least increment in the program's unit.

    The machine file gives it for the job's unit; in the other unit a control counts the same
    number of decimals more or less: 0.001 mm beside 0.0001 in (common practice, no source).
    """
    job_inch = run.job.units == "inch"
    in_job_unit = Decimal(repr(run.machine.increment)) / unit_factor(job_inch)
    if run.state.inch == job_inch:
        return in_job_unit
    return in_job_unit / 10 if run.state.inch else in_job_unit * 10


def report_numbers_without_point(run: Run) -> None:
    """One finding for each control row: the first word, what it may mean, how many there are."""
    for row in dict.fromkeys(each[4] for each in run.pointless):
        of_row = [each for each in run.pointless if each[4] == row]
        block, word, as_increment, as_unit, _ = of_row[0]
        stated = getattr(run.control, row)
        more = f", and {len(of_row) - 1} more such words" if len(of_row) > 1 else ""
        meaning = "it is {increment} in increments and {unit} in units"
        quantity = {"X": Quantity.POSITION_X, "Z": Quantity.POSITION_Z}.get(
            word.letter, Quantity.LENGTH
        )
        report(
            run,
            "number-without-point",
            block,
            f"{word.letter}{word.value_text} has no decimal point: {meaning}{more}",
            "write the point"
            + (f"; the machine file says {stated}" if stated else f", or state {row}"),
            word=word,
            severity=Severity.NOTE if stated else Severity.MEND,
            measures=(
                Measure("increment", as_increment, quantity),
                Measure("unit", as_unit, quantity),
            ),
            tags=() if stated else (f"{row}={run.chooser.given[row]}",),
        )
