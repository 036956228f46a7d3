"""Where to take up a program after a broken edge, in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import fields
from typing import Any

from standclear.findings.finding import Severity, Verdict
from standclear.plan.later.replacement import Replaced, Stretch
from standclear.plan.later.restart import Bound, Restart
from standclear.proof.result import JobProof
from standclear.report.lines import Line, titled
from standclear.report.sizes import length, position
from standclear.report.words import (
    CAUTIONS,
    SEVERITY_WORD,
    finding_cure,
    finding_sentence,
    headline,
)

BEFORE = (
    "Retract along the way that the tool came, send the turret home, and leave the part clamped as "
    "it is: unclamped, none of this holds.",
    "Look for what the broken edge left: carbide in the metal breaks the next edge too. Measure "
    "what is there before the first cut.",
    "Key in the blocks, search for the block by its line, and check on the display that the search "
    "stopped there.",
)


def restart_lines(found: Sequence[Restart], proof: JobProof) -> tuple[Line, ...]:
    """What the job is as it runs through, then every tool call with its restart."""
    return tuple(_lines(found, proof))


def restart_table(found: Sequence[Restart], units: str) -> list[dict[str, Any]]:
    """The same as plain tables for JSON: findings by code, place and sentence."""
    return [
        {
            **{f.name: getattr(each, f.name) for f in fields(each)},
            "verdict": each.verdict,
            "nothing": _bound_table(each.nothing, units),
            "everything": _bound_table(each.everything, units),
        }
        for each in found
    ]


def _bound_table(bound: Bound | None, units: str) -> dict[str, Any] | None:
    if bound is None:
        return None
    return {
        "verdict": bound.verdict,
        "findings": [
            {
                "code": f.code,
                "severity": SEVERITY_WORD[f.severity],
                "setup": f.setup,
                "line": None if f.place is None else f.place.line,
                "sentence": finding_sentence(f, units),
                "cure": finding_cure(f, units),
            }
            for f in bound.findings
        ],
    }


def _lines(found: Sequence[Restart], proof: JobProof) -> Iterator[Line]:
    yield Line(headline(proof), str(proof.verdict))
    if proof.title:
        yield Line(proof.title)
    if proof.verdict is not Verdict.CLEAR:
        yield Line("The job itself is to be mended first: what it strikes, a restart strikes too.")
    for setup in proof.setups:
        own = [each for each in found if each.setup == setup.name]
        yield Line("")
        yield Line(f"Set-up {setup.name}", "heading")
        if not own:
            yield Line("No tool to answer for is called here.", indent=2)
        for each in own:
            yield from _one(each, proof.units)
    yield from titled("Before you take it up", (*BEFORE, *CAUTIONS))


def _one(each: Restart, units: str) -> Iterator[Line]:
    yield Line(f"{each.tool}, called at line {each.line}: {each.words}", "cure", 2)
    if each.cannot:
        yield Line(f"Cannot be taken up: {each.cannot}.", "unproven", 6)
        return
    if each.from_line == each.line:
        start = "Take up the program at that block"
    else:
        start = f"Take up the program at line {each.from_line}: {each.from_words}"
    label = f" (N{each.label})" if each.label is not None else ""
    yield Line(f"{start}{label}; key in first: {'; '.join(each.key_in)}", indent=6)
    for said, bound in (
        ("as if it had cut nothing since", each.nothing),
        ("as if it had cut everything", each.everything),
    ):
        assert bound is not None
        yield from _bound(said, bound, units)
    if each.replaced is not None:
        yield from _replaced(each.replaced, units)


def _bound(said: str, bound: Bound, units: str) -> Iterator[Line]:
    yield Line(f"Proved {said}: {bound.verdict}", str(bound.verdict), 6)
    for finding in sorted(bound.findings, key=lambda f: -f.severity):
        word = SEVERITY_WORD[finding.severity]
        at = f", line {finding.place.line}" if finding.place is not None else ""
        text = f"{word} {finding.code} (set-up {finding.setup}{at}): "
        cure = finding_cure(finding, units)
        yield Line(
            f"{text}{finding_sentence(finding, units)}{' ' if cure else ''}{cure}",
            word if finding.severity > Severity.NOTE else "plain",
            8,
        )


def _replaced(replaced: Replaced, units: str) -> Iterator[Line]:
    for stretch in replaced.leaves:
        yield Line(f"Leaves {_stretch(stretch, units)} that the tool of the job cuts.", "mend", 6)
    for stretch in replaced.cuts_more:
        yield Line(f"Cuts {_stretch(stretch, units)} that the tool of the job leaves.", "stop", 6)
    if not (replaced.leaves or replaced.cuts_more):
        yield Line("Leaves and cuts what the tool of the job does.", indent=6)
    touch = "Touch off again in X and in Z, and set its wear to nothing"
    if replaced.old_geometry is not None:
        x, z = (position(each, units) for each in replaced.old_geometry)
        touch += f"; the geometry offsets of the job (X{x} Z{z}) no longer hold"
    yield Line(f"{touch}.", indent=6)
    if replaced.old_nose != replaced.new_nose:
        old, new = length(replaced.old_nose, units), length(replaced.new_nose, units)
        yield Line(f"Key in its nose radius: {old} -> {new}; check the tip direction.", indent=6)


def _stretch(stretch: Stretch, units: str) -> str:
    z = f"Z{position(stretch.z_from, units)} to Z{position(stretch.z_to, units)}"
    x = f"X{position(stretch.diameter_from, units)} to X{position(stretch.diameter_to, units)}"
    return f"up to {length(stretch.thickness, units)} of metal at {z}, {x},"
