"""The answer to a finger on the bench: verdict, gaps, findings and one picture a set-up."""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from standclear.drawing.section.focus import hit_words, hits
from standclear.findings.finding import Finding, Severity, Verdict
from standclear.job.models import Job
from standclear.page.bench import OpenJob
from standclear.page.handles import dragged, face_allowance, handles
from standclear.page.moments import moment_of
from standclear.page.picture import HEIGHT, Moment, frame_of, grips_of, picture
from standclear.page.stepping import beside, readings_of, shown_rows, stepped
from standclear.proof.glance import Glance, Ready, can_glance, glance, prepare
from standclear.proof.prove import judge
from standclear.proof.result import Approach, JobProof, SetupProof
from standclear.proof.tool_place import corner_gap
from standclear.report.sizes import MM_PER_INCH
from standclear.report.words import (
    SEVERITY_WORD,
    blank_words,
    distance_to_go,
    exit_status,
    finding_cure,
    finding_sentence,
    gap_words,
    headline,
    open_findings,
    position_words,
    size_name,
    size_words,
    up_to_words,
)

STRIKES, NOTHING_SEEN = f"{Verdict.CONTACT} (quick look)", "no strike found (quick look)"
"""Of a glance: its strike is the proof's own verdict, and it does not say `clear`."""
MOST_WAYS = 5000
"""Motions of a set-up whose ways are drawn: of more nothing could be told apart."""
IN_METAL = "no gap: the tool is in the metal there"
NEAREST = 4
"""Gaps of a set-up that the page lists."""


@dataclass(frozen=True)
class Asked:
    """What the browser wants to see."""

    values: Mapping[str, float] = field(default_factory=dict)
    """Handles that stand elsewhere than in the job, in its unit."""
    setup: int = -1
    """The set-up that is stepped through; -1: none."""
    motion: int = -1
    steps: tuple[str, ...] = ()
    """Steps to go on from there, of `stepping.STEPS`."""
    quick: bool = False
    """While a finger drags: what can be known at once."""


def looked(job: OpenJob, asked: Asked) -> dict[str, Any]:
    """The answer for the browser. Raises JobError where a value lies outside its travel, or the
    job cannot be proved."""
    began = time.perf_counter()
    files, held, proof = job.ready
    moved = dragged(files.job, asked.values) if asked.values else files.job
    if asked.quick and asked.values and can_glance(moved):
        seen = glance(held, prepared(job), moved)
        answer = _glanced(seen, moved)
        setups, found = seen.setups, None
    else:
        shown = judge(held, moved) if asked.values else proof
        answer, setups, found = _proved(shown), shown.setups, _gravest_first(shown.findings)
    asked = _gone_on(asked, setups)
    return {
        "ident": job.ident,
        "revision": job.revision,
        "values": dict(asked.values),
        "setup": asked.setup,
        "motion": asked.motion,
        "follows": _follows(files.job, moved, asked),
        "full": found is not None,
        **answer,
        "setups": [_end(job, asked, setup, index, found) for index, setup in enumerate(setups)],
        "ms": round((time.perf_counter() - began) * 1000, 1),
    }


def _gone_on(asked: Asked, setups: Sequence[SetupProof]) -> Asked:
    """The same with its steps made."""
    if not asked.steps or not 0 <= asked.setup < len(setups):
        return asked
    motions = setups[asked.setup].trace.motions
    return replace(asked, motion=stepped(motions, asked.motion, asked.steps), steps=())


def _follows(job: Job, moved: Job, asked: Asked) -> dict[str, float]:
    """Handles that nobody drags and that another one moves along."""
    unit = MM_PER_INCH if job.units == "inch" else 1.0
    face = face_allowance(moved)
    if "face" in asked.values or face == face_allowance(job):
        return {}
    return {"face": round(face / unit, 6)}


def prepared(job: OpenJob) -> Ready:
    """What glances at the job need, worked out once a revision."""
    with job.lock:
        if "prepared" not in job.memo:
            files, held, _ = job.ready
            unit = MM_PER_INCH if files.job.units == "inch" else 1.0
            most = {handle.key: handle.most * unit for handle in handles(files.job)}
            job.memo["prepared"] = prepare(held, files.job, most["bar"], most["length"])
        found: Ready = job.memo["prepared"]
        return found


