"""Words that place the tool: which word of a program gave it an X or Z, and what it may say.

Only the X and Z words of plain rapids count: what a cycle or a feed is told is the part's shape.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from standclear.blocks.program import Program, Word
from standclear.job.models import Job, Machine
from standclear.motions.table import FAR, Kind, Motions

MM_PER_INCH = Decimal("25.4")
SAME_MM = 1e-6
"""What floating sums of programmed numbers may differ by."""
OF_THE_MACHINE = frozenset({28, 30, 53})
"""G words of places that the machine has, and of the way there."""
Z, R = 0, 1
LETTER = {Z: "Z", R: "X"}


@dataclass(frozen=True, slots=True)
class Site:
    """A word that can be changed, and the coordinate that it gives."""

    block: int
    """Index of its block in the program."""
    word: int
    """Index in the block's words."""
    axis: int
    """0 z, 1 r, as in the table of motions."""
    mm: float
    """The coordinate: z, or r (radial), mm."""
    step: Decimal
    """Least change of the number as it is written, mm of the coordinate."""
    shift: float = 0.0
    """What is added to the number: wear, shifts of zero, the place an increment counts from, mm."""


def site_before(
    program: Program, motions: Motions, motion: int, axis: int, job: Job
) -> Site | None:
    """The word that put the tool where it stands on `axis` when motion number `motion` begins.

    None where no plain rapid's own word did, where what its number is worth is not known, or where
    the word stands in a file that other programs call too.
    """
    row = _placing_row(motions, motion, axis)
    if row is None or motions.kind[row] != Kind.RAPID or motions.call[row] >= 0:
        return None
    coordinate = float(motions.end[row, axis])
    if abs(coordinate) >= FAR or (axis == R and coordinate <= 0):
        return None
    index = int(motions.block[row])
    if program.blocks[index].file:
        return None
    words = program.blocks[index].words
    named = [k for k, w in enumerate(words) if w.letter == LETTER[axis]]
    if len(named) != 1:
        return None
    word = words[named[0]]
    worth = _worth(program, index, word, coordinate, axis, job)
    if worth is None:
        return None
    assert word.number is not None
    shift = coordinate - float(word.number * worth)
    shift = 0.0 if abs(shift) < SAME_MM else shift
    if shift and any(w.letter == "G" and w.number in OF_THE_MACHINE for w in words):
        return None
    return Site(index, named[0], axis, coordinate, worth.scaleb(-_decimals(word.value_text)), shift)


def _placing_row(motions: Motions, motion: int, axis: int) -> int | None:
    """The last motion before `motion` that moved along `axis`; a whole cycle call moves nothing,
    since it ends where it began."""
    row = motion - 1
    while row >= 0:
        call = int(motions.call[row])
        if call >= 0:
            while row >= 0 and motions.call[row] == call:
                row -= 1
            continue
        if motions.start[row, axis] != motions.end[row, axis]:
            return row
        row -= 1
    return None


def _worth(
    program: Program, block: int, word: Word, coordinate: float, axis: int, job: Job
) -> Decimal | None:
    """What 1 of the word as written is of the coordinate, mm; None where that is not known."""
    if word.number is None or word.broken or not set(word.value_text) <= set("+-.0123456789"):
        return None
    if not word.has_point and word.number == 0:
        return None  # its other values might count increments or whole units
    assert isinstance(job.machine, Machine)
    unit = _unit_at(program, block, job)
    if axis == R and job.machine.control.x_words == "diameter":
        unit /= 2
    if word.has_point:
        return unit
    # Without a point the coordinate tells which of the two readings the control took.
    increment = Decimal(repr(job.machine.increment)) / _factor(job.units == "inch")
    for worth in (unit * increment, unit):
        if abs(float(word.number * worth) - coordinate) < SAME_MM:
            return worth
    return None


def _factor(inch: bool) -> Decimal:
    return MM_PER_INCH if inch else Decimal(1)


def _unit_at(program: Program, block: int, job: Job) -> Decimal:
    """Millimetres in one unit of the program where `block` stands."""
    inch = job.units == "inch"
    assert isinstance(job.machine, Machine)
    family = job.machine.control.cycle_words
    words_inch, words_mm = (70, 71) if family == "cycles-g20" else (20, 21)
    for each in program.blocks[: block + 1]:
        for word in each.words:
            if word.letter == "G" and word.number in (words_inch, words_mm):
                inch = word.number == words_inch
    return _factor(inch)


def _decimals(text: str) -> int:
    return len(text.partition(".")[2])


def outward_text(word: Word, site: Site, wanted: float) -> str:
    """The word as it must read to give at least `wanted` mm, in the program's own style: as many
    decimals, the point and a leading zero only where they stood, the spacing untouched."""
    # What is off by less than a nanometre is the noise of floating sums.
    target = Decimal(repr(round(wanted - site.shift, 6)))
    counts = (target / site.step).to_integral_value(rounding=ROUND_CEILING)
    decimals = _decimals(word.value_text)
    number = counts.scaleb(-decimals)
    sign = "-" if number < 0 else "+" if word.value_text.startswith("+") else ""
    whole, _, part = f"{abs(number):.{decimals}f}".partition(".")
    if whole == "0" and word.value_text.lstrip("+-").startswith("."):
        whole = ""
    text = sign + whole + ("." if word.has_point else "") + part
    return word.text[: len(word.text) - len(word.value_text)] + text


def value_of(site: Site, old: Word, new_text: str) -> float:
    """The coordinate, mm, that `new_text` gives where `old` stands."""
    number = Decimal(new_text[len(old.text) - len(old.value_text) :])
    return float(number.scaleb(_decimals(old.value_text)) * site.step) + site.shift
