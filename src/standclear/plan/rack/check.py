"""Each bar of a rack against a job: clear as it stands, after edits, or not and why.

The windows say where to look; what is answered is what the proof of that blank says.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum
from math import ceil

import shapely

from standclear.errors import JobError
from standclear.findings.finding import Finding, Severity, Verdict
from standclear.interval import Interval
from standclear.job.models import Blank, Job
from standclear.plan.amend.amend import Amendment, amend
from standclear.plan.amend.mend import mend
from standclear.plan.rack.bars import (
    Saw,
    Yield,
    bar_needed,
    blanks_from,
    density_of,
    weight_kg,
)
from standclear.plan.rack.rack_file import Rack, Stock
from standclear.plan.rack.timing import BarTime, bar_time, own_time
from standclear.plan.windows.stock import Window
from standclear.proof.held import Held, hold
from standclear.proof.prove import judge
from standclear.proof.result import JobProof, WordChange

UNFIT = ("size-wrong", "diameter-left-raw", "face-left-raw", "band-left")
"""Findings by which a bar that is clear still gives no part."""
TOO_SHORT = "too short for one blank with the saw cut and the ends that cannot be used"


class Fit(StrEnum):
    """What a bar is good for."""

    CLEAR = "clear as it stands"
    CLEAR_BUT = "clear, with something to mend"
    AFTER_EDITS = "clear after these edits"
    NOT = "not possible"


@dataclass(frozen=True)
class Row:
    """One kind of bar or offcut against the job."""

    stock: Stock
    blank_length: float
    """Cut length of a blank, mm: the job's, or the piece's own where it needs no cut."""
    fit: Fit
    verdict: Verdict | None
    """Of the proof of this blank; None where nothing was proved."""
    reasons: tuple[Finding, ...]
    """What is open with this blank as the job stands."""
    why: str
    """Where nothing was proved: why, in a sentence."""
    changes: tuple[WordChange, ...]
    """Words of clearance points that make it clear."""
    amendment: Amendment | None
    """Where those words do not: the least edits of any kind that do."""
    in_window: bool | None
    """Whether the job's window holds it; None where it draws no such bar."""
    pieces: Yield
    """From one bar."""
    density: float | None
    weight: float | None
    """Of a blank, kg; None where the density is not known."""
    cost: float | None
    """Of the material of one part, kerf counted, in the rack's money; None where no price or no
    density is known."""
    cost_shared: float | None
    """The same with the whole bar shared out, remnant and trim counted."""
    time: BarTime | None = None
    """Of a part on this bar, with what is changed for it; None where it is not possible."""


@dataclass(frozen=True)
class Order:
    """What to order for a number of parts."""

    parts: int
    size: float
    """As the job states it."""
    least_size: float | None
    """The sizes that the job's window allows at the cut length, mm; None where it allows none."""
    greatest_size: float | None
    cut_length: float
    bar_length: float
    """Of all blanks, with kerfs, trim and remnant of one bar."""
    weight: float | None
    bars: tuple[tuple[float, int, int], ...] = ()
    """(length, blanks a bar, bars) for each length of bar that may be taken: each has a trim and
    a remnant of its own."""


def check_rack(held: Held, job: Job, rack: Rack, window: Window) -> tuple[Row, ...]:
    """Every kind of bar of the rack, proved; `window` is the whole job's."""
    saw, own = saw_of(rack), own_time(held, job)
    rows = (_row(held, job, stock, saw, window) for stock in rack.stock)
    return tuple(_timed(row, held, job, own) for row in rows)


def _timed(row: Row, held: Held, job: Job, own: Interval) -> Row:
    if row.fit is Fit.NOT:
        return row
    there = job.model_copy(update={"blank": _blank(job.blank, row.stock)})
    return replace(row, time=bar_time(held, there, own, row.changes, row.amendment))


def saw_of(rack: Rack) -> Saw:
    """What sawing takes."""
    return Saw(rack.kerf, rack.trim, rack.remnant, rack.last_as_it_is)


def order_for(
    job: Job, parts: int, saw: Saw, window: Window, lengths: Iterable[float] = ()
) -> Order:
    """Cut length, sizes and length of bar for `parts` parts."""
    blank = job.blank
    least, greatest = sizes_at(window, blank.length)
    density = density_of(blank.material)
    length = bar_needed(parts, blank.length, saw)
    weight = None if density is None else weight_kg(blank, blank.size, length, density)
    bars = []
    for bar in sorted(set(lengths)):
        each = blanks_from(bar, blank.length, saw).count
        if each:
            bars.append((bar, each, ceil(parts / each)))
    return Order(parts, blank.size, least, greatest, blank.length, length, weight, tuple(bars))


