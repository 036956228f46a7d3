"""The number to key in for a zero: part zero moved along Z by what the findings are short of.

Away from the chuck every motion of that end stands further out from raw face and jaws, towards it
more comes off that face; the other end gets the rest. Read off the findings, then judged; nothing
is swept.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import chain
from math import ceil

from standclear.findings.finding import Finding, Severity
from standclear.job.models import Job
from standclear.job.placing import place_setups
from standclear.job.setup_checks import is_turned, same_clamping
from standclear.plan.amend.codes import FROM_ELSEWHERE
from standclear.plan.amend.trial import weighty
from standclear.plan.setting.changed import exact_sum, with_zero
from standclear.plan.setting.split import increment_of, split_of
from standclear.plan.setting.zeros import to_step
from standclear.proof.held import Held
from standclear.proof.judge_setup import JAW_MARGIN_MM, air_owed
from standclear.proof.prove import judge
from standclear.proof.result import JobProof
from standclear.sweeps.areas import less, union

JAWS = frozenset({"jaws-near", "jaws-struck"})
MOST_JUDGED = 10
"""Numbers judged for one zero; the sums of the first finding nearly always hold the right one."""
MOST_HALVED = 4
"""Numbers judged half way from the one that leaves least to the next."""
STATED, READ_OFF, MEASURED, OTHER_WAY = 0, 1, 2, 3
"""What a number is worth, best first: the job's own sum, or what all findings are short of; what
one finding says it is short of; how large what is struck or left is, which need not be that; the
way that brings motions nearer, where an earlier cut may then take what they come near to."""
_Rank = tuple[tuple[int, int], float]
"""Stops and findings that are left, and all that they measure."""
LEAST_MM = 1e-6
RAW = frozenset({"face-left-raw", "size-wrong"})
CLEAN_UP_MM = 0.1
"""Comes off a face at the least, where it can: common practice, no source."""
LENGTH_OFF_MM = 0.01
"""A finished length nearer to the one wanted than this is that length."""


@dataclass(frozen=True)
class OffsetChange:
    """A zero set otherwise; lengths in mm."""

    setup: str
    offset: str
    """The word, such as `G54`."""
    change: float
    """Of part zero along +Z, away from the chuck."""
    way: str
    """How the zero is set: `stop`, `touch` or `rule`, `finished-on-stop` or `nominal`."""
    old: float
    """The number as keyed in now: zero from the stop, or face allowance."""
    new: float
    job: Job
    """The job with it keyed in."""


def offset_change(
    held: Held, job: Job, proof: JobProof, *, step_on: bool = True
) -> tuple[OffsetChange, JobProof] | None:
    """The move of one zero that leaves the fewest findings and some kind of them nowhere, and
    brings none of another kind, with the answer then; the least such move. None where none does.

    `step_on` goes on from moves that leave less; without it only what the findings of `proof`
    itself are short of is judged.
    """
    best: tuple[tuple[int, int, float], OffsetChange, JobProof] | None = None
    here = _weight(proof)
    for index in _keyed(job):
        for change, answer in _moves(held, job, proof, index, step_on=step_on):
            rank = (*_weight(answer), abs(change.change))
            # Fewer of a kind is no gain: a zero far enough out leaves everything raw in one piece.
            gains = set(_kinds(answer)) < set(_kinds(proof)) and (
                rank[0] < here[0] or _amount(answer) <= _amount_of(proof, set(_kinds(answer)))
            )
            gains = gains and _raw(answer) <= _raw(proof) + LEAST_MM
            if gains and rank[:2] < here and (best is None or rank < best[0]):
                best = rank, change, answer
    return None if best is None else best[1:]


def _weight(proof: JobProof) -> tuple[int, int]:
    """How many stops, and how many findings that ask for a change."""
    found = weighty(proof)
    return sum(f.severity is Severity.STOP or f.unproven for f in found), len(found)


def _keyed(job: Job) -> Iterator[int]:
    """Set-ups whose zero is one number that somebody keys in."""
    for index, setup in enumerate(job.setup):
        if index > 0 and not is_turned(index, setup) and same_clamping(job, index):
            continue
        if setup.zero.way != "measured":
            yield index


def _moves(
    held: Held, job: Job, proof: JobProof, index: int, *, step_on: bool
) -> Iterator[tuple[OffsetChange, JobProof]]:
    """Zeros of a set-up moved by what the findings are short of, and with `step_on` on from each
    that leaves less, with the answers; what leaves least is gone on from first. Where none of them
    leaves nothing, what the split of the length asks for and, with `step_on`, numbers between."""
    step = increment_of(job)
    judged = {0.0: proof}
    waiting: list[tuple[_Rank, int, float, float]] = []

    def wait(start: float, job_then: Job, now: JobProof) -> None:
        for (sign, short), worth in _shorts(held, job_then, now, index).items():
            out = round(start + sign * ceil(short / step - 1e-6) * step, 6)
            heappush(waiting, (_rank(now), worth, abs(out - start), out))

    allowed = max(_length_off(job), LENGTH_OFF_MM)

    def tried(out: float) -> tuple[OffsetChange, JobProof] | None:
        """None for a number judged before, or that makes the finished length wrong."""
        change = _changed(job, index, out)
        if out in judged or _length_off(change.job) > allowed:
            return None
        judged[out] = judge(held, change.job)
        return change, judged[out]

    wait(0.0, job, proof)
    while waiting and len(judged) <= MOST_JUDGED:
        before, _, _, out = heappop(waiting)
        if (move := tried(out)) is None:
            continue
        yield move
        change, answer = move
        if not weighty(answer):
            return
        less = _weight(answer) <= before[0] and _amount(answer) < before[1]
        if step_on and (less or _weight(answer) < before[0]):
            wait(out, change.job, answer)
    between = (_halfway(judged) for _ in range(MOST_HALVED if step_on else 0))
    for out in chain(_by_the_split(job, index), between):
        if (move := tried(to_step(out, step))) is None:
            continue
        yield move
        if not weighty(move[1]):
            return


def _by_the_split(job: Job, index: int) -> Iterator[float]:
    """Moves of a zero that the spare length asks for where the findings lead astray: of the first
    end what leaves both ends alike, of a face allowance what the other end's leaves it."""
    split, setup = split_of(job), job.setup[index]
    first = split.front.setup == setup.name
    if first and split.even:
        yield -split.even
    behind = (s.zero.face_allowance for s in job.setup[index + 1 :] if s.zero.way == "nominal")
    other = next(behind, None) if first else split.front.allowance
    mine = setup.zero.face_allowance
    if mine is not None and other is not None and (first or setup.zero.way == "nominal"):
        yield mine - (split.blank - split.finished - other)


