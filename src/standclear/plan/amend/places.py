"""Which words could free a finding, and what they must say: the places that its motion stands at.

A motion inside a cycle starts and ends where the cycle is called; a plain rapid has two ends.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations

from standclear.findings.finding import Finding, Measure, Quantity
from standclear.job.models import Job
from standclear.motions.table import Kind, Motions
from standclear.plan.amend.words import SAME_MM, R, Site, Z, outward_text, site_before, value_of
from standclear.proof.approach import Air
from standclear.proof.held import HeldReading
from standclear.proof.result import SetupProof
from standclear.sweeps.areas import less, union


@dataclass(frozen=True, slots=True)
class NewWord:
    """A word moved out to where it clears the metal by the margin."""

    block: int
    word: int
    text: str
    reason: str
    measures: tuple[Measure, ...]


@dataclass(frozen=True, slots=True)
class NewBlocks:
    """Blocks put in front of a block of the program."""

    block: int
    texts: tuple[str, ...]
    """Without line ends."""
    reason: str
    measures: tuple[Measure, ...]


Choice = tuple[NewWord, ...] | tuple[NewBlocks]
"""Words to change together, or blocks to put in."""


def choices(
    finding: Finding, reading: HeldReading, setup: SetupProof, air: Air, job: Job
) -> tuple[tuple[NewWord, ...], ...]:
    """Every set of words that might free a finding of `reading`, the least first.

    X before Z: beside the bar the tool is clear all the way to the chuck. Empty where no word of
    a plain rapid places the tool, or every such word already clears the metal by the margin.
    """
    motions = reading.trace.motions
    motion = finding.motion
    call = int(motions.call[motion])
    if call >= 0:
        first = _first_of(motions, call)
        groups = [(first, first)]
    elif motions.kind[motion] == Kind.RAPID:
        begin, end = rapid_of_block(motions, motion)
        groups = [(end + 1, begin), (begin, begin)]
    else:
        groups = [(motion, motion)]
    found: list[tuple[NewWord, ...]] = []
    everything: dict[tuple[int, int], NewWord] = {}
    for place, moment in groups:
        words = _moved_out(place, moment, reading, setup, air, job)
        fresh = [w for w in words if (w.block, w.word) not in everything]
        found += _subsets(fresh)
        everything |= {(w.block, w.word): w for w in fresh}
    if len(everything) > 2:
        found.append(tuple(everything.values()))
    return tuple(found)


def _subsets(words: Iterable[NewWord]) -> list[tuple[NewWord, ...]]:
    some = list(words)
    return [c for size in range(1, len(some) + 1) for c in combinations(some, size)]


def _first_of(motions: Motions, call: int) -> int:
    return int((motions.call == call).argmax())


def rapid_of_block(motions: Motions, motion: int) -> tuple[int, int]:
    """First and last row of the rapid that row `motion` is a leg of."""
    begin = end = motion
    block = motions.block[motion]

    def same(row: int) -> bool:
        return bool(
            motions.block[row] == block
            and motions.kind[row] == Kind.RAPID
            and motions.call[row] < 0
        )

    while begin > 0 and same(begin - 1):
        begin -= 1
    while end + 1 < len(motions) and same(end + 1):
        end += 1
    return begin, end


def _what_starts(motions: Motions, row: int) -> str:
    if row < len(motions):
        if motions.call[row] >= 0:
            return "the cycle then starts"
        if motions.kind[row] == Kind.FEED:
            return "the feed then starts"
        if motions.kind[row] == Kind.APPEAR:
            return "the tool is then changed"
    return "the rapid then ends"


def _moved_out(
    place: int,
    moment: int,
    reading: HeldReading,
    setup: SetupProof,
    air: Air,
    job: Job,
) -> list[NewWord]:
    """The words that place the tool before row `place`, moved clear of the metal that is left when
    row `moment` begins; those that already are clear of it are left out."""
    motions = reading.trace.motions
    metal = less(setup.metal_before, union(reading.keep.cut.until(moment).cut))
    row = min(place, len(motions) - 1)
    outline = setup.tool_outlines[motions.tool[row]]
    if metal.is_empty or outline.is_empty:
        return []
    # How far the tool reaches beyond its controlled point, toward the axis and the chuck.
    reach = {R: max(0.0, -outline.bounds[1]), Z: max(0.0, -outline.bounds[0])}
    surface = {R: metal.bounds[3], Z: metal.bounds[2]}
    margin = {R: air.across, Z: air.along}
    found = []
    for axis in (R, Z):
        site = site_before(setup.program, motions, place, axis, job)
        wanted = surface[axis] + margin[axis] + reach[axis]
        if site is None or site.mm >= wanted - SAME_MM:
            continue
        word = setup.program.blocks[site.block].words[site.word]
        text = outward_text(word, site, wanted)
        gap = value_of(site, word, text) - surface[axis] - reach[axis]
        found.append(_new_word(site, text, _what_starts(motions, place), gap))
    return found


def _new_word(site: Site, text: str, what: str, gap: float) -> NewWord:
    measures: tuple[Measure, ...]
    if site.axis == R:
        reason = f"{what} {{gap}} over the metal on diameter, {{radial}} between tool and metal"
        measures = (Measure("gap", 2 * gap, Quantity.DIAMETER), Measure("radial", gap))
    else:
        reason = f"{what} {{gap}} ahead of the metal"
        measures = (Measure("gap", gap),)
    return NewWord(site.block, site.word, text, reason, measures)
