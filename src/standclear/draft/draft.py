"""A program to a guessed job: facts first, then guesses, then the text of a job file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from standclear.blocks.program import Program, linked
from standclear.blocks.read import read_program
from standclear.draft import tables
from standclear.draft.checked import Unfollowed, job_of, unfollowed_in
from standclear.draft.guess import Unit
from standclear.draft.job_text import names_of, printable, text_of
from standclear.draft.motion_facts import SpanFacts, ToolCuts, facts_of
from standclear.draft.provisional import motions_of
from standclear.draft.reading import (
    Told,
    arc_centres,
    both_units,
    compensated,
    cycle_pointless,
    family_of,
    pointless,
    units_of,
)
from standclear.draft.sizes import Sizes, sizes_of
from standclear.draft.spans import Span, spans_of
from standclear.draft.text_facts import (
    Section,
    TextFacts,
    ends_program,
    gather,
    says_something,
    sections_of,
)
from standclear.draft.tool_kinds import Pair, ToolGuess, tools_of
from standclear.errors import StandclearError

LONGEST_TITLE = 60
MOST_SPANS = 20
"""More clampings than this are none: the words that split them mean something else."""


MOST_MAINS = 4
"""More programs than this in one file that no other calls are not the ends of one part."""


class NothingToDraft(StandclearError):
    """A program from which no job can be drafted; the text says why."""


@dataclass(frozen=True)
class Main:
    """One program of the file that runs by itself."""

    file: str
    """Name beside the job file: of the program file, or of a copy of one program of it."""
    program: Program
    copy: bytes | None
    """What the copy holds; None where the file itself is named."""
    text: TextFacts
    spans: tuple[Span, ...]
    facts: tuple[SpanFacts, ...]


@dataclass(frozen=True)
class Draft:
    """A job drafted from a program."""

    program: str
    units: Told
    family: Told
    mains: tuple[Main, ...]
    tools: tuple[ToolGuess, ...]
    sizes: Sizes
    guesses: tuple[str, ...]
    """Names of the keys that nobody has confirmed."""
    notes: tuple[str, ...]
    """Sentences: what could not be told."""
    unfollowed: tuple[Unfollowed, ...]
    text: str
    """The job file."""
    copies: dict[str, bytes]
    """Further files that it names: single programs of the file, byte for byte."""


def draft_job(data: bytes, name: str) -> Draft:
    """A job from the bytes of a program file; `name` is the file's name, beside the job file.

    Raises `NothingToDraft` where the program is empty, no cut of it could be followed, or its
    values are beyond what a job may hold.
    """
    program = read_program(data, name)
    if not any(says_something(block) for block in program.blocks):
        raise NothingToDraft("the program is empty")
    family = family_of(program.blocks)
    units = units_of(program.blocks, family.value)
    control = _control(program, family)
    notes: list[str] = []
    if both_units(program.blocks, family.value):
        notes.append(
            "it has words for inch and for millimetre: the first tells the unit of the job"
        )
    mains = tuple(_mains(program, units.value, control, notes))
    facts = [span for main in mains for span in main.facts]
    if not any(span.cuts for span in facts):
        raise NothingToDraft(f"no cut could be followed{_why(facts)}")
    unit = Unit(units.value)
    text = gather(program.blocks)
    if not text.tools:
        raise NothingToDraft("it calls no tool, which a job must have")
    sizes = sizes_of(facts, text.comments, unit)
    bar = unit.mm(float(sizes.bar.value))
    tools = tools_of(text, program.blocks, _by_tool(facts), bar, family.value, unit)
    others = (name,) if any(main.copy is not None and main.text.calls for main in mains) else ()
    named = [(main.file, span) for main in mains for span in main.spans]
    parts = [
        tables.top(_title(text, name), units, others),
        *tables.blank_and_part(sizes),
        *tables.machine(facts, control, bar, unit),
        *tables.tool_tables(tools),
        *tables.setup_tables(named, _stays(mains), sizes),
    ]
    written = text_of(tables.heading(name), parts)
    try:
        job = job_of(written, name)
    except ValueError as error:
        raise NothingToDraft(f"what it says makes no job ({error})") from error
    return Draft(
        program=name,
        units=units,
        family=family,
        mains=mains,
        tools=tools,
        sizes=sizes,
        guesses=tuple(names_of(parts)),
        notes=tuple(notes),
        unfollowed=unfollowed_in(job, [main.program for main in mains for _ in main.spans]),
        text=written,
        copies={main.file: main.copy for main in mains if main.copy is not None},
    )


def _control(program: Program, family: Told) -> dict[str, Told]:
    """The rows of the control that the words of the program speak of."""
    rows = {
        "cycle_words": family,
        "x_words": Told("diameter", "most programs are written so"),
        "number_without_point": pointless(program.blocks),
        "cycle_number_without_point": cycle_pointless(program.blocks, family.value),
        "arc_centre": arc_centres(program.blocks),
        "controlled_point": compensated(program.blocks),
    }
    return {key: told for key, told in rows.items() if told is not None}


def _mains(
    program: Program, units: str, control: Mapping[str, Told], notes: list[str]
) -> Iterator[Main]:
    """The programs of the file that no other program of it calls, with what they do."""
    sections = sections_of(program)
    calls = {
        number
        for each in sections
        for number in gather(program.blocks[each.first : each.after]).calls
    }
    own = [s for s in sections if _runs_alone(program, s, calls)] or list(sections[:1])
    if len(own) > MOST_MAINS:
        raise NothingToDraft(
            f"{len(own)} programs of the file run by themselves: save each in a file of its own"
        )
    for section in own:
        blocks = program.blocks[section.first : section.after]
        main, copy = program, None
        if section.first > 0:
            copy = b"".join(block.raw for block in blocks)
            number = section.number if section.number is not None else section.first
            main = read_program(copy, copy_name(program.name, number))
            blocks = main.blocks
            if gather(blocks).calls:
                main = linked(main, [program])
            notes.append(
                f"O{number} is a program of its own: it is copied into {main.name}, since a set-up "
                "names a file"
            )
        text = gather(blocks)
        notes += [
            f"it calls O{number}, which is not in the file: name its file in subprograms"
            for number in sorted(set(text.calls) - {each.number for each in sections})
        ]
        spans, said = spans_of(blocks)
        notes += said
        if len(spans) > MOST_SPANS:
            notes.append(f"{len(spans)} clampings were told, which cannot be: taken as one")
            spans = (Span(spans[0].first, spans[-1].after, None, None, spans[0].offset),)
        pairs = [(c.station, c.offset) for c in gather(program.blocks).tools]
        rows = {key: told.value for key, told in control.items()}
        traces = motions_of(main, spans, pairs, units, rows)
        facts = tuple(facts_of(trace, main) for trace in traces)
        yield Main(main.name, main, copy, text, spans, facts)


def copy_name(file: str, number: int) -> str:
    """The name of a copy of program O`number` of a file: `pin.nc` gives `pin.O1002.nc`."""
    stem, dot, ending = file.rpartition(".")
    return f"{stem}.O{number}.{ending}" if dot and stem else f"{file}.O{number}"


def _runs_alone(program: Program, section: Section, calls: set[int]) -> bool:
    blocks = program.blocks[section.first : section.after]
    if section.number in calls or not any(says_something(block) for block in blocks):
        return False
    returns = any(w.letter == "M" and w.number == 99 for block in blocks for w in block.words)
    return section.first == 0 or ends_program(blocks) or not returns


def _why(facts: Sequence[SpanFacts]) -> str:
    stopped = next((span.stopped for span in facts if span.stopped), "")
    return f": {stopped}" if stopped else ": it feeds nowhere"


def _stays(mains: Sequence[Main]) -> list[int]:
    """Lines of the stops that part no clampings."""
    return [
        stop.line
        for main in mains
        for stop in main.text.stops
        if not any(span.ends and span.ends.stop == stop.number for span in main.spans)
    ]


def _by_tool(facts: Sequence[SpanFacts]) -> dict[Pair, list[ToolCuts]]:
    found: dict[Pair, list[ToolCuts]] = {}
    for span in facts:
        for cuts in span.tools:
            found.setdefault(cuts.tool, []).append(cuts)
    return found


def _title(text: TextFacts, name: str) -> str:
    """The first comment, which most often names the part."""
    said = (printable(comment.text) for comment in text.comments)
    return next((each for each in said if each), printable(name))[:LONGEST_TITLE]