def _halfway(judged: Mapping[float, JobProof]) -> float:
    """Half way from the move that leaves least to the next one judged, on the side where that lies
    further off; the move itself where it is the only one."""
    best = min(judged, key=lambda out: (_rank(judged[out]), abs(out)))
    gaps = [out - best for out in judged if out != best]
    sides = [min(side, key=abs) for side in ([g for g in gaps if g > 0], [g for g in gaps if g < 0])
             if side]  # fmt: skip
    return best + max(sides, key=abs, default=0.0) / 2


def _own_end(job: Job, index: int) -> set[str]:
    """The set-ups from `index` until the part is turned round."""
    turns = (k for k in range(index + 1, len(job.setup)) if is_turned(k, job.setup[k]))
    return {s.name for s in job.setup[index : next(turns, None)]}


def _rank(proof: JobProof) -> _Rank:
    return _weight(proof), _amount(proof)


def _shorts(held: Held, job: Job, proof: JobProof, index: int) -> dict[tuple[int, float], int]:
    """What the findings are short of, least and most of each kind: (way along Z, mm), and what it
    is worth. Where the motions of that end stand too near, only the way out helps."""
    own = _own_end(job, index)
    before = {s.name for s in job.setup[:index]}
    kinds: dict[tuple[str, str, int, int], list[float]] = {}
    for finding in weighty(proof):
        if finding.setup in before:
            continue
        for number, (worth, short) in enumerate(_short_by(held, job, proof, finding)):
            if short > LEAST_MM:
                key = (finding.setup, finding.code, number, worth)
                kinds.setdefault(key, []).append(short)
    found: dict[tuple[int, float], int] = {}
    needed = 0.0
    if any(f.code in RAW for f in weighty(proof)):
        found |= _to_clean_up(job, index, own)
    for (setup, code, _, worth), values in kinds.items():
        outward = setup in own and (code in JAWS or code in FROM_ELSEWHERE)
        ways = (1,) if outward and code != "cut-too-deep" else (1, -1)
        for way, short in ((way, short) for way in ways for short in (min(values), max(values))):
            found[way, short] = min(worth, found.get((way, short), worth))
        if ways == (1,) and worth == READ_OFF:
            needed = max(needed, *values)
            found.setdefault((-1, max(values)), OTHER_WAY)
    if needed > 0:
        found[1, needed] = STATED  # less than the most of what is too near leaves some of it so
    return found


