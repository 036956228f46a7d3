"""The stock map as a table: for each bar size the least and the greatest face allowance.

What a setter reads without a computer, so every figure is proved: each end of each range is put to
the proof of the whole job and stays only where that is clear and asks for nothing that the job as
it stands does not ask for, air, clean-up and depth of cut included. Between the two the stock
window has no edge. Figures are whole steps, drawn inward. Millimetres.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from math import floor

import shapely

from standclear.errors import StandclearError
from standclear.findings.finding import Finding, Severity, Verdict
from standclear.job.models import Job
from standclear.plan.bar_table.sizes import bar_sizes
from standclear.plan.leaning.farthest import farthest, run_together
from standclear.plan.setting.changed import exact_sum, first_turned, is_parted, with_zero
from standclear.plan.windows.frames import middle_face
from standclear.plan.windows.stock import Window
from standclear.proof.held import Held
from standclear.proof.prove import judge, other_blank
from standclear.proof.result import JobProof

FACE_STEP = {"mm": 0.05, "inch": 0.0508}
"""Step of a face allowance, mm: 0.05 mm, 0.002 in."""
ROWS = 6
"""Most bar sizes in a table."""
SAME_MM = 1e-6


@dataclass(frozen=True)
class FaceRange:
    """Face allowances that are proved for one bar size."""

    least: float
    greatest: float


@dataclass(frozen=True)
class BarRow:
    """One bar size."""

    size: float
    """As a job would state it, its tolerance on top."""
    stated: bool
    """The size in hand."""
    ends: tuple[FaceRange | None, ...]
    """For each end of the table; None where nothing was proved."""


@dataclass(frozen=True)
class BarTable:
    """The whole table."""

    setups: tuple[int, ...]
    """Numbers of the set-ups that face the raw ends, which the columns are of."""
    rows: tuple[BarRow, ...]


def bar_table(
    held: Held, job: Job, proof: JobProof, windows: Sequence[Window], rows: int = ROWS
) -> BarTable:
    """The table around the bar in hand. `held`, `job` and `proof` belong together, `windows` are
    the job's stock windows. Without rows where no window is."""
    ends = _raw_ends(job, windows)
    if not ends:
        return BarTable((), ())
    table = _Table(held, job, tuple(ends), tuple(ends.values()), _asked_for(proof), {})
    seen = [w.region.bounds for w in ends.values() if not w.region.is_empty]
    if len(seen) < len(ends):
        return BarTable(tuple(ends), ())
    least, greatest = max(b[1] for b in seen), min(b[3] for b in seen)
    stated = job.blank.size
    found: dict[float, tuple[FaceRange | None, ...]] = {}
    near: tuple[FaceRange | None, ...] = (None,) * len(ends)
    # From the size in hand outward, so that each begins at what a neighbour found.
    sizes = bar_sizes(stated, least, greatest, job.units, rows)
    for size in sorted(sizes, key=lambda each: abs(each - stated)):
        found[size] = table.row(size, near)
        if None not in found[size]:
            near = found[size]
    return BarTable(tuple(ends), tuple(BarRow(s, s == stated, found[s]) for s in sizes))


def _raw_ends(job: Job, windows: Sequence[Window]) -> dict[int, Window]:
    """Number of each set-up that faces a raw end, with its window."""
    by_name = {w.setup: w for w in windows if w.setup}
    end = first_turned(job)
    numbers = (0,) if end is None or is_parted(job) else (0, end)
    found = {k: by_name[job.setup[k].name] for k in numbers if job.setup[k].name in by_name}
    return found if len(found) == len(numbers) else {}


Numbers = tuple[int, ...]
"""Face allowances in steps of `FACE_STEP`."""
Asked = frozenset[tuple[str, str, int | None]]


def _asked_for(proof: JobProof) -> Asked:
    """What a clear job asks for as it stands; nothing of one that is not."""
    if proof.verdict is not Verdict.CLEAR:
        return frozenset()
    return frozenset(_key(f) for f in _open(proof))


def _key(finding: Finding) -> tuple[str, str, int | None]:
    line = finding.place.line if finding.place is not None else None
    return finding.setup, finding.code, line


def _open(proof: JobProof) -> Iterator[Finding]:
    return (f for f in proof.findings if f.severity > Severity.NOTE and not f.allowed_because)


