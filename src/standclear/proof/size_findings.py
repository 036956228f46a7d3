"""One finding for each size that comes out wrong, with a cure for what makes it wrong."""

from __future__ import annotations

from collections.abc import Sequence

from standclear.findings.finding import Finding, Measure, Quantity, Severity
from standclear.job.models import Job
from standclear.job.tolerances import OUT_OF_SQUARE, SAW, STICK_OUT_OF, ZERO_OF
from standclear.proof.length_finding import VaryingLength, length_over
from standclear.proof.result import SizeFound

CURE = (
    "Check offset, tool and programmed size; with a round nose and no compensation, tapers and "
    "corners come out large."
)
TOOLS = (
    "The size is right in the middle of the tolerances: hold wear and touching off of its tools "
    "closer, or correct them after the first part."
)
ON_A_STOP = "seat the finished face on a stop"
SAME_MM = 0.001
"""Sections are known no better."""


def size_findings(sizes: Sequence[SizeFound], job: Job) -> tuple[Finding, ...]:
    """One finding for each of `sizes` that is wrong over the tolerances of `job`."""
    over = length_over(job)
    return tuple(
        _finding(size, over)
        for size in sizes
        if size.right is False and size.wanted is not None and size.tolerance is not None
    )


def _finding(size: SizeFound, over: VaryingLength | None) -> Finding:
    assert size.wanted is not None and size.tolerance is not None
    quantity = Quantity.LENGTH if size.kind == "length" else Quantity.DIAMETER
    off = size.found - size.wanted
    spans = over is not None and _spans(size, over)
    # Some tolerances act one way only, so that their middle lies beside the size as stated.
    beside = over.length.middle - over.stated if spans and over is not None else 0.0
    may = _within(size, off) or _within(size, off - beside)
    if may:
        off = _worst_end(size)
    cure, source = CURE, ""
    if may:
        cure, source = _cure(over) if spans and over is not None else (TOOLS, "")
    return Finding(
        "size-wrong",
        Severity.MEND,
        ("{name} may come out " if may else "{name} comes out {found}, wanted {wanted}: ")
        + ("{off} too large" if off > 0 else "{off} too small")
        + (" over the tolerances; wanted {wanted}." if may else "."),
        cure,
        measures=(
            Measure("name", size.name[:1].upper() + size.name[1:], Quantity.TEXT),
            Measure("found", size.found, quantity),
            Measure("wanted", size.wanted, quantity),
            Measure("off", abs(off), quantity),
            *((Measure("source", source, Quantity.TEXT),) if source else ()),
        ),
    )


def _within(size: SizeFound, off: float) -> bool:
    return size.tolerance is not None and size.tolerance[0] <= off <= size.tolerance[1]


def _spans(size: SizeFound, over: VaryingLength) -> bool:
    """Whether the size is a length from one end's faces to the other's: it then varies by as much
    as the finished length, or more."""
    if size.kind != "length" or size.least is None or size.most is None:
        return False
    return over.length.width > SAME_MM and size.most - size.least >= over.length.width - SAME_MM


def _cure(over: VaryingLength) -> tuple[str, str]:
    """What makes the length hold, by what it follows most, and the name to fill in as `source`."""
    name, _ = over.shares[0]
    way, whose = over.setup.zero.way, over.setup.name
    if name == OUT_OF_SQUARE and way == "measured":
        return (
            "The lean of the sawn face makes most of it: measure the part at the high spot of that "
            f"face, where it is touched with the spindle turning, or {ON_A_STOP}."
        ), ""
    if name in (SAW, OUT_OF_SQUARE):
        what = "The saw" if name == SAW else "The lean of the sawn ends"
        return (
            f"{what} makes most of it: measure each part after the first end and key in its "
            f"length less the finished length in set-up {{source}}, or {ON_A_STOP}."
        ), whose
    stop = "" if way == "finished-on-stop" else f", or {ON_A_STOP}"
    return f"Most of it is the {{source}}: hold that closer{stop}.", _error(name)


def _error(name: str) -> str:
    kind = ZERO_OF if name.startswith(ZERO_OF) else STICK_OUT_OF
    return f"error of the {kind.removesuffix(' of')} of set-up {name.removeprefix(kind).strip()}"


def _worst_end(size: SizeFound) -> float:
    """How far the end of the range that leaves the tolerance furthest lies from the size wanted."""
    assert size.wanted is not None and size.tolerance is not None
    low, high = size.tolerance
    ends = [end - size.wanted for end in (size.least, size.most) if end is not None]
    return max(ends, key=lambda end: max(low - end, end - high))
