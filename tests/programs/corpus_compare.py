"""What the tool makes of a program beside what the case says it means."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

from corpus import HOME, Case, Means, Wanted, turned, write_job

from standclear.blocks.program import Program, linked
from standclear.blocks.read import read_program
from standclear.findings.finding import Finding
from standclear.job.read import read_job
from standclear.motions.table import FAR, FeedMode, Kind, Motions, SpeedMode, Spindle, Trace
from standclear.motions.table import Path as Way
from standclear.motions.trace import trace_setup
from standclear.proof.prove import prove

TOLERANCE_MM = 0.0015
"""Points worked by hand to the micrometre; chords of arcs leave them by less than that."""

BY_EYE = frozenset(
    {
        "approach-in-both-axes",
        "change-near-work",
        "coolant-off",
        "feed-left",
        "feed-left-on",
        "feed-odd",
        "speed-odd",
    }
)
"""Findings of what a setter checks by eye, compared only in the cases of the folder `by-eye`."""


def faults(case: Case, folder: Path) -> list[str]:
    """Every point in which the tool disagrees with the case; empty where it agrees."""
    write_job(case, folder)
    found: list[str] = []
    if case.means:
        files = read_job(folder)
        for means in case.means:
            read = {name: read_program(data, name) for name, data in files.programs.items()}
            own = read[files.job.setup[means.setup].program]
            program = linked(own, [read[name] for name in files.job.subprograms])
            traces = trace_setup(program, files.job, means.setup)
            found += _of_traces(case, means, program, traces)
    if "proof" in case.data:
        found += _of_proof(case, folder)
    return found


def _of_traces(case: Case, means: Means, program: Program, traces: tuple[Trace, ...]) -> list[str]:
    """Every trace that the reading stands for agrees, there is one, and together they make the
    findings."""
    found: list[str] = []
    findings: list[Finding] = []
    fitting = 0
    for trace in traces:
        rows = _rows(trace, set(means.reading) - _values(trace.reading))
        if rows is None:
            continue
        fitting += 1
        findings += trace.findings
        lines = _lines(program, trace)
        found += _of_motions(means, trace.motions, rows, lines)
        found += _of_counts(means, trace.motions, rows, lines)
        found += _of_end(means, trace.motions, rows)
        for words in means.trusted:
            if not any(words in sentence for sentence in trace.trusted):
                found.append(f"not said to be taken on trust: {words!r}; {trace.trusted}")
    if not fitting:
        known = [(t.reading, *(c.readings for c in t.calls)) for t in traces]
        return [f"no reading {means.reading}; there are {known}"]
    return found + _of_findings(case, means, findings)


def _rows(trace: Trace, wanted: set[str]) -> list[int] | None:
    """Rows of the reading that stands for `wanted`, the first that fits; None where none does."""
    chosen: dict[int, int] = {}
    met: set[str] = set()
    for call in trace.calls:
        readings = [_values(each) for each in call.readings]
        own = set[str]().union(*readings)
        open_here = {value.split("=")[0] for value in own}
        here = {value for value in wanted if value.split("=")[0] in open_here}
        fits = [i for i, each in enumerate(readings) if here <= each]
        if not fits:
            return None
        chosen[call.number] = fits[0]
        met |= own
    if not wanted <= met:
        return None
    motions = trace.motions
    return [
        i
        for i in range(len(motions))
        if motions.call[i] < 0 or motions.variant[i] == chosen.get(int(motions.call[i]), 0)
    ]


def _values(reading: tuple[str, ...]) -> set[str]:
    """`row=a or b`, values that come to the same, as `row=a` and `row=b`."""
    found = set()
    for each in reading:
        row, values = each.split("=")
        found |= {f"{row}={value}" for value in values.split(" or ")}
    return found


def _lines(program: Program, trace: Trace) -> list[int]:
    """The line of the case's program for each motion; -1 in other files."""
    lines = [-1 if block.file else block.line for block in program.blocks]
    return [lines[block] for block in trace.motions.block]