@dataclass(frozen=True)
class _Table:
    """The job, and what has been proved of it so far."""

    held: Held
    job: Job
    ends: tuple[int, ...]
    windows: tuple[Window, ...]
    asked: Asked
    proved: dict[tuple[float, tuple[float, ...]], frozenset[str] | None]
    """By size and face allowances: names of the set-ups that ask for something new; None where the
    verdict is not clear."""

    def row(self, size: float, before: Sequence[FaceRange | None]) -> tuple[FaceRange | None, ...]:
        """The ranges of one bar size; `before` are those of a neighbour."""
        nothing = (None,) * len(self.ends)
        inside = self._inside(size)
        if inside is None:
            return nothing
        found = [self._outward(size, inside, before, side) for side in (-1, 1)]
        # Any allowance of one end with any of the other: every corner is put to the proof.
        corners = product(*zip(*found, strict=True))
        if not all(self._asks(size, self._faces(numbers)) == frozenset() for numbers in corners):
            return nothing
        low, high = (self._faces(numbers) for numbers in found)
        return tuple(FaceRange(*both) for both in zip(low, high, strict=True))

    def _outward(
        self, size: float, inside: Numbers, before: Sequence[FaceRange | None], side: int
    ) -> Numbers:
        """The last good face allowance of each end, less (-1) or more (1) than `inside`."""
        step = FACE_STEP[self.job.units]
        searches = []
        for window, n, near in zip(self.windows, inside, before, strict=True):
            edge = _room(window, n * step, size)[0 if side < 0 else 1]
            most = max(0, floor(side * (edge / step - n) + SAME_MM))
            first: tuple[int, ...] = (most,)
            if near is not None:
                at = round((near.least if side < 0 else near.greatest) / step)
                first = (side * (at - n), side * (at - n) + 1, most)
            searches.append(farthest(most, first))

        def good(steps: Sequence[int]) -> tuple[bool, ...]:
            return self._good(size, inside, _moved(inside, side, steps))

        ended = run_together(searches, good)
        return _moved(inside, side, [steps for steps, _ in ended])

    def _inside(self, size: float) -> Numbers | None:
        """Face allowances for which the whole job is proved with a bar of this size; None where
        none was found."""
        step = FACE_STEP[self.job.units]
        stated = [middle_face(self.job, k) for k in self.ends]
        rooms = [_room(w, at, size) for w, at in zip(self.windows, stated, strict=True)]
        for faces in (stated, [(low + high) / 2 for low, high in rooms]):
            numbers = tuple(round(at / step) for at in faces)
            held = all(w.holds(n * step, size) for w, n in zip(self.windows, numbers, strict=True))
            if held and self._asks(size, self._faces(numbers)) == frozenset():
                return numbers
        return None

    def _good(self, size: float, inside: Numbers, numbers: Numbers) -> tuple[bool, ...]:
        """For each end whether its face allowance does, the others at one that does."""
        together = self._asks(size, self._faces(numbers))
        if together == frozenset():
            return (True,) * len(numbers)
        if together is not None and len(numbers) > 1:
            return tuple(self.job.setup[k].name not in together for k in self.ends)
        # A strike at one end keeps the proof from judging the other: each by itself.
        alone = ((*inside[:k], numbers[k], *inside[k + 1 :]) for k in range(len(numbers)))
        return tuple(self._asks(size, self._faces(each)) == frozenset() for each in alone)

    def _faces(self, numbers: Numbers) -> tuple[float, ...]:
        step = FACE_STEP[self.job.units]
        return tuple(exact_sum(round(n * step, 9)) for n in numbers)

    def _asks(self, size: float, faces: tuple[float, ...]) -> frozenset[str] | None:
        key = (size, faces)
        if key not in self.proved:
            self.proved[key] = None
            try:
                answer = judge(self.held, self._job(size, faces))
            except StandclearError:
                return None
            if answer.verdict is Verdict.CLEAR:
                self.proved[key] = frozenset(
                    f.setup for f in _open(answer) if _key(f) not in self.asked
                )
        return self.proved[key]

    def _job(self, size: float, faces: tuple[float, ...]) -> Job:
        """The job with a bar of this size and these face allowances; where both ends are raw, of
        the length that leaves them."""
        length = self.job.blank.length
        if len(faces) > 1:
            length = exact_sum(faces[0], self.job.part.length, faces[1])
        changed = other_blank(self.job, bar=size, length=length, face=faces[0])
        if len(faces) > 1 and changed.setup[self.ends[1]].zero.way == "nominal":
            setups = list(changed.setup)
            setup = setups[self.ends[1]]
            zero = setup.zero.model_copy(update={"face_allowance": faces[1]})
            setups[self.ends[1]] = with_zero(setup, zero)
            changed = changed.model_copy(update={"setup": setups})
        return changed


def _room(window: Window, at: float, size: float) -> tuple[float, float]:
    """The stretch of face allowances of a window at one size: that which holds `at`, else the
    longest; (0, 0) where there is none."""
    low, _, high, _ = window.looked
    cut = shapely.LineString([(low, size), (high, size)]).intersection(window.region)
    parts = [p.bounds for p in shapely.get_parts(cut) if not p.is_empty and p.length > SAME_MM]
    holding = [(b[0], b[2]) for b in parts if b[0] <= at <= b[2]]
    if holding:
        return holding[0]
    return max(((b[0], b[2]) for b in parts), key=lambda b: b[1] - b[0], default=(0.0, 0.0))


def _moved(inside: Numbers, side: int, steps: Sequence[int]) -> Numbers:
    return tuple(n + side * count for n, count in zip(inside, steps, strict=True))
