"""The check at the machine in words: one card, for the screen and for a printer."""

from __future__ import annotations

from collections.abc import Iterator

from standclear.findings.finding import Verdict
from standclear.plan.at_machine.gauge import Check, Gauged, MachineCheck
from standclear.proof.result import JobProof, SetupProof
from standclear.report.sizes import length, position, x_gap
from standclear.report.text import Line
from standclear.report.words import CAUTIONS, distance_to_go, headline, place_words

HOW = (
    "Spindle stopped, single block, rapid override at its lowest, a hand on feed hold. Key the "
    "blocks in one at a time and look along the tool before each start.",
    "Turn the chuck by hand until the high spot of the face, or of the diameter, stands at the "
    "tool.",
    "The thinner gauge goes in, the thicker one does not. Anything else: stop, and find out why "
    "before cycle start.",
)


def check_lines(check: MachineCheck, proof: JobProof) -> tuple[Line, ...]:
    """The whole card: what it stands for, then every place to stand, set-up by set-up."""
    return tuple(_lines(check, proof))


def _lines(check: MachineCheck, proof: JobProof) -> Iterator[Line]:
    yield Line(headline(proof), str(proof.verdict))
    if proof.title:
        yield Line(proof.title)
    yield Line(_within(check, proof.units), str(check.within))
    yield Line("")
    yield Line("How to gauge", "heading")
    for sentence in HOW:
        yield Line(sentence, indent=2)
    for setup in proof.setups:
        own = [c for c in check.checks if c.setup == setup.name]
        yield Line("")
        yield Line(f"Set-up {setup.name}", "heading")
        if setup.verdict is not Verdict.CLEAR:
            yield Line(f"This set-up is {setup.verdict}: mend it first.", str(setup.verdict), 2)
        if not own:
            yield Line("No clearance point: nothing to gauge.", indent=2)
        for number, each in enumerate(own, 1):
            yield from _one(number, each, setup, proof.units)
    yield Line("")
    yield Line("Before you press cycle start", "heading")
    for sentence in CAUTIONS:
        yield Line(sentence, indent=2)


def _within(check: MachineCheck, units: str) -> str:
    off = length(check.allowance, units)
    said = f"The gauges agree with a zero up to {off} off along Z; proved with that: {check.within}"
    if check.within is Verdict.CLEAR:
        return f"{said}."
    return f"{said}. Gauge closer than this card says, or mend the job first."


def _one(number: int, check: Check, setup: SetupProof, units: str) -> Iterator[Line]:
    at = f"X{position(check.x, units)} Z{position(check.z, units)}"
    yield Line(f"{number}  {check.tool} stands at {at}", "cure", 2)
    for place in check.places:
        yield Line(f"starts {place_words(place)}", "words", 6)
    if check.cannot:
        yield Line(f"Not to be gauged before the first cut: {check.cannot}.", indent=6)
    else:
        yield Line(f"Key in: {'; '.join(check.blocks)}", indent=6)
        for gap in check.gaps:
            yield Line(_gauge(gap, units), indent=6)
        if not check.gaps:
            yield Line("No gap that a gauge could show here: look only.", indent=6)
    if check.first_cut >= 0:
        to_go = distance_to_go(setup, check.first_cut, units)
        yield Line(f"First cut in single block, distance-to-go as it starts: {to_go}", indent=6)


def _gauge(gap: Gauged, units: str) -> str:
    if gap.axis == "X":
        what = f"gap over the diameter: {x_gap(gap.gap, units)}"
    else:
        what = f"gap to the face: Z {length(gap.gap, units)}"
    lies = ", gauge laid on the metal and reaching out to the tool" if gap.past_corner else ""
    return (
        f"{what}; {length(gap.passes, units)} goes in, {length(gap.refused, units)} does not{lies}"
    )
