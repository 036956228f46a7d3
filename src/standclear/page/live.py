"""The answer to a finger on the bench: verdict, gaps, findings and one picture a set-up."""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from standclear.drawing.section.focus import hit_words, hits
from standclear.findings.finding import Finding, Verdict
from standclear.job.models import Job
from standclear.motions.table import Path
from standclear.page.bench import OpenJob
from standclear.page.ends import (
    NOTHING_SEEN,
    STRIKES,
    end_data,
    is_open,
    motions_that_strike,
    state_of,
    word_of,
)
from standclear.page.form_words import GUESS, behaviour_words, in_form_words, step_of
from standclear.page.handles import dragged, face_allowance, handles
from standclear.page.stepping import stepped
from standclear.proof.glance import Glance, Ready, can_glance, glance, prepare
from standclear.proof.prove import judge
from standclear.proof.result import JobProof, SetupProof
from standclear.report.sizes import MM_PER_INCH
from standclear.report.words import (
    SEVERITY_WORD,
    blank_words,
    finding_cure,
    finding_sentence,
    headline,
    open_findings,
    size_name,
    size_words,
    up_to_words,
)


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
        "setups": [
            end_data(job, setup, index, asked.motion if asked.setup == index else -1, found)
            for index, setup in enumerate(setups)
        ],
        "ms": round((time.perf_counter() - began) * 1000, 1),
    }


def _gone_on(asked: Asked, setups: Sequence[SetupProof]) -> Asked:
    """The same with its steps made."""
    if not asked.steps or not 0 <= asked.setup < len(setups):
        return asked
    setup = setups[asked.setup]
    motion = stepped(setup.trace.motions, asked.motion, asked.steps, motions_that_strike(setup))
    return replace(asked, motion=motion, steps=())


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
        "word": word_of(proof.verdict, open_findings(proof)),
        "state": state_of(proof.verdict, open_findings(proof)),
        "headline": in_form_words(headline(proof)),
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
    struck = [setup for setup in seen.setups if setup.verdict is Verdict.CONTACT]
    first = next(((setup, hit) for setup in struck for hit in hits(setup)[:1]), None)
    if first is None:
        words = "no strike found while dragging; the full proof comes when you let go"
        return {**said, "verdict": "", "word": NOTHING_SEEN, "state": "open", "headline": words}
    setup, hit = first
    words = f"{Verdict.CONTACT}: set-up {setup.name}, {hit_words(hit, moved.units)}"
    contact = str(Verdict.CONTACT)
    return {**said, "verdict": contact, "word": STRIKES, "state": contact, "headline": words}


def _finding(finding: Finding, proof: JobProof) -> dict[str, Any]:
    names: Sequence[str] = [setup.name for setup in proof.setups]
    place = finding.place
    index = names.index(finding.setup) if finding.setup in names else -1
    step, doing = step_of(finding, index >= 0 and _way_open(proof.setups[index], finding.motion))
    return {
        "code": finding.code,
        "severity": SEVERITY_WORD[finding.severity],
        "open": is_open(finding),
        "setup": finding.setup,
        "setup_index": index,
        "motion": finding.motion,
        "line": place.line if place is not None and not place.elsewhere else None,
        "block": f"{place.in_words}: {place.words}" if place is not None else "",
        "sentence": in_form_words(finding_sentence(finding, proof.units)),
        "cure": "" if finding.code == GUESS else in_form_words(finding_cure(finding, proof.units)),
        "step": step,
        "doing": doing,
        "allowed": finding.allowed_because,
        "only_if": behaviour_words(finding.tags),
    }


def _way_open(setup: SetupProof, motion: int) -> bool:
    """Whether the motion goes one of several ways, for the control's ways are not known."""
    path = setup.trace.motions.path
    return 0 <= motion < len(path) and path[motion] == Path.ANYWHERE
