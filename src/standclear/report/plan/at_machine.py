"""The check at the machine in words: one card, for the screen and for a printer."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from standclear.findings.finding import Verdict
from standclear.plan.at_machine.gaps import SAME_PLACE_MM, Gauged, Measured
from standclear.plan.at_machine.gauge import Check, MachineCheck
from standclear.proof.result import JobProof, SetupProof
from standclear.report.lines import Line, cautions
from standclear.report.sizes import length, number, position, x_gap
from standclear.report.words import distance_to_go, headline, place_words

HOW = (
    "Spindle stopped, single block, rapid override at its lowest, a hand on feed hold. Key the "
    "blocks in one at a time and look along the tool before each start.",
    "Turn the chuck by hand until the high spot of the face, or of the diameter, stands at the "
    "tool.",
    "The thinner gauge goes in, the thicker one does not. Anything else: stop, and find out why "
    "before cycle start.",
)

CARD_WIDTH = 78
"""Characters: what a page of 80 columns prints with a margin."""
TO_TICK = ("gap ", "First cut")
CLOSER = "Gauge closer than this card says, or mend the job first."


def check_lines(check: MachineCheck, proof: JobProof) -> tuple[Line, ...]:
    """The whole card: what it stands for, then every place to stand, set-up by set-up."""
    return tuple(_lines(check, proof))


def card_text(check: MachineCheck, proof: JobProof) -> str:
    """The card as a page of text: lines no wider than `CARD_WIDTH`, a box to tick before each gap
    and each first cut."""
    out: list[str] = []
    for line in check_lines(check, proof):
        if not line.text:
            out.append("")
            continue
        box = "[ ] " if line.text.startswith(TO_TICK) else ""
        lead = " " * line.indent
        after = lead + " " * (len(box) or 4)
        said = f"{lead}{box}{line.text}"
        out += wrap(said, CARD_WIDTH, subsequent_indent=after, break_on_hyphens=False)
    return "\n".join(out) + "\n"


def _lines(check: MachineCheck, proof: JobProof) -> Iterator[Line]:
    yield Line(headline(proof), str(proof.verdict))
    if proof.title:
        yield Line(proof.title)
    yield from _within(check, proof.units)
    yield Line("")
    yield Line("How to gauge", "heading")
    for sentence in HOW:
        yield Line(sentence, indent=2)
    for setup in proof.setups:
        own = [c for c in check.checks if c.setup == setup.name]
        yield Line("")
        yield Line(f"Set-up {setup.name}", "heading")
        if setup.verdict is not Verdict.CLEAR:
            state = "in contact" if setup.verdict is Verdict.CONTACT else "unproven"
            yield Line(f"This set-up is {state}: mend it first.", str(setup.verdict), 2)
        if not own:
            yield Line("No clearance point: nothing to gauge.", indent=2)
        for count, each in enumerate(own, 1):
            yield from _one(count, each, setup, proof.units)
    yield from cautions()


def _within(check: MachineCheck, units: str) -> Iterator[Line]:
    off, across = length(check.allowance, units), length(2 * check.allowance, units)
    for said, verdict in (
        (f"a zero up to {off} off along Z", check.within),
        (f"a tool's offsets up to {across} off in X on diameter, {off} in Z", check.within_tools),
    ):
        end = "." if verdict is Verdict.CLEAR else f". {CLOSER}"
        yield Line(f"The gauges agree with {said}; proved with that: {verdict}{end}", str(verdict))


def _one(count: int, check: Check, setup: SetupProof, units: str) -> Iterator[Line]:
    at = f"X{position(check.x, units)} Z{position(check.z, units)}"
    yield Line(f"{count}  {check.tool} stands at {at}", "cure", 2)
    for place in check.places:
        yield Line(f"starts {place_words(place)}", "words", 6)
    if check.cannot:
        yield Line(f"Not to be gauged before the first cut: {check.cannot}.", indent=6)
    else:
        yield Line(f"Key in: {'; '.join(check.blocks)}", indent=6)
        for gap in check.gaps:
            yield from _gauge(gap, units)
        if not check.gaps:
            yield Line("No gap that a gauge could show here: look only.", indent=6)
    if check.first_cut >= 0:
        to_go = distance_to_go(setup, check.first_cut, units)
        said = f"First cut in single block, distance-to-go as it starts: {to_go}"
        z, r = setup.trace.motions.start[check.first_cut].tolist()
        if abs(z - check.z) > SAME_PLACE_MM and setup.trace.motions.call[check.first_cut] >= 0:
            # A cycle first moves off by the finishing allowance: the sum from the point keyed in
            # would be wrong by it.
            said += f", from X{position(2 * r, units)} Z{position(z, units)}"
        yield Line(said, indent=6)


def _gauge(gap: Gauged, units: str) -> Iterator[Line]:
    if gap.axis == "X":
        what = f"gap over the diameter: {x_gap(gap.gap, units)}"
    else:
        what = f"gap to the face: Z {length(gap.gap, units)}"
    lies = ", gauge laid on the metal and reaching out to the tool" if gap.past_corner else ""
    if gap.measured is None:
        passes, refused = length(gap.passes, units), length(gap.refused, units)
        yield Line(f"{what}; {passes} goes in, {refused} does not{lies}", indent=6)
        return
    low, high = number(gap.passes, units), length(gap.refused, units)
    yield Line(f"{what}, {low} to {high} over the tolerances{lies}", indent=6)
    yield Line(_measured(gap.measured, units), indent=10)


def _measured(found: Measured, units: str) -> str:
    """The gap as a sum of what is measured on the piece, and the gauges by it."""
    whole, share = number(found.whole, units), found.share
    if found.what == "length":
        sum_ = f"{whole} - length at its longest"
    elif abs(share - 0.5) < 1e-9:
        sum_ = f"({number(2 * found.whole, units)} - {found.what}) / 2"
    else:
        sum_ = f"{whole} - {share:.4f} x {found.what}"
    under, over = length(found.under, units), length(found.over, units)
    return f"Measure this piece: gap = {sum_}; {under} under that goes in, {over} over it does not."