def _of_motions(means: Means, motions: Motions, rows: list[int], lines: list[int]) -> list[str]:
    """Of the lines that are named: exactly these motions in this order."""
    if not means.motions:
        return []
    named = {w.line for w in means.motions}
    got = [i for i in rows if lines[i] in named]
    at, any_rows = 0, False
    for wanted in means.motions:
        if wanted.kind == "...":
            any_rows = True
            continue
        if any_rows:
            while at < len(got) and _differs(wanted, motions, got, lines, at)[0]:
                at += 1
            any_rows = False
        why, taken = _differs(wanted, motions, got, lines, at)
        if why:
            listing = "\n  ".join(_shown(motions, i, lines) for i in got)
            return [f"{why}; wanted {wanted}; the motions of these lines are\n  {listing}"]
        at += taken
    if at < len(got) and not any_rows:
        listing = "\n  ".join(_shown(motions, i, lines) for i in got[at:])
        return [f"motions that the case does not name:\n  {listing}"]
    return []


def _differs(
    wanted: Wanted, motions: Motions, got: list[int], lines: list[int], at: int
) -> tuple[str, int]:
    """(how the motion at place `at` differs, or nothing; how many rows it takes)."""
    if at >= len(got):
        return "no motion is left", 0
    row = got[at]
    if lines[row] != wanted.line:
        return f"the motion is made by line {lines[row]}", 0
    if wanted.centre is not None:
        return _differs_from_arc(wanted, motions, got, lines, at)
    if _kind(motions, row) != wanted.kind:
        return f"it is a {_kind(motions, row)}", 0
    if not _is_at(motions, row, wanted):
        return f"it ends elsewhere: {_shown(motions, row, lines)}", 0
    for name, value in wanted.also:
        if (is_so := _also(motions, row, name)) != value:
            return f"{name} is {is_so}", 0
    return "", 1


def _differs_from_arc(
    wanted: Wanted, motions: Motions, got: list[int], lines: list[int], at: int
) -> tuple[str, int]:
    """Feed rows of the same line up to the arc's end, all on its circle, turning its way."""
    assert wanted.centre is not None and wanted.x is not None and wanted.z is not None
    centre, end = wanted.centre, (wanted.x, wanted.z)
    radius = math.hypot((end[0] - centre[0]) / 2, end[1] - centre[1])
    start = motions.start[got[at]]
    before = turned((2 * start[1], start[0]), centre)
    taken = 0
    for row in got[at:]:
        if lines[row] != wanted.line or _kind(motions, row) != "feed":
            return "the arc does not reach its end", 0
        z, r = motions.end[row]
        if abs(math.hypot(r - centre[0] / 2, z - centre[1]) - radius) > TOLERANCE_MM:
            return f"a point lies off the circle: {_shown(motions, row, lines)}", 0
        now = turned((2 * r, z), centre)
        # Seen with Z to the right and X up, counter-clockwise is the growing angle.
        step = math.remainder(now - before, 2 * math.pi)
        if (step > 0) != (wanted.kind == "ccw"):
            return "the arc turns the other way", 0
        before, taken = now, taken + 1
        if _is_at(motions, row, wanted):
            return "", taken
    return "the arc does not reach its end", 0


def _kind(motions: Motions, row: int) -> str:
    kind = Kind(motions.kind[row])
    if motions.path[row] == Way.ANYWHERE:
        return "anywhere"
    if motions.crest[row] > 0:
        return "thread"
    return {Kind.RAPID: "rapid", Kind.FEED: "feed", Kind.APPEAR: "appear"}.get(
        kind, kind.name.lower()
    )


def _is_at(motions: Motions, row: int, wanted: Wanted) -> bool:
    z, r = motions.end[row]
    return _same(r, None if wanted.x is None else wanted.x / 2) and _same(z, wanted.z)


