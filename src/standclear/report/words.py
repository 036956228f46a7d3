"""The sentences of an answer that are not a finding's own: verdicts, headline, cautions."""

from __future__ import annotations

from standclear.findings.finding import Finding, Place, Severity, Verdict
from standclear.motions.table import FAR
from standclear.proof.result import Approach, JobProof, SetupProof, SizeFound
from standclear.report.sizes import fill, fixed, length, number, position, x_gap

SEVERITY_WORD = {Severity.STOP: "stop", Severity.MEND: "mend", Severity.NOTE: "note"}

VERDICT_SENTENCE = {
    Verdict.CLEAR: "no motion meets metal or an obstacle",
    Verdict.UNPROVEN: "not everything could be followed, so nothing is promised",
    Verdict.CONTACT: "do not press cycle start",
}

SAME_SIZE_MM = 0.001
"""Within this a size comes out as one figure: no finer than the figure is printed."""

CAUTIONS = (
    "Prove out at the machine all the same: reduced rapid, single block, a finger on the stop, "
    "and distance-to-go compared with the watch list at each approach.",
    "Guard closed before the spindle turns.",
    "Keep the speed below the limits of machine, chuck and bar end; a bar end that sticks out of "
    "the spindle needs its own support.",
    "The manuals of the machine's and the chuck's makers and the rules where you work come first.",
    "This answer claims no more than was computed from the files listed: it has not seen the "
    "machine, the clamping or the tools.",
)


def open_findings(proof: JobProof) -> tuple[Finding, ...]:
    """Findings that still ask for something: above `note` and not allowed by the job."""
    return tuple(f for f in proof.findings if f.severity > Severity.NOTE and not f.allowed_because)


def exit_status(proof: JobProof) -> int:
    """0: clear and nothing above `note` that the job does not allow; 1: any other answer."""
    return int(proof.verdict is not Verdict.CLEAR or bool(open_findings(proof)))


def blank_words(proof: JobProof) -> str:
    """The blank as proved, at its largest: `blank up to 52.1 mm across, 86.5 mm long`.

    Empty where the proof does not hold it.
    """
    size, long = proof.largest_size, proof.largest_length
    if size <= 0 or long <= 0:
        return ""
    return up_to_words(size, long, proof.units)


def up_to_words(size: float, long: float, units: str) -> str:
    """A blank by the most it may be, both in mm, each in the job's unit."""
    return f"blank up to {length(size, units)} across, {length(long, units)} long"


def place_words(place: Place) -> str:
    """`line 14, column 5: G00 X52. Z1.`, the set-up's program named by the caller."""
    return f"{place.in_words}, column {place.column}: {place.words}"


def finding_sentence(finding: Finding, units: str) -> str:
    """The finding's own sentence, sizes in the job's unit."""
    return fill(finding.message, finding.measures, units)


def told(finding: Finding, units: str) -> str:
    """The finding's sentence to go on after a colon: its first word in small letters."""
    sentence = finding_sentence(finding, units)
    is_word = sentence[:1].isalpha() and not sentence[1:2].isdigit() and not sentence[1:2].isupper()
    return sentence[:1].lower() + sentence[1:] if is_word else sentence


def finding_cure(finding: Finding, units: str) -> str:
    """The finding's cure, sizes in the job's unit; empty where it has none."""
    return fill(finding.cure, finding.measures, units)


def gravest(proof: JobProof) -> Finding | None:
    """The finding that the first line names first: see `reasons`."""
    return next(iter(reasons(proof)), None)


def reasons(proof: JobProof) -> tuple[Finding, ...]:
    """What the first line names: none, one or two findings.

    The first that made the verdict, else the worst; what could not be followed comes before a guess
    of the job file. Where an earlier set-up could not be proved,
    what made it so comes before that, as it comes first at the machine.
    """
    made = _made_verdict(proof)
    if made is None:
        return ()
    order = [s.name for s in proof.setups]
    earlier = order[: order.index(made.setup)] if made.setup in order else []
    blind = next((f for f in proof.findings if f.unproven and f.setup in earlier), None)
    return (made,) if blind is None else (blind, made)


def _made_verdict(proof: JobProof) -> Finding | None:
    findings = open_findings(proof)
    struck = {s.name for s in proof.setups if s.verdict is Verdict.CONTACT}
    made = {
        Verdict.CLEAR: [],
        Verdict.UNPROVEN: sorted(
            (f for f in proof.findings if f.unproven), key=lambda f: f.place is None
        ),
        Verdict.CONTACT: [
            f
            for f in findings
            if f.severity is Severity.STOP and not f.unproven and f.setup in struck
        ],
    }[proof.verdict]
    if made:
        return made[0]
    return max(findings, key=lambda f: f.severity, default=None)


