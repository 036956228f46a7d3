"""The answer to a measured first part, as plain data.

Millimetres throughout; diameters and X on diameter; changes + away from spindle and axis.
"""

from __future__ import annotations

from dataclasses import dataclass

from standclear.findings.finding import Finding, Place, Verdict


@dataclass(frozen=True)
class Gauge:
    """One line of the measurements: mm, `uncertainty` plus or minus."""

    name: str
    measured: float
    uncertainty: float


@dataclass(frozen=True)
class SizeSum:
    """One measured size with its sum."""

    name: str
    kind: str
    measured: float
    uncertainty: float
    made: float
    """What the program makes of it."""
    low: float
    """Least and greatest that is right."""
    high: float
    setup: str
    """Where and by which station its surface is cut; empty and None where no offset moves it."""
    station: int | None
    after: float
    """What the corrections make of it, by the sum."""
    right_before: bool
    """Right, whatever the gauge's uncertainty."""
    right_after: bool
    unexplained: str
    """Why no offset explains it; empty where one does."""


@dataclass(frozen=True)
class Keyed:
    """One change to key in."""

    kind: str
    """`zero`: Z of a work offset; `z`, `x`: wear of a tool's offset."""
    setups: tuple[str, ...]
    """Set-ups whose motions it moves."""
    word: str
    """The work offset, or the offset's number."""
    change: float
    old: float | None
    """Machine value of the work offset, where the job states it."""
    new: float | None
    was_off: float
    """How far it was off when the part was cut, by the sizes."""
    because: tuple[tuple[str, float, float], ...]
    """Sizes that ask for it: name, measured less made, and how far it moves for each mm."""
    way: str
    """Of the zero, for a work offset; else empty."""
    also: tuple[str, ...]
    """Other offsets that would explain the same sizes, such as `Z of offset 2`."""


@dataclass(frozen=True)
class Moves:
    """What the corrections do in one set-up. Largest blank."""

    setup: str
    face_before: float
    """How far the raw face may stand out in front of part zero."""
    face_after: float
    gaps: tuple[tuple[Place, str, float, float], ...]
    """Place, against what, gap before and after."""


@dataclass(frozen=True)
class Taper:
    """Diameters of one tool that no one offset makes right."""

    front: str
    back: str
    """Names of the sizes furthest apart."""
    grows: float
    """How much more the back one is off than the front one, on diameter."""
    over: float
    """Length between them."""


@dataclass(frozen=True)
class Correction:
    """The whole answer."""

    sizes: tuple[SizeSum, ...]
    keyed: tuple[Keyed, ...]
    tapers: tuple[Taper, ...]
    moves: tuple[Moves, ...]
    proved: Verdict
    """With the changes keyed in, whether the offsets were off or the gauge was."""
    new_findings: tuple[Finding, ...]
    """Above `note`, that the changes bring."""
    not_as_summed: tuple[str, ...]
    """Sizes that the proof does not see move as the sum says: another tool reaches the surface."""
    not_measured: tuple[str, ...]
    """Sizes of the job that the measurements leave out."""

    @property
    def settled(self) -> bool:
        """Every measured size is right once it is keyed in, and the job is clear with it."""
        return (
            all(size.right_after for size in self.sizes)
            and not any(size.unexplained for size in self.sizes)
            and self.proved is Verdict.CLEAR
            and not self.new_findings
            and not self.not_as_summed
        )