def _proved(proof: JobProof) -> dict[str, Any]:
    return {
        "verdict": str(proof.verdict),
        "word": _word(proof),
        "state": _state(proof),
        "headline": headline(proof),
        "blank": blank_words(proof),
        "findings": [_finding(f, proof) for f in _gravest_first(proof.findings)],
        "sizes": [
            {"name": size_name(s), "words": size_words(s, proof.units), "right": s.right}
            for s in proof.sizes
        ],
        "trusted": list(proof.trusted),
        "not_examined": list(proof.not_examined),
    }


def _gravest_first(findings: Sequence[Finding]) -> list[Finding]:
    """What stops the job before what is to mend, and that before notes; else as they come."""
    return sorted(findings, key=lambda f: (bool(f.allowed_because), -f.severity))


def _glanced(seen: Glance, moved: Job) -> dict[str, Any]:
    """What may be said while a finger drags: a strike that is found, or that none is."""
    blank = moved.blank
    size, long = blank.size + blank.size_tolerance[1], blank.length + blank.length_tolerance[1]
    said = {"blank": up_to_words(size, long, moved.units)}
    first = next(
        ((setup, hit) for setup in seen.setups for hit in hits(setup)[:1] if _strikes(setup)), None
    )
    if first is None:
        words = "no strike found while dragging; the full proof comes when you let go"
        return {**said, "verdict": "", "word": NOTHING_SEEN, "state": "open", "headline": words}
    setup, hit = first
    words = f"{Verdict.CONTACT}: set-up {setup.name}, {hit_words(hit, moved.units)}"
    contact = str(Verdict.CONTACT)
    return {**said, "verdict": contact, "word": STRIKES, "state": contact, "headline": words}


def _strikes(setup: SetupProof) -> bool:
    return setup.verdict is Verdict.CONTACT


def _end(
    job: OpenJob,
    asked: Asked,
    setup: SetupProof,
    index: int,
    found: Sequence[Finding] | None,
) -> dict[str, Any]:
    """One end: its picture, its gaps, and where stepping stands. `found` are the findings as they
    are listed; None after a glance."""
    full = found is not None
    files, held, proof = job.ready
    window = job.memo.setdefault("windows", _windows(job, proof))[index]
    units = proof.units
    own = [f for f in open_findings(proof) if f.setup == setup.name] if full else []
    drawn = full and len(setup.trace.motions) <= MOST_WAYS
    at = moment_of(held, setup, index, asked.motion) if asked.setup == index else None
    known = {handle.key for handle in handles(files.job)}
    grips = grips_of(setup, index, window, known)
    svg = picture(
        setup, own, window, units, f"end-{index}", moment=at, with_ways=drawn, grips=grips
    )
    told = {} if full else {"word": STRIKES if _strikes(setup) else NOTHING_SEEN}
    if not full and not _strikes(setup):
        told["state"] = "open"
    unit = MM_PER_INCH if units == "inch" else 1.0
    return {
        **_setup(setup, units),
        **_at(setup, at),
        **told,
        "svg": svg,
        "marks": _marks(setup, found) if found is not None else [],
        "grips": [
            {
                "key": grip.key,
                "axis": grip.axis,
                "x": round(grip.at[0], 3),
                "y": round(HEIGHT - grip.at[1], 3),
                "per": grip.per / unit,
            }
            for grip in grips
        ],
    }


def _marks(setup: SetupProof, found: Sequence[Finding]) -> list[dict[str, int]]:
    """Of each numbered strike in the picture which finding of the list tells of its block, from 0;
    those that have one."""
    blocks = setup.trace.motions.block

    def block_of(motion: int) -> int:
        return int(blocks[motion]) if 0 <= motion < len(blocks) else -1

    marks = []
    for hit in hits(setup):
        own = [
            number
            for number, finding in enumerate(found)
            if finding.setup == setup.name
            and finding.motion >= 0
            and block_of(finding.motion) == block_of(hit.motion)
        ]
        if own:
            marks.append({"number": hit.number, "finding": own[0]})
    return marks


