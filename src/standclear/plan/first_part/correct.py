"""From a measured first part to what to key in, with the sums, proved again.

Millimetres throughout; diameters and X on diameter; changes + away from spindle and axis.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from standclear.errors import Fault, JobError
from standclear.findings.finding import Finding, Severity
from standclear.job.models import Job
from standclear.plan.first_part.causes import Cause, Measured
from standclear.plan.first_part.correction import Correction, Gauge, Keyed, Moves, Taper
from standclear.plan.first_part.effects import Knob, knob_of_zero
from standclear.plan.first_part.makers import SizeMade
from standclear.plan.first_part.moved import with_offsets
from standclear.plan.first_part.solve import followed, solve
from standclear.plan.setting.split import increment_of
from standclear.proof.held import Held
from standclear.proof.prove import judge
from standclear.proof.result import JobProof

SAME_MM = 0.005
"""How far a size may come out of the proof from what the sum says: sections are known to 0.001."""


def correct(held: Held, job: Job, proof: JobProof, gauges: Sequence[Gauge]) -> Correction:
    """What to key in so that the next part is right, and what that does.

    `held` and `job` are what `proof` was judged from. Raises JobError where the proof has no sizes.
    """
    if proof.outcome is None:
        found = f"the job is {proof.verdict}, so what its program makes is not known"
        raise JobError([Fault(held.files.path.name, "", found, "mend it first: standclear prove")])
    known = followed(held, job, proof)
    solved = solve(job, proof, known, gauges)
    by_name, measured, causes, keyed = known.made, solved.measured, solved.causes, solved.keyed
    was_off = {k: v for cause in causes for k, v in cause.was_off.items()}
    # If the gauge was wrong the offsets were right, and the changes move them off; if the offsets
    # were off, what was off and what is keyed in add up. Both have to be clear.
    after = judge(with_offsets(held, job, keyed), job)
    left = {k: keyed.get(k, 0.0) + was_off.get(k, 0.0) for k in {*keyed, *was_off}}
    left = {k: v for k, v in left.items() if abs(v) > increment_of(job)}
    mended = judge(with_offsets(held, job, left), job) if left else proof
    return Correction(
        solved.sums,
        tuple(k for cause in causes for k in _changes(job, held, proof, cause, keyed, measured)),
        tuple(_tapers(by_name, measured, causes)),
        tuple(_moves(job, proof, after, keyed)),
        max(after.verdict, mended.verdict, key=lambda v: v.rank),
        _new_findings(proof, after, mended),
        _not_as_summed(proof, after, measured, keyed),
        tuple(name for name in by_name if name not in {g.name for g in gauges}),
    )


def _changes(
    job: Job,
    held: Held,
    proof: JobProof,
    cause: Cause,
    keyed: Mapping[Knob, float],
    measured: Sequence[Measured],
) -> Iterator[Keyed]:
    for knob in cause.keyed:
        if knob not in keyed:
            continue
        moved = _setups_moved(job, held, knob)
        first = job.setup[knob.number] if knob.kind == "zero" else None
        old = first.offset_z if first is not None else None
        yield Keyed(
            knob.kind,
            tuple(proof.setups[k].name for k in moved),
            first.offset if first is not None else str(knob.number),
            keyed[knob],
            old,
            None if old is None else old + keyed[knob],
            cause.was_off.get(knob, 0.0),
            tuple(
                (m.name, m.error, m.effects[knob])
                for m in measured
                if knob in m.effects and m.name not in cause.unexplained
            ),
            first.zero.way if first is not None else "",
            tuple(" and ".join(_named(job, k) for k in each) for each in cause.also),
        )


def _setups_moved(job: Job, held: Held, knob: Knob) -> list[int]:
    count = range(len(job.setup))
    if knob.kind == "zero":
        return [k for k in count if knob_of_zero(job, k) == knob]
    return [
        k
        for k in count
        if any(u.offset == knob.number for r in held.readings[k] for u in r.trace.tools)
    ]


def _named(job: Job, knob: Knob) -> str:
    if knob.kind == "zero":
        return f"{job.setup[knob.number].offset} of set-up {job.setup[knob.number].name}"
    return f"{knob.kind.upper()} of offset {knob.number}"


def _tapers(
    by_name: Mapping[str, SizeMade], measured: Sequence[Measured], causes: Sequence[Cause]
) -> Iterator[Taper]:
    """Outside or inside diameters of one tool in one set-up whose errors differ along Z, where that
    is what leaves them unexplained."""
    groups: dict[tuple[int, int, str], list[Measured]] = {}
    doubted = {name for cause in causes for name in cause.unexplained}
    for size in measured:
        made = by_name[size.name]
        if made.size.kind != "length" and made.maker is not None:
            key = (made.maker.setup, made.maker.offset, made.size.kind)
            groups.setdefault(key, []).append(size)
    for members in groups.values():
        if not any(m.name in doubted for m in members):
            continue
        along = sorted(members, key=lambda m: -by_name[m.name].size.z_from)
        first, last = along[0], along[-1]
        steps = [b.error - a.error for a, b in pairwise(along)]
        one_way = all(s >= 0 for s in steps) or all(s <= 0 for s in steps)
        length = by_name[first.name].size.z_from - by_name[last.name].size.z_from
        if steps and one_way and length > 0 and first.error != last.error:
            yield Taper(first.name, last.name, last.error - first.error, length)


def _moves(
    job: Job, before: JobProof, after: JobProof, keyed: Mapping[Knob, float]
) -> Iterator[Moves]:
    for index, (old, new) in enumerate(zip(before.setups, after.setups, strict=True)):
        zero = keyed.get(knob_of_zero(job, index), 0.0)
        there = {a.motion: a for a in new.approaches}
        yield Moves(
            old.name,
            float(old.raw.bounds[2]),
            float(new.raw.bounds[2]) - zero,
            tuple(
                (a.place, a.against, a.gap, there[a.motion].gap)
                for a in old.approaches
                if a.motion in there
            ),
        )


def _open(proof: JobProof) -> list[Finding]:
    return [f for f in proof.findings if f.severity > Severity.NOTE and not f.allowed_because]


SIZES = ("size-wrong", "good-metal-cut")
"""What a gauge that was wrong would bring about at the sizes: that is plain, and no finding."""


def _new_findings(before: JobProof, after: JobProof, mended: JobProof) -> tuple[Finding, ...]:
    """Above `note`, each once."""
    known = {(f.code, f.setup, f.place) for f in _open(before)}
    found: dict[object, Finding] = {}
    for finding in [*_open(mended), *(f for f in _open(after) if f.code not in SIZES)]:
        key = (finding.code, finding.setup, finding.place)
        if key not in known:
            found.setdefault(key, finding)
    return tuple(found.values())


def _not_as_summed(
    before: JobProof, after: JobProof, measured: Sequence[Measured], keyed: Mapping[Knob, float]
) -> tuple[str, ...]:
    """Sizes that the proof moves otherwise than the sum does: another tool makes them too."""
    if not after.sizes:
        return ()
    found = {
        old.name: new.found - old.found for old, new in zip(before.sizes, after.sizes, strict=True)
    }
    return tuple(
        m.name
        for m in measured
        if abs(found[m.name] - sum(r * keyed.get(k, 0.0) for k, r in m.effects.items())) > SAME_MM
    )
