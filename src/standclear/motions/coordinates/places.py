"""Places: where the controlled point stands, and how programmed coordinates name it.

A coordinate is a number in millimetres, `FAR` where it is only known to lie beyond the work, or
None where nothing is known of it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from standclear.job.models import Job, Machine, Setup
from standclear.motions.step import Position
from standclear.motions.table import FAR

Coordinate = float | None


@dataclass(frozen=True, slots=True)
class Standing:
    """A place: z counted from the part zero of work offset `offset`, r radial and signed."""

    z: Coordinate
    r: Coordinate
    offset: str

    @property
    def position(self) -> Position | None:
        """(z, r) where both are known or known to lie beyond the work, else None."""
        if self.z is None or self.r is None:
            return None
        return self.z, self.r

    @property
    def exact(self) -> bool:
        """Both coordinates are numbers of the program's own frame."""
        return self.z not in (None, FAR) and self.r not in (None, FAR)


def moved_by(coordinate: Coordinate, distance: float) -> Coordinate:
    """The coordinate after an incremental word. A distance from 'beyond' leads nowhere known."""
    if coordinate is None or (coordinate == FAR and distance != 0):
        return None
    return coordinate + distance if coordinate != FAR else FAR


def z_between(values: Mapping[str, float], old: str, new: str) -> float | None:
    """What to add to a Z counted from offset `old` to count it from `new`, mm.

    `values` are the machine values of the offsets' Z; None where one of the two is not known.
    """
    if old == new:
        return 0.0
    if old not in values or new not in values:
        return None
    return values[old] - values[new]


def counted_from(standing: Standing, offset: str, values: Mapping[str, float]) -> Standing:
    """The same place counted from another work offset; z None where the values are not known."""
    shift = z_between(values, standing.offset, offset)
    if standing.z is None or standing.z == FAR:
        return replace(standing, offset=offset)
    return Standing(None if shift is None else standing.z + shift, standing.r, offset)


def offset_name(text: str) -> str:
    """`g54 ` as G54."""
    return text.strip().upper()


def offset_values(job: Job, setup_index: int) -> tuple[dict[str, float], dict[str, float]]:
    """Machine Z of each work offset (before this set-up's start mark, from it on).

    Before: as the earlier set-ups of the same program state them. From it on: this set-up's own
    value, then the others'.
    """
    own = job.setup[setup_index]
    before: dict[str, float] = {}
    for setup in job.setup[:setup_index]:
        if setup.program == own.program and setup.offset_z is not None:
            before[offset_name(setup.offset)] = setup.offset_z
    after: dict[str, float] = {}
    for setup in (own, *job.setup):
        if setup.offset_z is not None:
            after.setdefault(offset_name(setup.offset), setup.offset_z)
    return {**after, **before}, after


def follows_in_program(job: Job, setup_index: int) -> bool:
    """True where an earlier set-up runs the same program, so the tool is left standing by it."""
    own: Setup = job.setup[setup_index]
    return any(setup.program == own.program for setup in job.setup[:setup_index])


def at_start(machine: Machine) -> Standing:
    """Where the tool stands when a program starts: at home, as far as the machine file tells."""
    known = FAR if machine.home == "beyond" else None
    return Standing(known, known, "G54")
