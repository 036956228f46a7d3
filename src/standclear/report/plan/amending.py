"""An amendment in words: the edits as a diff, the offset to key in, and what no edit mends."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from standclear.plan.amend.amend import Amendment
from standclear.plan.amend.level import Level
from standclear.plan.amend.lift import Lift
from standclear.plan.amend.offset import OffsetChange
from standclear.plan.amend.order import Moved
from standclear.report.lines import Line, cautions
from standclear.report.plan.plain_json import plain
from standclear.report.sizes import fill, length
from standclear.report.words import told


def amendment_lines(found: Amendment, lifted: Lift | None, units: str) -> tuple[Line, ...]:
    """The whole answer, lengths in the job's unit."""
    return tuple(_lines(found, lifted, units))


def _lines(found: Amendment, lifted: Lift | None, units: str) -> Iterator[Line]:
    yield Line(f"As it stands: {found.before}", str(found.before))
    changed = bool(found.programs) or found.offset is not None
    if changed:
        yield Line(f"With these edits, proved on the whole job: {found.after}", str(found.after))
    else:
        yield Line("No edit of the program." if found.left else "Nothing to mend.")
    for edit in found.edits:
        yield Line(f"{edit.program} line {edit.line}, set-up {edit.setup}", "cure", 2)
        if edit.old:
            yield Line(f"- {edit.before}", "words", 4)
            yield Line(f"+ {edit.after}", "words", 4)
            said = f"{edit.old} -> {edit.new}: "
        else:
            for block in edit.new.splitlines():
                yield Line(f"+ {block}", "words", 4)
            yield Line(f"  {edit.before}", "words", 4)
            said = ""
        yield Line(f"{said}{fill(edit.reason, edit.measures, units)}; {edit.level}", indent=6)
    if found.moved is not None:
        yield from _moved(found.moved)
    if found.offset is not None:
        yield _keyed(found.offset, units)
    if lifted is not None:
        yield from _lifted(lifted)
    if found.left:
        yield Line("What no edit mends", "heading")
        yield from _left(found, units)
    if changed or lifted is not None:
        yield from cautions()


def _moved(moved: Moved) -> Iterator[Line]:
    first, last, to = moved.blocks
    yield Line(
        f"{moved.program} lines {moved.first} to {moved.last}, set-up {moved.setup}", "cure", 2
    )
    for block in (f"- {first}", "  ...", f"- {last}"):
        yield Line(block, "words", 4)
    yield Line(
        f"put in front of line {moved.to}, {to}: what is cut here is needed first, or what comes "
        f"there; every tool moves as before; {Level.CUTS}",
        indent=6,
    )


def _keyed(key: OffsetChange, units: str) -> Line:
    what = "zero from the stop" if key.way in ("stop", "finished-on-stop") else "face allowance"
    way = "away from" if key.change > 0 else "toward"
    return Line(
        f"{key.offset}, set-up {key.setup}: key in {what} {length(key.new, units)} in place "
        f"of {length(key.old, units)}: part zero {length(abs(key.change), units)} {way} the "
        f"chuck; {Level.CUTS}",
        "cure",
        2,
    )


def _left(found: Amendment, units: str) -> Iterator[Line]:
    """The findings that are left, each under what can mend it."""
    answered = {id(finding) for each in found.beyond for finding in each.findings}
    for each in found.beyond:
        proved = "proved on the whole job" if each.proved else "not proved"
        said = fill(each.message, each.measures, units).rstrip(".")
        yield Line(f"{each.setup}: {said} ({proved})", "cure", 2)
        for finding in each.findings:
            yield Line(told(finding, units), indent=4)
    for finding in found.left:
        if id(finding) not in answered:
            yield Line(f"set-up {finding.setup}: {told(finding, units)}", indent=2)
    for sentence in found.not_mended:
        yield Line(sentence, indent=2)


def _lifted(lifted: Lift) -> Iterator[Line]:
    yield Line("Clearance values in variables", "heading")
    if lifted.why_not:
        yield Line(f"Not lifted: {lifted.why_not}.", indent=2)
        return
    yield Line("Proved to move as before, row by row. Another bar: key in, then prove.", indent=2)
    for variable in lifted.variables:
        yield Line(f"{variable.program}: {variable.block}", "words", 2)
    for word in lifted.words:
        yield Line(f"{word.program} line {word.line}: {word.old} -> {word.new}", "words", 4)


def amendment_json(found: Amendment, lifted: Lift | None, written: list[str]) -> dict[str, Any]:
    """Plain data, lengths in mm; the programs themselves stand in the files `written`."""
    offset = found.offset
    return {
        "before": plain(found.before),
        "after": plain(found.after),
        "edits": plain(found.edits),
        "moved": plain(found.moved),
        "offset": None
        if offset is None
        else {
            "setup": offset.setup,
            "offset": offset.offset,
            "change": offset.change,
            "way": offset.way,
            "old": offset.old,
            "new": offset.new,
        },
        "left": plain(found.left),
        "beyond": plain(found.beyond),
        "not_mended": list(found.not_mended),
        "lifted": None
        if lifted is None
        else {
            "words": plain(lifted.words),
            "variables": plain(lifted.variables),
            "why_not": lifted.why_not,
        },
        "written": written,
    }
