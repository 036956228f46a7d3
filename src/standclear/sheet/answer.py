"""Findings, sizes, bars and what the verdict leans on, as rows of the sheet."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from standclear.findings.finding import Finding, Severity
from standclear.job.models import Job
from standclear.plan.bar_table.table import BarTable, FaceRange
from standclear.plan.leaning.lean import LOOK_MM, Lean
from standclear.plan.leaning.measurement import Kind, Measurement
from standclear.proof.held import Held, tools_of
from standclear.proof.result import JobProof, SizeFound
from standclear.report.sizes import fixed, length, number
from standclear.report.words import (
    SEVERITY_WORD,
    finding_cure,
    finding_sentence,
    gravest,
    signed,
    size_name,
)
from standclear.sheet.content import BarRow, FindingRow, LeanRow, SizeRow

MOST_ALIKE = 6
"""Findings of one code that a set-up shows one by one."""


def finding_rows(findings: Iterable[Finding], units: str) -> tuple[FindingRow, ...]:
    """Findings one by one; of many alike the first few, and how many more there are."""
    rows: list[FindingRow] = []
    count: dict[tuple[str, str, Severity], int] = {}
    for finding in findings:
        key = (finding.setup, finding.code, finding.severity)
        count[key] = count.get(key, 0) + 1
        if count[key] <= MOST_ALIKE:
            rows.append(_finding(finding, units))
    for (setup, code, severity), found in count.items():
        if found > MOST_ALIKE:
            more = f"{found - MOST_ALIKE} more like these"
            rows.append(FindingRow(SEVERITY_WORD[severity], code, setup, "", more, "", ""))
    return tuple(rows)


def _finding(finding: Finding, units: str) -> FindingRow:
    place = finding.place
    return FindingRow(
        SEVERITY_WORD[finding.severity],
        finding.code,
        place.in_words if place is not None else "",
        place.words if place is not None else "",
        finding_sentence(finding, units),
        finding_cure(finding, units),
        finding.allowed_because,
    )


def note_rows(findings: Iterable[Finding]) -> tuple[FindingRow, ...]:
    """Notes, those of one code and set-up in one row that names their lines."""
    lines: dict[tuple[str, str], list[str]] = {}
    for finding in findings:
        own = lines.setdefault((finding.setup, finding.code), [])
        if finding.place is not None:
            own.append(finding.place.in_words)
    return tuple(
        FindingRow("note", code, setup, "", ", ".join(dict.fromkeys(places)), "", "")
        for (setup, code), places in lines.items()
    )


def size_rows(job: Job, proof: JobProof) -> tuple[SizeRow, ...]:
    """What to measure on the first part: what comes out, or where that was not worked out what the
    drawing asks for."""
    units = job.units
    if proof.sizes:
        return tuple(_size(size, units) for size in proof.sizes)
    rows = []
    for wanted in job.part.sizes:
        value = wanted.diameter if wanted.diameter is not None else wanted.length
        if value is not None:
            kind = "diameter" if wanted.diameter is not None else "length"
            name = wanted.name if kind in wanted.name else f"{wanted.name} {kind}".strip()
            low, high = (fixed(value + by, units) for by in wanted.tolerance)
            rows.append(SizeRow(name, low, high, "not worked out", True))
    return tuple(rows)


def _size(size: SizeFound, units: str) -> SizeRow:
    least = greatest = ""
    if size.wanted is not None:
        low, high = size.tolerance or (0.0, 0.0)
        least, greatest = fixed(size.wanted + low, units), fixed(size.wanted + high, units)
    comes = fixed(size.found, units)
    if size.least is not None and size.most is not None:
        ends = fixed(size.least, units), fixed(size.most, units)
        if ends[0] != ends[1]:
            comes = f"{comes} ({ends[0]} to {ends[1]})"
    return SizeRow(size_name(size), least, greatest, comes, size.right is not False)


def bar_rows(table: BarTable, units: str) -> tuple[BarRow, ...]:
    """The rows of the bar table."""
    return tuple(
        BarRow(number(row.size, units), row.stated, tuple(_range(end, units) for end in row.ends))
        for row in table.rows
    )


def _range(end: FaceRange | None, units: str) -> tuple[str, str]:
    return ("", "") if end is None else (number(end.least, units), number(end.greatest, units))


def lean_rows(leans: Sequence[Lean], held: Held) -> tuple[LeanRow, ...]:
    """What the verdict leans on, that first which takes least."""
    return tuple(_lean(lean, held) for lean in leans)


def lean_note(leans: Sequence[Lean], job: Job, *, clear: bool) -> str:
    """What the table of these measurements says and does not say."""
    if not clear:
        return "The verdict is not clear: nothing leans on anything yet."
    within = length(LOOK_MM, job.units)
    tried = (
        "Tried one at a time, all else within its tolerances: size, length and run-out of the "
        "blank, each zero and stick-out, each tool's touch-off"
    )
    if not leans:
        return f"{tried}. None makes the verdict fail within {within} of its stated range."
    fewer = "" if len(leans) >= 3 else f" No other fails within {within}."
    between = "What lies between 'clear to' and 'fails at' was not tried."
    return f"{tried}; those that take least.{fewer} {between}"


def _lean(lean: Lean, held: Held) -> LeanRow:
    wrong, job = lean.measurement, held.files.job
    units = job.units
    stated = number(wrong.stated, units)
    if wrong.kind in (Kind.SIZE, Kind.BORE, Kind.LENGTH):
        if wrong.end != wrong.stated:
            stated += f" ({signed(wrong.end - wrong.stated, units)})"
        clear_to, fails_at = number(lean.clear_to, units), number(lean.fails_at, units)
    else:
        sign = "" if wrong.kind is Kind.RUN_OUT else "±" if lean.towards == 0 else ""
        stated = (
            (stated if wrong.kind is Kind.RUN_OUT else f"±{stated}") if wrong.given else "not given"
        )
        clear_to = f"{sign}{number(lean.clear_to, units)}"
        fails_at = f"{sign}{number(lean.fails_at, units)}"
    return LeanRow(_what(wrong, lean, held), stated, clear_to, fails_at, _meets(lean))


def _what(wrong: Measurement, lean: Lean, held: Held) -> str:
    job = held.files.job
    if wrong.kind is Kind.TOUCH_OFF:
        tool = tools_of(job)[wrong.index]
        return f"T{tool.station} touched off wrong, Z, and X on radius"
    if wrong.kind is Kind.ZERO:
        setup = job.setup[wrong.index]
        way = {-1: ", nearer the chuck", 1: ", further from the chuck"}.get(lean.towards, "")
        return f"Part zero of {setup.name} ({setup.offset}) off{way}"
    if wrong.kind is Kind.STICK_OUT:
        return f"Stick-out of {job.setup[wrong.index].name} off"
    if wrong.kind is Kind.RUN_OUT:
        return "Run-out of the blank, full reading"
    thing = {Kind.SIZE: "Size", Kind.BORE: "Bore", Kind.LENGTH: "Length"}[wrong.kind]
    which = "at its largest" if wrong.way > 0 else "at its smallest"
    if wrong.kind is Kind.LENGTH:
        which = "at its longest" if wrong.way > 0 else "at its shortest"
    return f"{thing} of the blank, {which}"


def _meets(lean: Lean) -> str:
    """`contact: front end, line 11`."""
    finding = gravest(lean.failed)
    where = []
    if finding is not None:
        where = [finding.setup] if finding.setup else []
        where += [finding.place.in_words] if finding.place is not None else []
    return f"{lean.failed.verdict}: {', '.join(where)}" if where else str(lean.failed.verdict)
