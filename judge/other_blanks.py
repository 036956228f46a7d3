"""The judge on other blanks: whether a job's set-ups strike, and clean up, with a blank of another
face allowance, length or size.

Nothing is shrunk or grown here: a strike counts from a point of the tool that lies deeper than the
pixels may be wrong by, raw surface from a cell that no cut has cleared. So an edge between blanks
that are good and blanks that are not comes out to about a pixel, and no answer is doubtful.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from judge.clamp import Placed, first_places, turned_places
from judge.jobfile import JobFile, read_job_text
from judge.motion import Move, Undecided
from judge.play import play_programs
from judge.raster import (
    HELD_BITS,
    HELD_STRIKE,
    METAL,
    SHIFT,
    STRIKE,
    front_row,
)
from judge.replay import BURR_MM
from judge.rows import OPEN_VALUES, OpenRow
from judge.section import Section, fresh, hold, turn
from judge.toolbox import Toolbox
from judge.track import Track, play, track_of

OVER_CORNERS = {"round": 1.0, "tube": 1.0, "hexagon": 2 / 3**0.5, "square": 2**0.5}
RAW_PIXELS = 0.6
"""A surface that has lost less than so many pixels counts as raw."""
MOST_CORNERS = 24
"""Corners of the tolerances played for one blank; a job with more takes too long."""


@dataclass(frozen=True)
class Asked:
    """Which question a window answers, by the judge's own words."""

    across: str
    """`face` of set-up `setup`, or `length`."""
    setup: int
    """0 for the length."""
    diameter: bool
    """Whether the diameter is to clean up too; a job may leave a band whatever the blank."""
    face: tuple[bool, bool]
    """Whether each end's face is to clean up."""

    @property
    def counted(self) -> tuple[int, ...]:
        """Numbers of the set-ups whose strikes count."""
        return (0, 1) if self.across == "length" else (self.setup,)


@dataclass(frozen=True)
class Ways:
    """Every way that a job may run, apart from the corners of its bench."""

    job: JobFile
    shape: str
    size: float
    """As stated, mm."""
    wander: float
    """How far the surface may leave its true place, on radius."""
    moves: tuple[tuple[tuple[Move, ...], ...], ...]
    """One entry for each reading of the program: the moves of each set-up."""
    tracks: tuple[tuple[Track, ...], ...]
    """The same ready to be played, for each corner of the bounds of wear."""
    pixel: float

    @property
    def stated_face(self) -> tuple[float, float]:
        """The face allowances of both ends, everything as stated."""
        first, second = self.job.setups
        length = sum(self.job.blank.lengths) / len(self.job.blank.lengths)
        front = first.allowance if first.way != "stop" else length - (first.from_stop or 0.0)
        back = (
            second.allowance if second.way == "nominal" else length - front - self.job.part_length
        )
        return front, back


def read_ways(files: dict[str, str], pixel: float) -> Ways:
    """Reads a two-sided job once for all blanks. Raises `Undecided`."""
    text = files["job.toml"]
    table: dict[str, Any] = tomllib.loads(text)
    blank, unit = table["blank"], 25.4 if table["units"] == "inch" else 1.0
    job = read_job_text(text)
    if len(job.setups) != 2 or not job.setups[1].turned:
        raise Undecided("not a job of two ends")
    left: list[JobFile] = [job]
    found: list[tuple[tuple[Move, ...], ...]] = []
    while left:
        reading = left.pop()
        try:
            played = play_programs(reading, files)
        except OpenRow as met:
            if met.row not in OPEN_VALUES:
                raise
            left += [
                replace(reading, control={**reading.control, met.row: value})
                for value in OPEN_VALUES[met.row]
            ]
            continue
        if played.unfollowed:
            raise Undecided(played.unfollowed)
        if played.moves not in found:
            found.append(played.moves)
    wander = ((blank.get("run_out") or 0.0) / 2 + (blank.get("bow") or 0.0)) * unit
    ways = by_pixels(
        Ways(
            job, blank.get("shape", "round"), blank["size"] * unit, wander, tuple(found), (), pixel
        ),
        pixel,
    )
    corners = len(ways.tracks) * len(first_places(job.setups[0], job.blank))
    if corners > MOST_CORNERS:
        raise Undecided(f"{corners} corners of the tolerances")
    return ways


def by_pixels(ways: Ways, pixel: float) -> Ways:
    """The same ways by pixels of another size. Raises `Undecided`."""
    toolbox = Toolbox(ways.job, pixel)
    tracks = (
        tuple(track_of(part, tools) for part in moves)
        for moves in ways.moves
        for tools in toolbox.corners(moves)
    )
    return replace(ways, tracks=tuple(tracks), pixel=pixel)


