"""The shift window: how far the zero of each clamping may be moved either way, and what stops it.

A zero moved towards the chuck by s stands s deeper in the metal: in that clamping metal and jaws
come s nearer the tools, in the ones after it the part comes out as its zeros are then set. All of
that slides at a steady rate, so the window is that of the stock windows with the shift across, read
at the bar in hand: nothing is tried. Margins of air are not counted.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import shapely

from standclear.findings.finding import Finding, Verdict
from standclear.job.models import Job, Setup, Zero
from standclear.job.placing import place_setups
from standclear.job.setup_checks import is_turned, same_clamping
from standclear.plan.setting.bounds import open_findings
from standclear.plan.windows.edges import first_met
from standclear.plan.windows.frames import frames_of
from standclear.plan.windows.sources import Scope, Source, widened
from standclear.plan.windows.stock import LOOK_MM, blocking, not_seated
from standclear.proof.held import Held
from standclear.proof.prove import judge
from standclear.proof.result import JobProof
from standclear.proof.sizes import GENERAL_TOLERANCE_MM

INSIDE_MM = 0.02
"""How far within its window a shift is proved."""
NEAR_MM = 1e-6


@dataclass(frozen=True)
class Stop:
    """Something that a zero moved so far meets."""

    by: float
    """How far part zero may move that way before, mm."""
    side: str
    """As of an `Edge`, or `comes out too long or too short`."""
    against: str
    """As of an `Edge`, or `length`."""
    setup: str
    line: int
    """Of the block first met there, counted from 1; 0 where none is."""


@dataclass(frozen=True)
class Side:
    """A shift window to one side."""

    by: float
    """How far part zero may move that way, mm: to the first of `stops`, or as far as is looked."""
    stops: tuple[Stop, ...]
    """The first of its kind each, nearest first: metal, jaws, chuck, stop, clean-up, length, metal
    that comes loose."""
    verdict: Verdict | None
    """Of the proof just within; None where the way of setting this zero gives it no number to
    change, or there is no room."""
    findings: tuple[str, ...]
    """Codes of what that proof has to mend that the zero as it stands has not."""


@dataclass(frozen=True)
class ShiftWindow:
    """How far the zero of one clamping may move, everything else as it is."""

    setups: tuple[str, ...]
    """Set-ups of the clamping."""
    offsets: tuple[str, ...]
    """Their work offsets."""
    toward: Side | None
    """Towards the chuck: the offset's value gets smaller by it. None where the job is not clear or
    does not clean up with the zero as it stands."""
    away: Side | None
    """Away from the chuck."""
    why: str
    """Where there is no window: what is against the zero as it stands."""


@dataclass(frozen=True)
class Shifted:
    """The job with the zero of the set-ups `group` moved towards the chuck."""

    job: Job
    group: tuple[int, ...]

    @property
    def stated(self) -> float:
        """As it stands, nothing is moved."""
        return 0.0

    def at(self, x: float, size: float) -> Job:
        """The job with part zero `x` mm nearer the chuck and a blank of this size.

        Where the length is measured and the difference keyed in there is no number to change: the
        same place of zero is then given from the seat.
        """
        setups = [
            _moved(setup, self.job.part.length, x) if k in self.group else setup
            for k, setup in enumerate(self.job.setup)
        ]
        blank = self.job.blank.model_copy(update={"size": size})
        return self.job.model_copy(update={"setup": setups, "blank": blank})

    @property
    def has_number(self) -> bool:
        """Whether a number of the job moves this zero, so that the moved job can be proved."""
        return all(self.job.setup[k].zero.way != "measured" for k in self.group)


def _moved(setup: Setup, finished: float, by: float) -> Setup:
    zero = setup.zero
    if zero.way in ("stop", "finished-on-stop", "measured"):
        from_stop = finished if zero.from_stop is None else zero.from_stop
        way = "finished-on-stop" if zero.way == "measured" else zero.way
        changed = Zero(way=way, from_stop=from_stop - by, error=zero.error)
    else:
        changed = zero.model_copy(update={"face_allowance": (zero.face_allowance or 0.0) + by})
    return setup.model_copy(update={"zero": changed})


def shift_windows(held: Held, job: Job, proof: JobProof) -> tuple[ShiftWindow, ...]:
    """The window of each clamping's zero, in order; `held` and `job` are what `proof` was judged
    from."""
    groups: list[tuple[int, ...]] = []
    for k in range(len(job.setup)):
        if k > 0 and same_clamping(job, k):
            groups[-1] = (*groups[-1], k)
        else:
            groups.append((k,))
    scopes = [_scope(held, job, proof, group) for group in groups]
    wide = widened(held, scopes)
    return tuple(
        _window(replace(scope, held=wide), Shifted(job, group), held)
        for scope, group in zip(scopes, groups, strict=True)
    )


def _scope(held: Held, job: Job, proof: JobProof, group: tuple[int, ...]) -> Scope:
    varied = Shifted(job, group)
    size = job.blank.size
    box = (-LOOK_MM, size - INSIDE_MM, LOOK_MM, size + INSIDE_MM)
    return Scope(held, proof, varied, frames_of(varied, proof), box)


def _window(scope: Scope, shifted: Shifted, held: Held) -> ShiftWindow:
    job, group = shifted.job, shifted.group
    names = tuple(job.setup[k].name for k in group)
    offsets = tuple(dict.fromkeys(job.setup[k].offset for k in group))
    # What was made before this clamping stays as it was.
    touched = tuple(range(group[0], len(job.setup)))
    if unseated := not_seated(scope.proof, touched):
        why = f"the part cannot sit in set-up {unseated[0]}"
        return ShiftWindow(names, offsets, None, None, why)
    sources, _, _ = blocking(scope, touched)
    blocked = [*_blocked(scope, sources), *_length_off(scope, group)]
    here = [b for b in blocked if b.low <= NEAR_MM and b.high >= -NEAR_MM]
    if here:
        source = here[0].source
        why = f"set-up {scope.proof.setups[source.setup].name} {source.side} ({source.against})"
        return ShiftWindow(names, offsets, None, None, why)
    return ShiftWindow(
        names,
        offsets,
        _side(scope, shifted, held, [b for b in blocked if b.low > 0], 1.0),
        _side(scope, shifted, held, [b for b in blocked if b.high < 0], -1.0),
        "",
    )


def _side(
    scope: Scope, shifted: Shifted, held: Held, blocked: Sequence[_Blocked], sign: float
) -> Side:
    """The side on which shifts have this sign."""
    size = scope.job.blank.size
    nearest: dict[tuple[str, str], _Blocked] = {}
    for each in sorted(blocked, key=lambda b: b.low if sign > 0 else -b.high):
        source = each.source
        cleaned = source.side == "does not clean up"
        nearest.setdefault((source.side, "" if cleaned else source.against), each)
    stops = []
    for each in nearest.values():
        by, source = (each.low if sign > 0 else -each.high), each.source
        if by < LOOK_MM - NEAR_MM:
            line = source.line or first_met(scope, source, sign * by, size)
            name = scope.proof.setups[source.setup].name
            stops.append(Stop(by, source.side, source.against, name, line))
    by = stops[0].by if stops else LOOK_MM
    verdict, findings = _proved_within(scope, shifted, held, sign, by)
    return Side(by, tuple(stops), verdict, findings)


def _proved_within(
    scope: Scope, shifted: Shifted, held: Held, sign: float, by: float
) -> tuple[Verdict | None, tuple[str, ...]]:
    """The verdict of the furthest shift but a little, and codes of what is then new to mend."""
    if not shifted.has_number or by <= INSIDE_MM:
        return None, ()
    before = {_key(f) for f in open_findings(scope.proof)}
    moved = judge(held, shifted.at(sign * (by - INSIDE_MM), scope.job.blank.size))
    new = [f.code for f in open_findings(moved) if _key(f) not in before]
    return moved.verdict, tuple(dict.fromkeys(new))


def _key(finding: Finding) -> tuple[str, str, int]:
    return finding.setup, finding.code, finding.place.line if finding.place else 0


@dataclass(frozen=True)
class _Blocked:
    """Shifts from `low` to `high` that something blocks."""

    low: float
    high: float
    source: Source


def _blocked(scope: Scope, sources: Sequence[Source]) -> Iterator[_Blocked]:
    """The shifts that block the bar in hand."""
    x_min, _, x_max, _ = scope.box
    size = scope.job.blank.size
    line = shapely.LineString([(x_min, size), (x_max, size)])
    for source in sources:
        for part in shapely.get_parts(line.intersection(source.region)):
            if not part.is_empty:
                yield _Blocked(float(part.bounds[0]), float(part.bounds[2]), source)


def _length_off(scope: Scope, group: tuple[int, ...]) -> Iterator[_Blocked]:
    """The shifts by which the part comes out longer or shorter than it may."""
    job = scope.job
    whole = [s.tolerance for s in job.part.sizes if s.length == job.part.length]
    low, high = whole[0] if whole else (-GENERAL_TOLERANCE_MM, GENERAL_TOLERANCE_MM)
    for k in range(group[0], len(job.setup)):
        if not is_turned(k, job.setup[k]):
            continue
        step = scope.frames[k].steps[-1]
        found = place_setups(job)[k].finished_length
        if found is None or step.rate == 0.0 or k == 0:
            continue
        # Finished length = -c; c moves at `rate`.
        room = job.part.length + high - found.hi, found.lo - (job.part.length + low)
        source = Source(shapely.Polygon(), "comes out too long or too short", "length", k)
        shorter, longer = room[1] / abs(step.rate), room[0] / abs(step.rate)
        toward, away = (shorter, longer) if step.rate > 0 else (longer, shorter)
        yield _Blocked(min(toward, LOOK_MM), LOOK_MM, source)
        yield _Blocked(-LOOK_MM, max(-away, -LOOK_MM), source)
