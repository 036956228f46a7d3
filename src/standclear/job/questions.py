"""Values that are possible and odd: shown as questions, never refused.

The bounds are common practice of a lathe that takes hand-loaded blanks, no source: beyond them a
slip of the unit or of a decimal point is likelier than the value.
"""

from __future__ import annotations

from collections.abc import Iterator

from standclear.findings.finding import Finding, Measure, Quantity, Severity
from standclear.interval import Interval
from standclear.job.models import Blank, Job, Setup
from standclear.job.setup_checks import NEEDS_ALLOWANCE, NEEDS_FROM_STOP

CODE = "blank-odd"
USUAL_SIZE = Interval(3.0, 400.0)
USUAL_LENGTH = Interval(3.0, 1000.0)
USUAL_TOLERANCE_OF_SIZE = 0.1
"""Share of a size beyond which its whole tolerance is odd: hot-rolled bar of 10 mm has 0.08
(EN 10060, from memory)."""
USUAL_FACE_ALLOWANCE = 10.0
USUAL_ERROR = 2.0
USUAL_CONTACT_LIMIT = 0.05
"""Millimetres; deeper touching than this leaves a mark that a setter would call a strike."""


def questions_of(job: Job) -> tuple[Finding, ...]:
    """Odd values of `job` (millimetres), as findings of severity `note`."""
    found = [*_of_blank(job.blank), *_of_part(job), *_of_shop(job)]
    for index, setup in enumerate(job.setup):
        found += _of_zero(job, index, setup)
        found += _of_run(job, index, setup)
    return tuple(found)


def _ask(message: str, cure: str, *measures: Measure, setup: str = "") -> Finding:
    return Finding(CODE, Severity.NOTE, message, cure, setup=setup, measures=measures)


def _diameter(name: str, value: float) -> Measure:
    return Measure(name, value, Quantity.DIAMETER)


def _of_blank(blank: Blank) -> Iterator[Finding]:
    if blank.size not in USUAL_SIZE:
        measured = _diameter("size", blank.size)
        yield _ask("The bar measures {size}: is that the size?", "Check blank.size.", measured)
    if blank.length not in USUAL_LENGTH:
        measured = Measure("length", blank.length)
        yield _ask(
            "The blank is {length} long: is that the length?", "Check blank.length.", measured
        )
    named = (
        ("size", blank.size, blank.size_tolerance),
        ("length", blank.length, blank.length_tolerance),
        ("bore", blank.bore or 0.0, blank.bore_tolerance),
    )
    for name, value, (lower, upper) in named:
        spread = upper - lower
        if spread > USUAL_TOLERANCE_OF_SIZE * value and value > 0:
            yield _ask(
                f"The tolerance of the {name} spans {{spread}} on {{value}}: is that meant?",
                f"Check blank.{name}_tolerance.",
                Measure("spread", spread),
                Measure("value", value),
            )
    for name, bound in (
        ("run_out", blank.run_out),
        ("bow", blank.bow),
        ("skin", blank.skin),
        ("out_of_square", blank.out_of_square),
    ):
        if bound is not None and bound > blank.size / 10:
            yield _ask(
                f"blank.{name} is {{bound}}, more than a tenth of the bar: is that meant?",
                f"Check blank.{name}.",
                Measure("bound", bound),
            )


def _of_part(job: Job) -> Iterator[Finding]:
    longest = job.blank.length + job.blank.length_tolerance[1]
    if job.part.length > longest:
        yield _ask(
            "The part is {part} long and the blank only {blank}.",
            "Check part.length and blank.length.",
            Measure("part", job.part.length),
            Measure("blank", longest),
        )
    diameters = [diameter for _, diameter in job.part.outline or ()]
    largest = job.blank.size + job.blank.size_tolerance[1]
    if job.blank.shape in ("round", "tube") and diameters and max(diameters) > largest:
        yield _ask(
            "The part measures {part} at its thickest and the bar only {bar}.",
            "Check part.outline and blank.size.",
            _diameter("part", max(diameters)),
            _diameter("bar", largest),
        )
    if job.part.least_neck > largest:
        yield _ask(
            "The least neck, {neck}, is thicker than the bar.",
            "Check part.least_neck.",
            _diameter("neck", job.part.least_neck),
        )


def _of_shop(job: Job) -> Iterator[Finding]:
    if job.contact_limit is not None and job.contact_limit > USUAL_CONTACT_LIMIT:
        yield _ask(
            "The contact limit is {limit}: a touch that deep counts as clear.",
            "Check contact_limit.",
            Measure("limit", job.contact_limit),
        )
    for tool in job.tools if not isinstance(job.tools, str) else ():
        if tool.wear is not None and tool.wear > USUAL_ERROR:
            yield _ask(
                f"The wear bound of T{tool.station} is {{wear}}: is that meant?",
                f"Check tools.T{tool.station}.wear.",
                Measure("wear", tool.wear),
            )


def _of_run(job: Job, index: int, setup: Setup) -> Iterator[Finding]:
    following = job.setup[index + 1] if index + 1 < len(job.setup) else None
    if following and following.program == setup.program and following.start and not setup.end:
        yield _ask(
            f"{setup.name} runs to the end of {setup.program}, and {following.name} starts in the "
            "middle of it: is that meant?",
            f"Give setup[{index}].end.",
            setup=setup.name,
        )


def _of_zero(job: Job, index: int, setup: Setup) -> Iterator[Finding]:
    zero, where = setup.zero, f"setup[{index}].zero"
    allowance = zero.face_allowance if zero.way in NEEDS_ALLOWANCE else None
    if allowance is not None and not 0 <= allowance <= USUAL_FACE_ALLOWANCE:
        if allowance > job.blank.length:
            message = "The face allowance, {face}, is more than the whole blank."
        elif allowance < 0:
            message = "The face allowance is {face}: part zero lies in front of the raw face."
        else:
            message = "The face allowance is {face}: is that much to come off the face?"
        yield _ask(
            message,
            f"Check {where}.face_allowance.",
            Measure("face", allowance, Quantity.POSITION_Z),
            setup=setup.name,
        )
    if zero.way in NEEDS_FROM_STOP and zero.from_stop is not None:
        longest = job.blank.length + job.blank.length_tolerance[1]
        if not 0 < zero.from_stop <= longest:
            yield _ask(
                "Part zero lies {zero} from the seat, and the blank is {blank} long.",
                f"Check {where}.from_stop.",
                Measure("zero", zero.from_stop, Quantity.POSITION_Z),
                Measure("blank", longest),
                setup=setup.name,
            )
    if zero.error > USUAL_ERROR:
        yield _ask(
            "The error of the zero is {error} either way: is that meant?",
            f"Check {where}.error.",
            Measure("error", zero.error),
            setup=setup.name,
        )
    unused = (
        ("from_stop", zero.from_stop, zero.way not in (*NEEDS_FROM_STOP, "finished-on-stop")),
        ("face_allowance", zero.face_allowance, zero.way not in NEEDS_ALLOWANCE),
    )
    for key, value, idle in unused:
        if idle and value is not None:
            yield _ask(
                f"{where}.{key} is given and the way {zero.way} does not use it.",
                f"Leave {key} out, or check the way.",
                setup=setup.name,
            )
