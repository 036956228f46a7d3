"""What a program says before any motion: tools, stops, offsets, comments, programs of the file."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from standclear.blocks.program import Block, Program, Word
from standclear.motions.meaning.words import OPTIONAL_STOP, PROGRAM_END, STOP
from standclear.motions.tool_change.turret import ToolCall, read_t_word

_CALLING_M = 98
_CALLING_G = (65, 66)
_FIRST_OFFSETS = range(54, 60)


@dataclass(frozen=True, slots=True)
class Comment:
    """A comment and where it stands; `text` without its brackets."""

    block: int
    line: int
    text: str


@dataclass(frozen=True, slots=True)
class Called:
    """A T word that calls a tool; one that only cancels an offset is left out."""

    station: int
    offset: int
    block: int
    line: int


@dataclass(frozen=True, slots=True)
class Stop:
    """An M00 or M01. `number` counts both, from 1, in the order of the text."""

    number: int
    optional: bool
    block: int
    line: int


@dataclass(frozen=True, slots=True)
class Selected:
    """A work offset word, such as G55 or `G54.1 P2`."""

    name: str
    block: int
    line: int


@dataclass(frozen=True)
class TextFacts:
    """Facts of one program of a file, in the order of the text."""

    comments: tuple[Comment, ...]
    tools: tuple[Called, ...]
    stops: tuple[Stop, ...]
    offsets: tuple[Selected, ...]
    calls: tuple[int, ...]
    """Numbers of the programs that it calls."""


@dataclass(frozen=True, slots=True)
class Section:
    """One program of a file: its blocks from `first` up to, not including, `after`."""

    number: int | None
    first: int
    after: int


def gather(blocks: tuple[Block, ...]) -> TextFacts:
    """The facts of the text of some blocks."""
    comments, tools, offsets = [], [], []
    stops: list[Stop] = []
    for block in blocks:
        comments += [
            Comment(block.index, block.line, text) for text in block.comments if text.strip()
        ]
        for word in block.words:
            if word.letter == "T" and (call := tool_called(word)) is not None:
                tools.append(Called(call.station or 0, call.offset, block.index, block.line))
            elif word.letter == "M" and word.number in (STOP, OPTIONAL_STOP):
                optional = word.number == OPTIONAL_STOP
                stops.append(Stop(len(stops) + 1, optional, block.index, block.line))
        name = offset_selected(block)
        if name is not None:
            offsets.append(Selected(name, block.index, block.line))
    return TextFacts(
        tuple(comments), tuple(tools), tuple(stops), tuple(offsets), tuple(_calls(blocks))
    )


def tool_called(word: Word) -> ToolCall | None:
    """The tool that a T word calls; None where it calls none or cannot be read."""
    call = None if word.number is None else read_t_word(word.value_text.strip(), [])
    return call if call is not None and call.station else None


def offset_selected(block: Block) -> str | None:
    """The work offset that a block selects, the last of them; None where it selects none."""
    found = None
    for word in block.words:
        if word.letter != "G" or word.number is None:
            continue
        if word.number in _FIRST_OFFSETS:
            found = f"G{int(word.number)}"
        elif word.number == Decimal("54.1"):
            number = next((w.number for w in block.words if w.letter == "P"), None)
            if number is not None and 0 < number < 1000 and number == int(number):
                found = f"G54.1 P{int(number)}"
    return found


def sections_of(program: Program) -> tuple[Section, ...]:
    """The programs of a file, from one O word to the next; blocks before the first make one too
    where they say anything."""
    starts = [0]
    numbers: list[int | None] = [None]
    said = False
    for block in program.blocks:
        name = block.words[0] if block.words and block.words[0].letter == "O" else None
        if name is not None:
            number = None if name.number is None else int(name.number)
            if said:
                starts.append(block.index)
                numbers.append(number)
                said = False
            elif numbers[-1] is None:
                numbers[-1] = number
        said = said or says_something(block) or name is not None
    ends = [*starts[1:], len(program.blocks)]
    return tuple(
        Section(number, first, after)
        for number, first, after in zip(numbers, starts, ends, strict=True)
    )


def says_something(block: Block) -> bool:
    """True for a block that is more than a name, a label and a comment."""
    return bool(block.statement) or any(word.letter not in "%ON" for word in block.words)


def ends_program(blocks: tuple[Block, ...]) -> bool:
    """True where one of the blocks ends a program with M02 or M30."""
    return any(
        word.letter == "M" and word.number in PROGRAM_END for b in blocks for word in b.words
    )


def _calls(blocks: tuple[Block, ...]) -> Iterator[int]:
    for block in blocks:
        by_letter = {word.letter: word.number for word in block.words}
        calling = any(
            (word.letter == "M" and word.number == _CALLING_M)
            or (word.letter == "G" and word.number in _CALLING_G)
            for word in block.words
        )
        number = by_letter.get("P")
        if calling and number is not None and number == int(number):
            yield int(number)