def _to_clean_up(job: Job, index: int, own: set[str]) -> dict[tuple[int, float], int]:
    """How far the zero is from where each raw face is cut clean at Z0, and what that is worth."""
    found: dict[tuple[int, float], int] = {}
    for placing in place_setups(job)[index:]:
        behind = -placing.face_cleanup_z
        way = -1 if placing.name in own else 1
        for by, worth in ((behind, STATED), (behind + CLEAN_UP_MM, MEASURED)):
            if by > LEAST_MM:
                found[way, by] = worth
    return found


def _length_off(job: Job) -> float:
    """How far the finished length, in mid tolerance, is from the one wanted, mm."""
    lengths = [p.finished_length for p in place_setups(job) if p.finished_length is not None]
    return max((abs((x.lo + x.hi) / 2 - job.part.length) for x in lengths), default=0.0)


def _raw(proof: JobProof) -> float:
    """What stays raw of faces, allowed or not, mm. A job that lets a face stay raw does not say
    where its zero belongs: it must not be moved to where more does."""
    return sum(
        m.value
        for f in proof.findings
        for m in f.measures
        if f.code == "face-left-raw" and m.name == "width" and isinstance(m.value, float)
    )


def _amount(proof: JobProof) -> float:
    """All that the findings measure, summed: it shrinks towards the right number."""
    return _amount_of(proof, set(_kinds(proof)))


def _amount_of(proof: JobProof, kinds: set[tuple[str, str]]) -> float:
    names = ("width", "depth", "off")
    return sum(
        m.value
        for f in weighty(proof)
        if (f.setup, f.code) in kinds
        for m in f.measures
        if m.name in names and isinstance(m.value, float)
    )


def _kinds(proof: JobProof) -> Counter[tuple[str, str]]:
    return Counter((f.setup, f.code) for f in weighty(proof))


def _changed(job: Job, index: int, out: float) -> OffsetChange:
    """The zero of a set-up `out` mm further from the chuck."""
    setup = job.setup[index]
    zero = setup.zero
    if zero.way in ("stop", "finished-on-stop"):
        old = job.part.length if zero.from_stop is None else zero.from_stop
        new = exact_sum(old, out)
        moved = zero.model_copy(update={"from_stop": new})
    else:
        old = zero.face_allowance or 0.0
        new = exact_sum(old, -out)
        moved = zero.model_copy(update={"face_allowance": new})
    setups = [with_zero(s, moved) if k == index else s for k, s in enumerate(job.setup)]
    job_then = job.model_copy(update={"setup": setups})
    return OffsetChange(setup.name, setup.offset, out, zero.way, old, new, job_then)


def _short_by(
    held: Held, job: Job, proof: JobProof, finding: Finding
) -> Iterator[tuple[int, float]]:
    """How far, one way or the other, the zero might have to move for a finding to go, mm, after
    what the number is worth."""
    value = {m.name: m.value for m in finding.measures if isinstance(m.value, float)}
    if finding.code == "jaws-near":
        yield READ_OFF, value["margin"] - value["gap"]
    elif finding.code == "jaws-struck":
        index = next(k for k, s in enumerate(job.setup) if s.name == finding.setup)
        margin = job.setup[index].margin.jaws
        margin = JAW_MARGIN_MM if margin is None else margin
        yield READ_OFF, value["z_to"] - value["z_from"] + margin
    elif finding.code in ("start-inside-metal", "start-too-near"):
        before = value.get("before", -value.get("behind", 0.0))
        yield READ_OFF, value.get("wanted_z", 0.0) - before
    elif finding.code == "cut-too-deep":
        yield READ_OFF, value["depth"] - value["limit"]
    elif finding.code == "size-wrong":
        yield READ_OFF, abs(value.get("off", 0.0))
    elif finding.motion >= 0 and finding.setup:
        for short in _short_of_air(held, job, proof, finding):
            yield READ_OFF, short
    for name in ("width", "depth_z", "depth"):
        if name in value and finding.code not in ("jaws-struck", "cut-too-deep"):
            yield MEASURED, value[name]


def _short_of_air(held: Held, job: Job, proof: JobProof, finding: Finding) -> Iterator[float]:
    """How far in front of the margin's place the ends of a finding's motion stand too near."""
    index = next((k for k, s in enumerate(job.setup) if s.name == finding.setup), None)
    if index is None:
        return
    setup = proof.setups[index]
    for reading in held.readings[index]:
        motions = reading.trace.motions
        if finding.motion >= len(motions):
            continue
        metal = less(setup.metal_before, union(reading.keep.cut.until(finding.motion).cut))
        outline = setup.tool_outlines[motions.tool[finding.motion]]
        if metal.is_empty or outline.is_empty:
            continue
        needed = metal.bounds[2] + air_owed(job, job.setup[index]).along
        for place in (motions.start[finding.motion], motions.end[finding.motion]):
            yield needed - (float(place[0]) + min(0.0, outline.bounds[0]))