def _windows(job: OpenJob, proof: JobProof) -> Any:
    unit = MM_PER_INCH if proof.units == "inch" else 1.0
    files = job.ready[0]
    known = {handle.key: handle for handle in handles(files.job)}
    # Room for a good deal more than the blank has now, not for all the travel there is.
    across = min(known["bar"].most * unit, files.job.blank.size * 1.2) / 2
    return frame_of(proof.setups, across, max(8.0, 0.12 * files.job.blank.length))


def _state(proof: JobProof) -> str:
    """The verdict, and `mend` where it is clear with something left to mend."""
    if str(proof.verdict) == "clear" and exit_status(proof):
        return "mend"
    return str(proof.verdict)


def _word(proof: JobProof) -> str:
    """The verdict in large letters."""
    return "clear, but" if _state(proof) == "mend" else str(proof.verdict)


def _at(setup: SetupProof, moment: Moment | None) -> dict[str, Any]:
    """Where the stepping stands: the block in words, and the motions of the blocks beside it."""
    motions = setup.trace.motions
    if moment is None:
        count = len(shown_rows(motions, -1))
        several = ", of each cycle one reading" if count < len(motions) else ""
        return {
            "at": f"{count} motions{several}; step, or touch a way in the picture",
            "line": None,
            "next": None,
            "previous": None,
        }
    now = int(motions.block[moment.motion])
    rows = shown_rows(motions, moment.motion)
    written = setup.program.blocks[now] if 0 <= now < len(setup.program.blocks) else None
    where = f"motion {int(np.searchsorted(rows, moment.motion)) + 1} of {len(rows)}"
    readings = readings_of(motions, moment.motion)
    if readings > 1:
        where += f"; one of {readings} readings of this cycle"
    if written is not None:
        place = f"{written.file} line {written.line}" if written.file else f"line {written.line}"
        where = f"{place}: {written.shown} ({where})"
    before, after = beside(motions, moment.motion)
    return {
        "at": where,
        "line": written.line if written is not None and not written.file else None,
        "next": after,
        "previous": before,
    }


def _setup(setup: SetupProof, units: str) -> dict[str, Any]:
    nearest = sorted(setup.approaches, key=lambda a: a.gap)[:NEAREST]
    return {
        "name": setup.name,
        "verdict": str(setup.verdict),
        "word": str(setup.verdict),
        "state": str(setup.verdict),
        "program": setup.program.name,
        "motions": len(shown_rows(setup.trace.motions, -1)),
        "gaps": [_gap(setup, near, units) for near in sorted(nearest, key=lambda a: a.motion)],
    }


def _gap(setup: SetupProof, near: Approach, units: str) -> dict[str, Any]:
    return {
        "motion": near.motion,
        "line": near.place.line if not near.place.elsewhere else None,
        "block": near.place.words,
        "against": near.against,
        "words": gap_words(near, units, corner_gap(setup, near)) if near.gap > 0 else IN_METAL,
        "stands": position_words(near.position, units),
        "to_go": distance_to_go(setup, near.motion, units),
    }


def _finding(finding: Finding, proof: JobProof) -> dict[str, Any]:
    names: Sequence[str] = [setup.name for setup in proof.setups]
    place = finding.place
    return {
        "code": finding.code,
        "severity": SEVERITY_WORD[finding.severity],
        "open": finding.severity > Severity.NOTE and not finding.allowed_because,
        "setup": finding.setup,
        "setup_index": names.index(finding.setup) if finding.setup in names else -1,
        "motion": finding.motion,
        "line": place.line if place is not None and not place.elsewhere else None,
        "block": f"{place.in_words}: {place.words}" if place is not None else "",
        "sentence": finding_sentence(finding, proof.units),
        "cure": finding_cure(finding, proof.units),
        "allowed": finding.allowed_because,
        "tags": list(finding.tags),
    }