def headline(proof: JobProof) -> str:
    """The first line of an answer: verdict, place, size."""
    named = reasons(proof)
    if not named:
        words = blank_words(proof)
        said = f"{proof.verdict}: {VERDICT_SENTENCE[proof.verdict]}"
        return f"{said}, {words}" if words else said
    head = f"{proof.verdict}: " if proof.verdict is not Verdict.CLEAR else "clear, but "
    if len(named) == 1:
        return head + _reason(named[0], proof.units)
    first, then = named
    unproven = _reason(first, proof.units, f" is {Verdict.UNPROVEN}").rstrip(".")
    return f"{head}first, {unproven}; then {_reason(then, proof.units)}"


def _reason(finding: Finding, units: str, state: str = "") -> str:
    """`set-up front, line 8: the rapid runs ...`; `state` is said of the set-up."""
    where = [f"set-up {finding.setup}{state}"] if finding.setup else []
    where += [finding.place.in_words] if finding.place else []
    return ", ".join(where) + (": " if where else "") + told(finding, units)


def setup_line(setup: SetupProof) -> str:
    """`front: contact`."""
    return f"{setup.name}: {setup.verdict}"


SAME_GAP_MM = 0.001
"""What two gaps may differ by and be told as one: outlines are known no better."""


def gap_words(approach: Approach, units: str, corner: tuple[float, float] | None = None) -> str:
    """The gaps of an approach: X twice, Z once; the shortest distance where it is shorter than
    these, as beside a corner or in a bore, or stands alone.

    `corner` is the gap from corner to corner, across and along, mm, where it is known.
    """
    said = f"{length(approach.gap, units)} at the nearest"
    facing = [gap for gap in (approach.gap_radial, approach.gap_z) if gap is not None]
    if facing:
        parts = [] if min(facing) < approach.gap + SAME_GAP_MM else [said]
        if approach.gap_radial is not None:
            parts.append(x_gap(approach.gap_radial, units))
        if approach.gap_z is not None:
            parts.append(f"Z {length(approach.gap_z, units)}")
        return "; ".join(parts)
    if corner is None:
        return said
    return f"{said}, past the corner: {x_gap(corner[0], units)}; Z {length(corner[1], units)}"


def position_words(place: tuple[float, float], units: str) -> str:
    """A place as the position display shows it: `X57.2 Z2.54`; `place` is (z, r) in mm."""
    z, r = place
    return f"X{position(2 * r, units)} Z{position(z, units)}"


def distance_to_go(setup: SetupProof, motion: int, units: str) -> str:
    """What the display has left to run when the motion begins: `X-142.8 Z-97.46`.

    X on diameter; an axis whose start is not known (home) is left out, and `not known` is said
    where neither is.
    """
    start, end = setup.trace.motions.start[motion], setup.trace.motions.end[motion]
    words = [
        f"{axis}{position(scale * float(end[i] - start[i]), units)}"
        for axis, i, scale in (("X", 1, 2.0), ("Z", 0, 1.0))
        if abs(start[i]) < FAR / 2 and abs(end[i]) < FAR / 2
    ]
    return " ".join(words) or "not known"


def size_name(size: SizeFound) -> str:
    """`collar diameter`, `overall length`: the name, and the kind where the name lacks it."""
    return size.name if size.kind in size.name else f"{size.name} {size.kind}".strip()


def size_words(size: SizeFound, units: str) -> str:
    """A size that comes out beside the one wanted, with the difference."""
    least, most = _range(size)
    said = f"{fixed(size.found, units)}"
    if most - least > SAME_SIZE_MM:
        said += f" ({fixed(least, units)} to {fixed(most, units)})"
    if size.wanted is None:
        return said
    low, high = size.tolerance or (0.0, 0.0)
    said += f", wanted {fixed(size.wanted, units)} {signed(low, units)}/{signed(high, units)}: "
    return said + ("right" if size.right else off_words(size, units))


def off_words(size: SizeFound, units: str) -> str:
    """By how much a size that is not right is off; by how much it may be, where it is right in the
    middle of its range."""
    assert size.wanted is not None
    low, high = size.tolerance or (0.0, 0.0)
    off = size.found - size.wanted
    if low <= off <= high:
        ends = [end - size.wanted for end in _range(size)]
        worst = max(ends, key=lambda end: max(low - end, end - high))
        return f"may be off by {signed(worst, units)}"
    return f"off by {signed(off, units)}"


def _range(size: SizeFound) -> tuple[float, float]:
    """The least and the most that a size may come out at, mm."""
    least = size.found if size.least is None else size.least
    return least, size.found if size.most is None else size.most


def signed(mm: float, units: str) -> str:
    """A deviation with its sign: `+0.1`, `-0.16`, `0`."""
    text = number(mm, units)
    if mm == 0.0 or float(fixed(mm, units)) == 0.0:
        return "0"
    return text if mm < 0 else f"+{text}"