def _same(value: float, wanted: float | None) -> bool:
    if wanted is None:
        return value == FAR
    return math.isnan(wanted) or abs(value - wanted) <= TOLERANCE_MM


def _shown(motions: Motions, row: int, lines: list[int]) -> str:
    z, r = motions.end[row]
    places = (HOME if v == FAR else f"{v:.3f}" for v in (2 * r if r != FAR else FAR, z))
    return f"{lines[row]} {_kind(motions, row)} {' '.join(places)} (mm)"


def _also(motions: Motions, row: int, name: str) -> str:
    """One more property of a motion, as a case writes it."""
    values: dict[str, Callable[[], str]] = {
        "spindle": lambda: Spindle(motions.spindle[row]).name.lower(),
        "feed": lambda: f"{motions.feed[row]:g}",
        "per": lambda: FeedMode(motions.feed_mode[row]).name.lower().replace("per_", ""),
        "speed": lambda: f"{motions.speed[row]:g}",
        "speeds": lambda: SpeedMode(motions.speed_mode[row]).name.lower(),
        "clamp": lambda: f"{motions.clamp[row]:g}",
        "coolant": lambda: "on" if motions.coolant[row] else "off",
        "cuts": lambda: "yes" if motions.credited[row] else "no",
    }
    return values[name]()


def _of_counts(means: Means, motions: Motions, rows: list[int], lines: list[int]) -> list[str]:
    """How many rapids and feeds a line makes."""
    found = []
    for line, counts in means.counts.items():
        for name, wanted in counts.items():
            kind = name.removesuffix("s")
            is_so = sum(1 for i in rows if lines[i] == line and _kind(motions, i) == kind)
            if is_so != wanted:
                found.append(f"line {line} makes {is_so} {name}, not {wanted}")
    return found


def _of_end(means: Means, motions: Motions, rows: list[int]) -> list[str]:
    """Where the tool stands after the last motion."""
    if means.last is None:
        return []
    wanted = Wanted(0, "", *means.last)
    if rows and _is_at(motions, rows[-1], wanted):
        return []
    return [f"the last position is not X and Z {means.last}: {motions.end[rows[-1]][::-1]}"]


def _of_findings(case: Case, means: Means, found: list[Finding]) -> list[str]:
    """Exactly the findings named, and unproven from exactly the line named."""
    wrong = []
    if means.findings is not None:
        unseen = BY_EYE if not case.name.startswith("by-eye/") else frozenset[str]()
        got = sorted({_named(f) for f in found if f.code not in unseen})
        if got != sorted(set(means.findings)):
            said = "\n  ".join(f"{_named(f)}: {f.message}" for f in found)
            wrong.append(f"findings are not {list(means.findings)}:\n  {said}")
    unproven = [f for f in found if f.unproven]
    from_line = min((f.place.line for f in unproven if f.place), default=None)
    if from_line != means.unproven_from:
        said = "; ".join(f"{_named(f)}: {f.message}" for f in unproven)
        wrong.append(f"unproven from line {from_line}, not {means.unproven_from}: {said}")
    return wrong


def _named(finding: Finding) -> str:
    return f"{finding.place.line if finding.place else '-'} {finding.code}"


def _of_proof(case: Case, folder: Path) -> list[str]:
    """The proof's verdict, findings that it draws and codes that it does not."""
    wanted = case.data["proof"]
    proved = prove(read_job(folder))
    said = "\n  ".join(f"{_named(f)}: {f.message}" for f in proved.findings)
    wrong = []
    if proved.verdict.value != wanted["verdict"]:
        wrong.append(f"the verdict is {proved.verdict.value}, not {wanted['verdict']}:\n  {said}")
    named = {_named(f) for f in proved.findings}
    codes = {f.code for f in proved.findings}
    for missing in set(wanted.get("draws", ())) - named:
        wrong.append(f"the proof does not draw {missing}:\n  {said}")
    for drawn in set(wanted.get("misses", ())) & codes:
        wrong.append(f"the proof draws {drawn}:\n  {said}")
    return wrong