def sizes_at(window: Window, across: float) -> tuple[float | None, float | None]:
    """Least and greatest size that a window allows at one value across."""
    line = shapely.LineString([(across, window.looked[1]), (across, window.looked[3])])
    cut = line.intersection(window.region)
    if cut.is_empty:
        return None, None
    return float(cut.bounds[1]), float(cut.bounds[3])


def _row(held: Held, job: Job, stock: Stock, saw: Saw, window: Window) -> Row:
    blank = _blank(job.blank, stock)
    pieces = blanks_from(stock.length, blank.length, saw)
    density = stock.density if stock.density is not None else density_of(stock.material)
    if density is None and not stock.material:
        density = density_of(job.blank.material)
    weight = None if density is None else weight_kg(blank, blank.size, blank.length, density)
    per_mm = _price_per_mm(stock, blank, density)
    cost = None if per_mm is None else per_mm * (blank.length + saw.kerf)
    shared = None
    if per_mm is not None and pieces.count:
        shared = per_mm * stock.length / pieces.count
    same_shape = stock.shape == job.blank.shape
    row = Row(
        stock, blank.length, Fit.NOT, None, (), "", (), None,
        window.holds(blank.length, blank.size) if same_shape else None,
        pieces, density, weight, cost, shared,
    )  # fmt: skip
    if pieces.count == 0:
        return replace(row, why=TOO_SHORT)
    if job.blank.material and stock.material and not _same(job.blank.material, stock.material):
        return replace(
            row, why=f"the job asks for {job.blank.material}, this is {stock.material}"
        )  # fmt: skip
    try:
        proof = judge(held, job.model_copy(update={"blank": blank}))
    except JobError as error:
        return replace(row, why=str(error).splitlines()[0])
    return _proved(row, held, job.model_copy(update={"blank": blank}), proof)


def _proved(row: Row, held: Held, job: Job, proof: JobProof) -> Row:
    left = tuple(f for f in proof.findings if f.severity > Severity.NOTE and not f.allowed_because)
    row = replace(row, verdict=proof.verdict, reasons=left)
    if proof.verdict is Verdict.CLEAR and not left:
        return replace(row, fit=Fit.CLEAR)
    there = hold(replace(held.files, job=job))
    mended = mend(there, job, proof)
    words = mended.changed is not None and mended.changed.verdict is Verdict.CLEAR
    if mended.changed is not None and words and not mended.changed.findings:
        return replace(row, fit=Fit.AFTER_EDITS, changes=mended.changes)
    amended = amend(there, job, proof)
    if amended.after is Verdict.CLEAR and not amended.left:
        return replace(row, fit=Fit.AFTER_EDITS, amendment=amended)
    if proof.verdict is Verdict.CLEAR:
        unfit = [f for f in left if f.code in UNFIT]
        # A part that comes out raw or to the wrong size, and no edit mends it: not of this bar.
        if unfit:
            return replace(row, reasons=tuple(unfit))
        return replace(row, fit=Fit.CLEAR_BUT)
    if mended.changed is not None and words:
        found = mended.changed.findings
        return replace(row, fit=Fit.CLEAR_BUT, changes=mended.changes, reasons=found)
    if amended.after is Verdict.CLEAR:
        return replace(row, fit=Fit.CLEAR_BUT, amendment=amended, reasons=amended.left)
    return row


def _blank(blank: Blank, stock: Stock) -> Blank:
    """The blank cut from this stock: the job's length, the stock's shape and size."""
    change: dict[str, object] = {"shape": stock.shape, "size": stock.size, "bore": stock.bore}
    if stock.size_tolerance is not None:
        change["size_tolerance"] = stock.size_tolerance
    if stock.material:
        change["material"] = stock.material
    return blank.model_copy(update=change)


def _same(one: str, other: str) -> bool:
    return one.strip().lower() == other.strip().lower()


def _price_per_mm(stock: Stock, blank: Blank, density: float | None) -> float | None:
    if stock.price_per_metre is not None:
        return stock.price_per_metre / 1000.0
    if stock.price_per_kilogram is not None and density is not None:
        return stock.price_per_kilogram * weight_kg(blank, blank.size, 1.0, density)
    return None
