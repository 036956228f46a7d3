"""A drafted job file read back, and the words of its programs that are not followed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from standclear.blocks.program import Program
from standclear.findings.finding import Finding
from standclear.job.checks import table_flaws
from standclear.job.models import Job
from standclear.job.salvage import read_table
from standclear.job.setup_checks import setup_flaws
from standclear.job.toml_text import parse_toml
from standclear.job.units import Units, to_millimetres
from standclear.job.wording import key_path
from standclear.motions.trace import trace_setup
from standclear.report.words import finding_sentence


@dataclass(frozen=True, slots=True)
class Unfollowed:
    """A word of a program after which nothing is proved."""

    program: str
    line: int
    word: str
    """`G41`; for other words than G, M and T the letter alone."""
    code: str
    """Of the finding."""
    message: str


def job_of(text: str, name: str) -> Job:
    """The job of a drafted file, in millimetres.

    Raises ValueError with every flaw; a draft has none unless the values that it was given are
    beyond what a job may hold.
    """
    raw = parse_toml(text.encode("utf-8"), name)
    job, flaws = read_table(Job, raw)
    units: Units = "inch" if raw.get("units") == "inch" else "mm"
    flaws += table_flaws(job, units, partial=bool(flaws))
    flaws += setup_flaws(job, partial=bool(flaws))
    if flaws:
        raise ValueError(
            "; ".join(f"{key_path(f.place, raw)} is {f.found}: {f.accepted}" for f in flaws)
        )
    return to_millimetres(job, units, units)


def unfollowed_in(job: Job, programs: Sequence[Program]) -> tuple[Unfollowed, ...]:
    """The words that stop the proof in any set-up of a job; `programs` has the program of each."""
    found: dict[Unfollowed, None] = {}
    for index, program in enumerate(programs):
        for trace in trace_setup(program, job, index):
            for finding in trace.findings:
                if finding.unproven:
                    found.setdefault(_unfollowed(finding, program, job.units))
    return tuple(sorted(found, key=lambda each: (each.program, each.line)))


def _unfollowed(finding: Finding, program: Program, units: Units) -> Unfollowed:
    place = finding.place
    message = finding_sentence(finding, units)
    if place is None:
        return Unfollowed(program.name, 0, "", finding.code, message)
    block = program.blocks[place.block]
    word = next((w for w in block.words if w.column == place.column), None)
    if word is None:
        name = block.statement.split()[0][:12] if block.statement.split() else ""
    elif word.letter in "GMT" and word.number is not None:
        name = f"{word.letter}{word.number.normalize():f}"
    else:
        name = word.letter
    return Unfollowed(place.program, place.line, name, finding.code, message)
