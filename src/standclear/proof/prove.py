"""The arrow: a job with its programs to the proof of every set-up.

`hold` does what does not depend on the blank; `judge` puts a blank on the bench and answers. So
another blank is asked of a held proof without reading or sweeping again.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import reduce

from standclear.findings.finding import Finding, Severity, Verdict
from standclear.job.guesses import guess_findings
from standclear.job.models import Blank, Job
from standclear.job.placing import Placing, place_setups
from standclear.job.read import JobFiles
from standclear.job.setup_checks import jaws_of
from standclear.proof.bench import Metal
from standclear.proof.held import Held, hold
from standclear.proof.judge_setup import (
    NOTHING_CARRIED,
    Carried,
    Outcome,
    in_part_frame,
    judge_setup,
)
from standclear.proof.result import JobProof, SetupProof, SizeFound
from standclear.proof.size_findings import size_findings
from standclear.proof.sizes import sizes_over
from standclear.proof.skin import Cleaned
from standclear.sweeps.areas import EMPTY, common, union

NEVER_EXAMINED = (
    "the swing of the turret and the tools beside the one that cuts",
    "tailstock, steady and doors",
    "clamping force, deflection, chatter and tool life",
    "that the machine's offsets are what the job says",
)


AFTER_A_STRIKE = ("face-left-raw", "diameter-left-raw", "band-left", "size-wrong")
"""What struck metal makes of these is not what a setter will find: they wait for a clear run."""


def prove(files: JobFiles) -> JobProof:
    """Prove every set-up of a job, in order, on the blank that it states.

    Raises `JobError` where a tool's description does not make a shape.
    """
    return judge(hold(files), files.job)


def judge(held: Held, job: Job) -> JobProof:
    """Answer for the blank and the zeros of `job`; everything else of it must be as held."""
    placings = place_setups(job)
    before = NOTHING_CARRIED
    proofs: list[SetupProof] = []
    guessed = guess_findings(job)
    findings: list[Finding] = [*guessed, *held.files.questions, *held.findings]
    for index, placing in enumerate(placings):
        program = held.programs[job.setup[index].program]
        outcomes = [
            judge_setup(job, index, placing, program, reading, before)
            for reading in held.readings[index]
        ]
        proofs.append(_worst(outcomes).proof)
        findings.extend(_merged(outcomes))
        before = handed_on([o.carried for o in outcomes])
    assert before.metal is not None
    struck = any(p.verdict is Verdict.CONTACT for p in proofs)
    outcome, threads = None, EMPTY
    sizes: tuple[SizeFound, ...] = ()
    if not before.unproven and not struck:
        outcome = in_part_frame(before.metal.nominal, before.to_part)
        threads = in_part_frame(before.threads, before.to_part)
        least, most = (
            in_part_frame(area, before.to_part) for area in (before.metal.least, before.metal.most)
        )
        sizes = sizes_over(outcome, least, most, job.part)
        findings.extend(replace(f, setup=job.setup[-1].name) for f in size_findings(sizes, job))
    if struck:
        findings = [f for f in findings if f.code not in AFTER_A_STRIKE]
    if guessed:
        # What the program does to a guessed job says nothing yet of the one on the machine.
        proofs = [replace(p, verdict=Verdict.UNPROVEN) for p in proofs]
    return JobProof(
        job.title,
        job.units,
        max((p.verdict for p in proofs), key=lambda v: v.rank),
        tuple(proofs),
        tuple(_ordered((_allowed(f, job) for f in findings), job)),
        sizes,
        _trusted(held),
        _not_examined(job, placings, struck=struck),
        dict(held.files.files),
        job.blank.size + job.blank.size_tolerance[1],
        job.blank.length + job.blank.length_tolerance[1],
        outcome,
        threads,
    )


def ask(
    held: Held,
    *,
    bar: float | None = None,
    length: float | None = None,
    face: float | None = None,
) -> JobProof:
    """Answer for another blank from a held proof: `bar` is its size, `length` its length and `face`
    the first set-up's face allowance, all in mm.

    The programs are not read again; they are swept again only where the blank lies outside the
    reach in which the keep-outs are known.
    """
    return judge(held, other_blank(held.files.job, bar=bar, length=length, face=face))


def other_blank(job: Job, *, bar: float | None, length: float | None, face: float | None) -> Job:
    """`job` with another blank on the bench, mm; what is None stays.

    Where the first zero is fixed from a stop, the face allowance is what the blank's length makes
    it, and `face` moves the zero.
    """
    blank: Blank = job.blank.model_copy(
        update={k: v for k, v in {"size": bar, "length": length}.items() if v is not None}
    )
    setups = list(job.setup)
    if face is not None:
        zero = setups[0].zero
        change = (
            {"from_stop": blank.length - face} if zero.way == "stop" else {"face_allowance": face}
        )
        setups[0] = setups[0].model_copy(update={"zero": zero.model_copy(update=change)})
    return job.model_copy(update={"blank": blank, "setup": setups})


def _worst(outcomes: Sequence[Outcome]) -> Outcome:
    return max(outcomes, key=lambda o: o.proof.verdict.rank)


def _merged(outcomes: Sequence[Outcome]) -> list[Finding]:
    """Findings of all readings; one that several readings share is given once, without a reading's
    name if all share it."""
    if len(outcomes) == 1:
        return list(outcomes[0].findings)
    shared: dict[Finding, list[Finding]] = {}
    for outcome in outcomes:
        for finding in outcome.findings:
            shared.setdefault(replace(finding, tags=(), motion=-1), []).append(finding)
    return [
        replace(same[0], tags=_shared_tags(same)) if len(same) >= len(outcomes) else same[0]
        for same in shared.values()
    ]


def _shared_tags(findings: list[Finding]) -> tuple[str, ...]:
    """Open values that each of them names."""
    return tuple(tag for tag in findings[0].tags if all(tag in f.tags for f in findings))


def handed_on(carried: Sequence[Carried]) -> Carried:
    """What all readings may leave: the most of any, the least of all."""
    metals = [c.metal for c in carried if c.metal is not None]
    metal = Metal(
        union([m.most for m in metals]),
        reduce(common, [m.least for m in metals]),
        metals[0].nominal,
    )
    return replace(
        carried[0],
        metal=metal,
        struck=any(c.struck for c in carried),
        unproven=any(c.unproven for c in carried),
        threads=union([c.threads for c in carried]),
        cleaned=Cleaned(
            all(c.cleaned.outer for c in carried), all(c.cleaned.chuck_side for c in carried)
        ),
    )


def _allowed(finding: Finding, job: Job) -> Finding:
    """The finding with the reason by which the job lets it stand, if it does."""
    if finding.severity is not Severity.MEND:
        return finding
    place = finding.place
    line = place.line if place is not None and not place.elsewhere else None
    for allowed in job.allow:
        if allowed.code == finding.code and allowed.line in (None, line):
            return replace(finding, allowed_because=allowed.reason)
    return finding


def _ordered(findings: Iterable[Finding], job: Job) -> list[Finding]:
    """Set-up by set-up, the gravest first, then as they come in the program."""
    place = {setup.name: k for k, setup in enumerate(job.setup)}
    return sorted(findings, key=lambda f: (place.get(f.setup, -1), -f.severity, f.motion))


def _trusted(held: Held) -> tuple[str, ...]:
    sentences = (s for readings in held.readings for r in readings for s in r.trace.trusted)
    return tuple(dict.fromkeys(sentences))


def _not_examined(job: Job, placings: Sequence[Placing], *, struck: bool) -> tuple[str, ...]:
    found = list(placings[0].unknown)
    if struck:
        found.append("clean-up, band and sizes: a strike comes first")
    if any(jaws_of(job, setup) is None for setup in job.setup):
        found.append("jaws, chuck and stop: the job gives none")
    if job.part.outline is None:
        found.append("cuts under the finished outline: the job gives none")
    return (*found, *NEVER_EXAMINED)
