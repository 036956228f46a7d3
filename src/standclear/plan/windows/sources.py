"""What makes up a window: everything that blocks some blanks of its plane."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from standclear.job.models import Job
from standclear.plan.windows.frames import Frame, Varying, carried_cut
from standclear.plan.windows.plane import Box
from standclear.proof.held import Held, reaching
from standclear.proof.keep_out import Layer
from standclear.proof.result import JobProof
from standclear.sweeps.areas import EMPTY, common, union


@dataclass(frozen=True)
class Cuts:
    """What other set-ups surely cut, in the frame of one, with the window's quantity as stated."""

    fixed: BaseGeometry
    sliding: BaseGeometry
    rate: float
    """How far `sliding` slides along the axis, mm a mm of the quantity."""

    def at(self, more: float) -> BaseGeometry:
        """All of it with the quantity `more` mm over what is stated."""
        return union([self.fixed, translate(self.sliding, self.rate * more)])


NO_CUTS = Cuts(EMPTY, EMPTY, 0.0)


@dataclass(frozen=True)
class Source:
    """Something that blocks a region of the window's plane."""

    region: BaseGeometry
    side: str
    """As of an `Edge`."""
    against: str
    """As of an `Edge`."""
    setup: int
    line: int = 0
    """Of a block, where one is known; counted from 1."""
    layer: Layer | None = None
    cuts: Cuts = NO_CUTS
    """Of what the layer meets: cut away before."""


@dataclass(frozen=True)
class Scope:
    """A window to draw: the job with what varies, and how far is looked."""

    held: Held
    proof: JobProof
    varied: Varying
    frames: tuple[Frame, ...]
    box: Box

    @property
    def job(self) -> Job:
        """The job as stated."""
        return self.varied.job

    @property
    def most(self) -> float:
        """Greatest change of the quantity either way, mm."""
        return max(self.varied.stated - self.box[0], self.box[2] - self.varied.stated)

    def back(self, k: int) -> float:
        """Z of the chuck-side end in set-up `k`, the furthest of any blank looked at."""
        axis = self.frames[k].back
        return min(axis.value(self.box[0]), axis.value(self.box[2]))

    def faces(self, k: int) -> tuple[float, float]:
        """Z of the raw face in set-up `k`, the least and the greatest looked at."""
        axis = self.frames[k].face
        at = (axis.value(self.box[0]), axis.value(self.box[2]))
        return min(at), max(at)

    def radius(self, k: int) -> float:
        """Strike radius of the largest blank looked at."""
        return self.frames[k].radius.value(self.box[3])

    def bore(self, k: int) -> float:
        """Least radius at which the raw blank has metal."""
        return float(self.proof.setups[k].raw.bounds[1])

    def plane(self, k: int) -> Box:
        """(face, radius) of all blanks looked at, and a little more."""
        least, greatest = self.faces(k)
        return (least - 1.0, 0.0, greatest + 1.0, self.radius(k) + 1.0)


def widened(held: Held, scopes: Sequence[Scope]) -> Held:
    """`held` with its keep-out known for every blank that any of the windows looks at."""
    readings = []
    for k, each in enumerate(held.readings):
        backs, faces = [s.back(k) for s in scopes], [s.faces(k)[1] for s in scopes]
        grown = max((w for reading in each for w in reading.wear), default=0.0) + 1.0
        radius = max(s.radius(k) for s in scopes) + grown
        box = (min(backs) - grown, 0.0, max(faces) + grown, radius)
        readings.append(tuple(reaching(reading, scopes[0].job, box) for reading in each))
    return replace(held, readings=tuple(readings))


def cuts_of(scope: Scope, of: Iterable[int], to: int) -> Cuts:
    """What the set-ups `of` surely cut, whatever their readings, in the frame of set-up `to`.

    Only one rate of sliding is kept: what slides at another is left out, which leaves more metal.
    """
    fixed: list[BaseGeometry] = []
    sliding: dict[float, list[BaseGeometry]] = {}
    for j in of:
        areas = [reading.keep.surely_cut for reading in scope.held.readings[j]]
        area = areas[0]
        for other in areas[1:]:
            area = common(area, other)
        area, rate = carried_cut(area, scope.frames, j, to)
        (fixed if rate == 0.0 else sliding.setdefault(rate, [])).append(area)
    if not sliding:
        return Cuts(union(fixed), EMPTY, 0.0)
    rate, areas = next(iter(sliding.items()))
    return Cuts(union(fixed), union(areas), rate)


def falls_of(proof: JobProof, k: int) -> list[tuple[int, float]]:
    """Motion of set-up `k` after which metal falls by the job's word, and the Z in front of which
    it does."""
    name, found = proof.setups[k].name, []
    for f in proof.findings:
        sizes = {m.name: m.value for m in f.measures}
        if f.code == "loose-metal" and f.setup == name and not f.unproven and "limit" not in sizes:
            found.append((f.motion, float(sizes["z_from"])))
    return sorted(found)


def fallen_z(proof: JobProof, k: int) -> float | None:
    """Z that the part is parted at in set-up `k`; None where nothing falls."""
    return min((z for _, z in falls_of(proof, k)), default=None)


def raw_faced(proof: JobProof) -> tuple[int, ...]:
    """Numbers of the set-ups before which an end is still raw."""
    if len(proof.setups) > 1 and fallen_z(proof, 0) is None:
        return (0, 1)
    return (0,)