def other_job(ways: Ways, asked: Asked, across: float, size: float) -> JobFile:
    """The job with `across` and a bar of this size, the zeros set as their ways set them."""
    job, more = ways.job, size - ways.size
    blank = replace(
        job.blank,
        radius_low=job.blank.radius_low + more / 2,
        radius_high=job.blank.radius_high + more / 2,
        outer=job.blank.outer + more / 2 * OVER_CORNERS[ways.shape],
    )
    first, second = job.setups
    length = sum(blank.lengths) / len(blank.lengths)
    longer = 0.0
    if asked.across == "length":
        longer = across - length
    elif asked.setup == 0 and first.way == "stop":
        first = replace(first, from_stop=length - across)
    elif asked.setup == 0:
        first = replace(first, allowance=across)
    elif second.way == "nominal":
        second = replace(second, allowance=across)
    elif first.way == "stop":
        first = replace(first, from_stop=job.part_length + across)
    else:
        longer = job.part_length + ways.stated_face[0] + across - length
    blank = replace(blank, lengths=tuple(one + longer for one in blank.lengths))
    return replace(job, blank=blank, setups=(first, second))


def is_good(ways: Ways, asked: Asked, across: float, size: float) -> bool:
    """Whether no set-up that counts strikes, and every surface asked for cleans up, at every
    corner; no blank shorter than the part is good. Raises `Undecided`."""
    if asked.across == "length" and across < ways.job.part_length:
        return False
    job = other_job(ways, asked, across, size)
    clean_radius = job.blank.radius_low - ways.wander
    return all(
        _Bench(job, tracks, ways.pixel, asked, clean_radius).good() for tracks in ways.tracks
    )


@dataclass
class _Bench:
    """One way of running, at every corner of the tolerances."""

    job: JobFile
    tracks: tuple[Track, ...]
    pixel: float
    asked: Asked
    clean_radius: float

    def good(self) -> bool:
        first = self.job.setups[0]
        return all(self._first(p) for p in first_places(first, self.job.blank))

    def _first(self, placed: Placed) -> bool:
        section = fresh(self.job, placed, self.pixel, 0.0)
        if not self._run(0, section, placed):
            return False
        return all(
            self._second(section, placed, place)
            for face in sorted({section.face(burr) for burr in BURR_MM})
            for place in self._places(placed, face)
        )

    def _places(self, placed: Placed, face: float) -> Iterator[Placed]:
        job = self.job
        yield from turned_places(job.setups[1], job.blank, job.part_length, placed, face)

    def _second(self, section: Section, before: Placed, placed: Placed) -> bool:
        assert placed.mirror is not None
        turned = turn(section, placed.mirror)
        return self._run(1, turned, placed) and self._cleaned(turned, before, placed)

    def _run(self, index: int, section: Section, placed: Placed) -> bool:
        """Plays a set-up; False where it strikes. Raises `Undecided` where that does not count."""
        counts = index in self.asked.counted
        if counts:
            hold(section, self.job.setups[index], placed, 0.0)
        if (play(section, self.tracks[index]) & (STRIKE | HELD_STRIKE)).any():
            if not counts:
                raise Undecided("the other end strikes: how the part seats then is anyone's guess")
            return False
        section.grid &= np.uint8(0xFF ^ HELD_BITS)
        return True

    def _cleaned(self, section: Section, before: Placed, placed: Placed) -> bool:
        """Whether what is left, in the second set-up's frame, lies within the raw surfaces asked
        for, each drawn where the smallest blank has it."""
        assert placed.mirror is not None
        metal, p, lean = (section.grid & METAL) > 0, section.p, self.job.blank.lean
        if not metal.any():
            return True
        # A pip or foil that may give way is no raw face.
        burr = max(1, round(BURR_MM[-1] / p))
        ahead = front_row(section.grid, burr) + burr
        behind = front_row(np.ascontiguousarray(section.grid[::-1]), burr) + burr
        lowest, highest = section.z0 + (len(metal) - behind) * p, section.z0 + ahead * p
        front, back = self.asked.face
        # A raw surface that is left comes out up to half a pixel off.
        if front and lowest < placed.mirror - (before.front - lean) + RAW_PIXELS * p:
            return False
        if back and highest > placed.front - lean - RAW_PIXELS * p:
            return False
        if not self.asked.diameter:
            return True
        first = max(0, round((-self.job.part_length - section.z0) / p))
        last = max(0, round((0.0 - section.z0) / p))
        columns = np.flatnonzero(metal[first:last].any(axis=0))
        top = (columns[-1] + 1 - SHIFT) * p if len(columns) else 0.0
        return top <= self.clean_radius - RAW_PIXELS * p
