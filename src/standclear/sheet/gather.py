"""From a proved job to the sheet's content."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

import standclear
from standclear.findings.finding import Severity, Verdict
from standclear.job.models import Job
from standclear.job.setup_checks import is_turned
from standclear.plan.at_machine.gauge import machine_check
from standclear.plan.bar_table.table import bar_table
from standclear.plan.grip.grip import grip_of
from standclear.plan.later.since import tool_hash
from standclear.plan.leaning.lean import leaning
from standclear.plan.setting.split import split_of
from standclear.plan.setting.zeros import zeros_of
from standclear.plan.windows.stock import stock_windows
from standclear.proof.held import Held
from standclear.proof.result import JobProof, SetupProof
from standclear.report.plan.at_machine import HOW
from standclear.report.words import CAUTIONS, exit_status, headline, open_findings
from standclear.sheet.answer import (
    bar_rows,
    finding_rows,
    lean_note,
    lean_rows,
    note_rows,
    size_rows,
)
from standclear.sheet.bench import bench_facts, blank_line
from standclear.sheet.content import PartPage, SetupPage, Sheet
from standclear.sheet.effort import effort_page
from standclear.sheet.fit import fitted
from standclear.sheet.keying import key_sums
from standclear.sheet.picture import picture
from standclear.sheet.record import SHOWN, Record, given_words, keywords_of
from standclear.sheet.standing import gauge_note, stands, watch_left_out, watch_rows
from standclear.sheet.tool_rows import tool_rows

BAR_NOTE = (
    "Each figure is proved as a whole job: clear, air, clean-up and depth of cut as the job has "
    "them. Sizes as the job states them, its tolerances on top. A dash: not proved."
)
NAMED = 3
"""Programs that every page names."""
CAUTION = (
    "Guard closed. Reduced rapid, single block, distance-to-go. Chuck and bar limits. "
    "Makers' manuals and local rules first."
)
NO_BARS = "No table: not every raw end has a window of blanks."


def sheet_of(
    held: Held,
    proof: JobProof,
    as_filed: Job,
    at: datetime,
    *,
    paper: str = "a4",
    practice: bool = False,
    given: Mapping[str, float] | None = None,
    job_from_sheet: str = "",
) -> Sheet:
    """The whole sheet. `as_filed` is the job as its file has it, without sizes `given` beside it,
    in the job's unit; `job_from_sheet` is the way from the sheet's folder to the job file."""
    job, units = held.files.job, proof.units
    tool, version = tool_hash(), standclear.__version__
    proved_at = at.isoformat(timespec="minutes")
    record = Record(
        str(proof.verdict), proved_at, version, tool, job_from_sheet, given or {}, proof.files
    )
    check = machine_check(held, job, proof)
    grips = {grip.setup: grip for grip in grip_of(held, job, proof)}
    zeros, split = zeros_of(as_filed, job), split_of(job)
    pages = []
    for k, setup in enumerate(proof.setups):
        own = [f for f in open_findings(proof) if f.setup == setup.name]
        pages.append(
            SetupPage(
                setup.name,
                k + 1,
                len(proof.setups),
                str(setup.verdict),
                job.setup[k].offset,
                setup.program.name,
                _lines(setup, turned=is_turned(k, job.setup[k])),
                picture(proof, setup.name, paper),
                bench_facts(job, k, grips.get(setup.name)),
                key_sums(job, k, zeros[k], split),
                tool_rows(held, setup),
                stands(check, setup, units),
                watch_rows(setup, units),
                watch_left_out(setup),
                1.0,
                finding_rows(own, units),
            )
        )
    whole = Sheet(
        proof.title or held.files.path.stem,
        "in" if units == "inch" else "mm",
        paper,
        practice,
        _verdict(proof),
        proof.verdict is Verdict.CLEAR,
        headline(proof),
        blank_line(job.blank, units),
        given_words(record.given),
        at.strftime("%Y-%m-%d %H:%M"),
        _identity(held, proof, (f"standclear {version}", tool)),
        CAUTION,
        (*sorted(proof.files.items()), (f"standclear {version}", tool)),
        HOW,
        gauge_note(check, units),
        tuple(pages),
        _part(held, proof),
        effort_page(held, proof),
        keywords_of(record),
    )
    return fitted(whole, proof, at)


def _part(held: Held, proof: JobProof) -> PartPage:
    job, units = held.files.job, proof.units
    windows = stock_windows(held, job, proof)
    leans = leaning(held, job, proof, windows)
    table = bar_table(held, job, proof, windows)
    allowed = [f for f in proof.findings if f.allowed_because]
    notes = [f for f in proof.findings if f.severity is Severity.NOTE]
    of_job = [f for f in open_findings(proof) if not f.setup]
    return PartPage(
        size_rows(job, proof),
        lean_rows(leans, held),
        lean_note(leans, job, clear=proof.verdict is Verdict.CLEAR),
        tuple(job.setup[k].name for k in table.setups),
        bar_rows(table, units),
        BAR_NOTE if table.rows else NO_BARS,
        (*finding_rows(of_job, units), *finding_rows(allowed, units), *note_rows(notes)),
        proof.trusted,
        proof.not_examined,
        CAUTIONS,
    )


def _identity(held: Held, proof: JobProof, tool: tuple[str, str]) -> tuple[tuple[str, str], ...]:
    """Job file, programs and tool, each with the head of its hash; of many programs the first."""
    names = list(dict.fromkeys(setup.program for setup in held.files.job.setup))
    left = [] if len(names) <= NAMED else [(f"and {len(names) - NAMED} more", "")]
    files = [(name, proof.files[name]) for name in (held.files.path.name, *names[:NAMED])]
    return tuple((name, digest[:SHOWN]) for name, digest in (*files, *left, tool))


def _verdict(proof: JobProof) -> str:
    """`CLEAR`, `CLEAR, BUT`, or `NOT PROVEN`."""
    if proof.verdict is not Verdict.CLEAR:
        return "NOT PROVEN"
    return "CLEAR, BUT" if exit_status(proof) else "CLEAR"


def _lines(setup: SetupProof, *, turned: bool) -> str:
    """`lines 34 to 60, turned round`: the blocks whose motions the set-up has."""
    blocks = setup.trace.motions.block
    seen = [setup.program.blocks[int(b)] for b in blocks if b >= 0]
    numbers = [block.line for block in seen if not block.file]
    said = [f"lines {min(numbers)} to {max(numbers)}"] if numbers else []
    return ", ".join([*said, "turned round"] if turned else said)
