"""What the proof answers: plain data for report, drawings and page.

Frame of everything in a `SetupProof`: the section of that set-up, (z, r) in millimetres, Z0 at its
part zero, r at least 0; shapely polygons.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from functools import cached_property

from shapely.geometry.base import BaseGeometry

from standclear.blocks.program import Program
from standclear.findings.finding import Finding, Measure, Place, Verdict
from standclear.motions.table import Trace
from standclear.sweeps.areas import EMPTY, union


class Part(StrEnum):
    """What met metal or an obstacle."""

    TOOL_IN_RAPID = "tool in rapid"
    HOLDER = "holder or heel in feed"
    IN_THREAD = "tool, but for the insert between tip and crest, in a thread pass"
    PAST_CENTRE = "tool past the centre line in feed"
    SPINDLE = "edge with the spindle stopped or turning the wrong way"
    APPEARING = "tool where it first stands or is changed"
    OBSTACLE = "tool against jaws, chuck or stop"


@dataclass(frozen=True)
class Strike:
    """One motion that meets what it must not."""

    motion: int
    part: Part
    overlap: BaseGeometry
    """Where it is in metal or obstacle, full outline of the tool."""
    depth_x: float
    """Extent of the overlap across the axis, mm on radius."""
    depth_z: float
    """Extent of the overlap along the axis, mm."""
    against: str = "metal"
    """`metal`, or the obstacle's name."""


@dataclass(frozen=True)
class Approach:
    """A place to watch in single block: the tool comes near metal or obstacle here."""

    motion: int
    place: Place
    tool: str
    position: tuple[float, float]
    """(z, r) of the controlled point at the end of the motion."""
    gap: float
    """Shortest distance, mm."""
    gap_radial: float | None
    """Between tool and metal across the axis, where they face each other so; else None."""
    gap_z: float | None
    against: str
    first_of_tool: bool


@dataclass(frozen=True)
class SizeFound:
    """A diameter or length that comes out, beside the one wanted (None where none is)."""

    name: str
    kind: str
    """`diameter`, `bore` or `length`."""
    z_from: float
    z_to: float
    found: float
    wanted: float | None
    tolerance: tuple[float, float] | None
    right: bool | None
    """Right over the whole range from `least` to `most`."""
    least: float | None = None
    """The least it may come out at, over the tolerances; None where no range was worked out."""
    most: float | None = None


@dataclass(frozen=True)
class SetupProof:
    """The proof of one set-up."""

    name: str
    verdict: Verdict
    program: Program
    trace: Trace
    raw: BaseGeometry
    """Largest raw outline of the blank in this set-up's frame."""
    metal_before: BaseGeometry
    """Most metal there may be when the set-up starts."""
    metal_after: BaseGeometry
    """Most metal that may be left when it ends."""
    metal_after_least: BaseGeometry
    finished: BaseGeometry | None
    """Finished outline in this frame, where the job gives one."""
    obstacles: dict[str, BaseGeometry]
    """`jaws`, `chuck`, `stop` as gripped on the largest blank."""
    keep_areas: tuple[BaseGeometry, ...]
    """Areas that make up the keep-out."""
    reach: tuple[float, float, float, float]
    """(z_min, r_min, z_max, r_max): the box in which the keep-out is known."""
    strikes: tuple[Strike, ...]
    approaches: tuple[Approach, ...]
    tool_outlines: tuple[BaseGeometry, ...]
    """For each of `trace.tools` its outline at the controlled point (0, 0); empty if unknown."""
    threads: BaseGeometry = EMPTY
    """Of `metal_after` what grooves of threads wind through, those of earlier set-ups counted."""

    @cached_property
    def keep_out(self) -> BaseGeometry:
        """Region of the section where this set-up allows no stock, within `reach`."""
        return union(self.keep_areas)


@dataclass(frozen=True, slots=True)
class WordChange:
    """One word of a program to change; nothing else of its block changes."""

    setup: str
    """The set-up in which the word places the tool."""
    program: str
    line: int
    column: int
    """Both count from 1, in the program as it stands."""
    old: str
    new: str
    reason: str
    """What the change brings about; may hold `{name}` for any measure, as a finding's sentence."""
    measures: tuple[Measure, ...] = ()


@dataclass(frozen=True)
class Changed:
    """What the job answers with every word change made, proved anew."""

    verdict: Verdict
    findings: tuple[Finding, ...]
    """Those above `note` that the job does not allow and the changes leave."""


@dataclass(frozen=True)
class JobProof:
    """The proof of a job."""

    title: str
    units: str
    verdict: Verdict
    setups: tuple[SetupProof, ...]
    findings: tuple[Finding, ...]
    """All of them, worst first within each set-up."""
    sizes: tuple[SizeFound, ...]
    """Of the section that comes out of the last set-up."""
    trusted: tuple[str, ...]
    not_examined: tuple[str, ...]
    files: dict[str, str] = field(default_factory=dict)
    """Every file read, with its SHA-256."""
    largest_size: float = 0.0
    """Of the blank, over its tolerance, mm: diameter or width across flats."""
    largest_length: float = 0.0
    outcome: BaseGeometry | None = None
    """The section that comes out, in the finished part's own frame, which is that of `sizes`: z = 0
    at the front face, negative inwards."""
    threads: BaseGeometry = EMPTY
    """Of `outcome` what grooves of threads wind through."""
    changes: tuple[WordChange, ...] = ()
    """Words to change that mend what clearance points can mend, in the order of the program; empty
    where nothing safe was found or nothing was looked for."""
    changed: Changed | None = None
    """Where there are changes: the answer with them."""
    not_mended: tuple[str, ...] = ()
    """Sentences: what no change of a clearance point's words mends, and why."""
