"""Words that place a tool, moved out to where it stands clear of the metal that is left then."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from standclear.findings.finding import Measure, Quantity
from standclear.job.models import Job
from standclear.motions.table import FAR, Kind, Motions
from standclear.plan.amend.changes import NewWord
from standclear.plan.amend.words import SAME_MM, R, Site, Z, outward_text, site_before, value_of
from standclear.proof.approach import Air
from standclear.proof.held import HeldReading
from standclear.proof.result import SetupProof
from standclear.proof.section import rectangle
from standclear.sweeps.areas import common, less, union

WIDE = 1e6
CYCLE_STARTS = "the cycle then starts"
MOST_ELSEWHERE = 3
"""Places of other rapids that a word is moved out to, at the most."""


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
class Place:
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


def moved_out(
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
    at = Place(place, starts or _what_starts(motions, place), motions, setup, metal, air, job)
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


def _clear_of_metal(at: Place, reach: dict[int, float], lead: float) -> list[NewWord]:
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


def _as_elsewhere(at: Place, reach: dict[int, float], number: int) -> list[NewWord]:
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
