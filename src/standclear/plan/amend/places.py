"""Which words could free a finding, and what they must say: the places that its motion stands at.

A motion inside a cycle starts and ends where the cycle is called; a plain rapid has two ends.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations
from math import ceil

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standclear.findings.finding import Finding, Measure, Quantity
from standclear.job.models import Job
from standclear.motions.table import FAR, Kind, Motions
from standclear.plan.amend.words import SAME_MM, R, Site, Z, outward_text, site_before, value_of
from standclear.proof.approach import Air
from standclear.proof.held import HeldReading
from standclear.proof.result import SetupProof
from standclear.proof.section import rectangle
from standclear.sweeps.areas import common, less, union


@dataclass(frozen=True, slots=True)
class NewWord:
    """A word moved out to where it clears the metal by the margin."""

    block: int
    word: int
    text: str
    mm: float
    """The coordinate that it gives: z, or r (radial)."""
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


WIDE = 1e6
CYCLE_STARTS = "the cycle then starts"
MOST_ELSEWHERE = 3
"""Places of other rapids that a word is moved out to, at the most."""
RUN_IN_SHORT = "thread-run-in-short"
NOT_FOLLOWED = "cannot-follow"
"""A call that makes no motions, for it stands where it has no way to go, say."""
Choice = tuple[NewWord, ...] | tuple[NewBlocks]
"""Words to change together, or blocks to put in."""


def choices(
    finding: Finding, reading: HeldReading, setup: SetupProof, air: Air, job: Job
) -> tuple[tuple[NewWord, ...], ...]:
    """Every set of words that might free a finding of `reading`, the least first.

    X before Z: beside the bar the tool is clear all the way to the chuck. Empty where no word of
    a plain rapid places the tool, or every such word already clears the metal by the margin.
    """
    if finding.code == RUN_IN_SHORT:
        return tuple((word,) for word in _run_in(finding, reading.trace.motions, setup, job))
    motions = reading.trace.motions
    motion = finding.motion
    call = int(motions.call[motion]) if motion < len(motions) else -1
    starts = ""
    if finding.code == NOT_FOLLOWED:
        groups, starts = [(motion, motion)], CYCLE_STARTS
    elif call >= 0:
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
        nearest, *others = _moved_out(place, moment, reading, setup, air, job, starts)
        fresh = [w for w in nearest if (w.block, w.word) not in everything]
        found += _subsets(fresh)
        found += [some for words in others for some in _subsets(words) if some not in found]
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


def _lead(motions: Motions, row: int) -> float:
    """Lead of the thread pass that row `row` makes or whose cycle begins with it, mm; 0 of any
    other row."""
    if row >= len(motions):
        return 0.0
    call = motions.call[row]
    rows = motions.call == call if call >= 0 else np.arange(len(motions)) == row
    feeds = motions.feed[rows & (motions.crest > 0)]
    return float(feeds[0]) if len(feeds) else 0.0


def beside_of(motions: Motions, row: int) -> float | None:
    """Z at which the nearest other pass of the thread begins that row `row` is a pass of; None
    where it is none, or the only one. A pass begun elsewhere may cut a groove of its own."""
    if row >= len(motions) or motions.crest[row] <= 0:
        return None
    alike = (motions.crest > 0) & (motions.tool == motions.tool[row])
    alike &= (motions.feed == motions.feed[row]) & (np.arange(len(motions)) != row)
    rows = np.flatnonzero(alike)
    return float(motions.start[rows[np.abs(rows - row).argmin()], Z]) if len(rows) else None


def _run_in(finding: Finding, motions: Motions, setup: SetupProof, job: Job) -> Iterator[NewWord]:
    """The word that a thread begins at, further from the metal: as far as is asked for, and by
    whole leads, which keeps it in step with passes that other words place."""
    row = finding.motion
    if motions.end[row, Z] > motions.start[row, Z]:
        return  # cut away from the chuck: further back is towards the jaws
    value = {m.name: float(m.value) for m in finding.measures}
    call = int(motions.call[row])
    first = _first_of(motions, call) if call >= 0 else row
    site = site_before(setup.program, motions, first, Z, job)
    if site is None:
        return
    back = value["wanted"] - value["run_in"]
    word = setup.program.blocks[site.block].words[site.word]
    for by in (back, ceil(back / value["lead"] - SAME_MM) * value["lead"]):
        text = outward_text(word, site, site.mm + by)
        mm = value_of(site, word, text)
        gap = value["run_in"] + mm - site.mm
        measures = (Measure("gap", gap), Measure("lead", value["lead"]))
        reason = "the thread then begins {gap} in front of the metal, at a lead of {lead}"
        yield NewWord(site.block, site.word, text, mm, reason, measures)


def _what_starts(motions: Motions, row: int) -> str:
    if row < len(motions):
        if motions.call[row] >= 0:
            return CYCLE_STARTS
        if motions.kind[row] == Kind.FEED:
            return "the feed then starts"
        if motions.kind[row] == Kind.APPEAR:
            return "the tool is then changed"
    return "the rapid then ends"


@dataclass(frozen=True)
class _Place:
    """Where words place a tool: before row `row` of the motions, with the metal that is left."""

    row: int
    starts: str
    """What begins there, for the reason given."""
    motions: Motions
    setup: SetupProof
    metal: BaseGeometry
    air: Air
    job: Job

    def sites(self) -> Iterator[tuple[int, Site]]:
        """(axis, word that gives it its place), X first."""
        for axis in (R, Z):
            site = site_before(self.setup.program, self.motions, self.row, axis, self.job)
            if site is not None:
                yield axis, site

    def clear_mm(self, axis: int, reach: dict[int, float]) -> float:
        """Where a tool of such a reach is clear of the metal by the margin, mm."""
        margin = {R: self.air.across, Z: self.air.along}
        return self.surface(axis) + margin[axis] + reach[axis]

    def surface(self, axis: int) -> float:
        """How far out the metal stands, mm."""
        return float(self.metal.bounds[3 if axis == R else 2])

    def word_at(self, site: Site, mm: float, reach: dict[int, float]) -> NewWord:
        """The word moved out to `mm`, or as little further as it can be written."""
        word = self.setup.program.blocks[site.block].words[site.word]
        text = outward_text(word, site, mm)
        there = value_of(site, word, text)
        gap = there - self.surface(site.axis) - reach[site.axis]
        return _new_word(site, text, there, self.starts, gap)


def _moved_out(
    place: int,
    moment: int,
    reading: HeldReading,
    setup: SetupProof,
    air: Air,
    job: Job,
    starts: str = "",
) -> list[list[NewWord]]:
    """The words that place the tool before row `place`, moved clear of the metal that is left when
    row `moment` begins; those that already are clear of it are left out. `starts` says what begins
    there where the row does not.

    Several answers: as near as what of the tool comes down to the metal allows; where a thread
    begins there, further along it by whole leads; clear with all of the tool's outline; and as far
    out as the program goes next elsewhere, where a lead-in, say, wants more than the metal does.
    """
    motions = reading.trace.motions
    metal = less(setup.metal_before, union(reading.keep.cut.until(moment).cut))
    row = min(place, len(motions) - 1)
    outline = setup.tool_outlines[motions.tool[row]]
    if metal.is_empty or outline.is_empty:
        return [[]]
    at = _Place(place, starts or _what_starts(motions, place), motions, setup, metal, air, job)
    lowest = float(motions.end[_rows_from(motions, row, moment), R].min())
    low_part = common(outline, rectangle(-WIDE, WIDE, -WIDE, metal.bounds[3] - lowest + air.across))
    whole, near = (reach_of(each) for each in (outline, low_part))
    found = [_clear_of_metal(at, near, 0.0)]
    if (lead := _lead(motions, place)) > 0:
        found.append(_clear_of_metal(at, near, lead))
    if whole[Z] > near[Z] + SAME_MM:
        found.append(_clear_of_metal(at, whole, 0.0))
    return found + [_as_elsewhere(at, near, number) for number in range(MOST_ELSEWHERE)]


def _rows_from(motions: Motions, row: int, moment: int) -> NDArray[np.int64]:
    """The rows that a place is for: all of the cycle that starts there, else up to `moment`."""
    if motions.call[row] >= 0:
        return np.flatnonzero(motions.call == motions.call[row])
    return np.arange(min(row, moment), max(row, moment) + 1)


def reach_of(outline: BaseGeometry) -> dict[int, float]:
    """How far a tool reaches beyond its controlled point, toward the axis and the chuck, mm."""
    if outline.is_empty:
        return {R: 0.0, Z: 0.0}
    return {R: max(0.0, -outline.bounds[1]), Z: max(0.0, -outline.bounds[0])}


def _clear_of_metal(at: _Place, reach: dict[int, float], lead: float) -> list[NewWord]:
    """The words moved until a tool of such a reach is clear of the metal; along Z by whole leads
    where there is a `lead`."""
    found = []
    for axis, site in at.sites():
        short = at.clear_mm(axis, reach) - site.mm
        if short <= SAME_MM:
            continue
        if lead > 0 and axis == Z:
            short = ceil(short / lead - SAME_MM) * lead
        found.append(at.word_at(site, site.mm + short, reach))
    return found


def _as_elsewhere(at: _Place, reach: dict[int, float], number: int) -> list[NewWord]:
    """The words moved to the place of that number, clear of the metal and beyond their own, at
    which a rapid ends; a pass of a thread to where the one next to it begins."""
    found = []
    for axis, site in at.sites():
        beyond = max(at.clear_mm(axis, reach), site.mm)
        beside = beside_of(at.motions, at.row) if axis == Z else None
        there = _stop_beyond(at.motions, axis, beyond, number) if beside is None else beside
        if there is not None and abs(there - site.mm) > SAME_MM:
            found.append(at.word_at(site, there, reach))
    return found


def _stop_beyond(motions: Motions, axis: int, beyond: float, number: int) -> float | None:
    """Of the places beyond `beyond` on an axis at which rapids of the program end, home left out,
    the one of that number, the nearest first; None where there are fewer."""
    ends = motions.end[(motions.kind == Kind.RAPID) & (motions.call < 0), axis]
    stops = np.unique(ends[(ends > beyond + SAME_MM) & (ends < FAR / 2)].round(6))
    return float(stops[number]) if number < len(stops) else None


def _new_word(site: Site, text: str, mm: float, what: str, gap: float) -> NewWord:
    measures: tuple[Measure, ...]
    if site.axis == R:
        reason = f"{what} {{gap}} over the metal on diameter, {{radial}} between tool and metal"
        measures = (Measure("gap", 2 * gap, Quantity.DIAMETER), Measure("radial", gap))
    else:
        reason = f"{what} {{gap}} ahead of the metal"
        measures = (Measure("gap", gap),)
    return NewWord(site.block, site.word, text, mm, reason, measures)
