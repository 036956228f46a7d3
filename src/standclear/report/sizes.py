"""Sizes in the job's unit: the one place where millimetres become words."""

from __future__ import annotations

from standclear.findings.finding import Measure, Quantity
from standclear.motions.table import FAR

MM_PER_INCH = 25.4
"""Exact: ISO 31-1 and the international yard agreement of 1959."""

DECIMALS = {"mm": 3, "inch": 4}
"""Places shown: a thousandth of a millimetre, a tenth of a thousandth of an inch."""
UNIT_WORD = {"mm": "mm", "inch": "in"}


def in_unit(mm: float, units: str) -> float:
    """`mm` millimetres as a number of `units` (`mm` or `inch`)."""
    return mm / MM_PER_INCH if units == "inch" else mm


def fixed(mm: float, units: str) -> str:
    """A length with all its decimals, for columns: `52.000`, `2.0472`; never `-0.000`."""
    text = f"{in_unit(mm, units):.{DECIMALS[units]}f}"
    return text.lstrip("-") if float(text) == 0.0 else text


def number(mm: float, units: str) -> str:
    """A length without needless zeros and always with its point: `52.0`, `1.42`, `-18.3`.

    A length that is not nothing never reads as 0: it is given as `under 0.001`.
    """
    text = fixed(mm, units)
    if float(text) == 0.0 and mm != 0.0:
        return f"under {10 ** -DECIMALS[units]:.{DECIMALS[units]}f}"
    return _trimmed(text)


def _trimmed(text: str) -> str:
    whole, _, part = text.partition(".")
    return f"{whole}.{part.rstrip('0') or '0'}"


def position(mm: float, units: str) -> str:
    """A programmed X or Z: `57.2`; a place known only to lie beyond the work reads `(home)`."""
    return "(home)" if abs(mm) >= FAR else _trimmed(fixed(mm, units))


def length(mm: float, units: str) -> str:
    """A length with its unit: `1.42 mm`, `0.0559 in`."""
    return f"{number(mm, units)} {UNIT_WORD[units]}"


def x_gap(radial_mm: float, units: str) -> str:
    """A gap across the axis, given twice as the trade does.

    `radial_mm` is the clear distance between tool and metal; on diameter it is twice that.
    """
    return (
        f"X {length(2 * radial_mm, units)} on diameter, "
        f"{length(radial_mm, units)} between tool and metal"
    )


def measure_text(measure: Measure, units: str, before: str = "", after: str = "") -> str:
    """One measure in words; `before` and `after` are the text around its place in a sentence.

    An address or a unit that the sentence already has is not said twice.
    """
    value, quantity = measure.value, measure.quantity
    if isinstance(value, str):
        return value
    if quantity is Quantity.COUNT:
        return f"{value:.6g}"
    if quantity is Quantity.ANGLE:
        return f"{value:.6g}" + ("" if after.lstrip().startswith(("deg", "°")) else "°")
    if quantity in (Quantity.POSITION_X, Quantity.POSITION_Z):
        address = "X" if quantity is Quantity.POSITION_X else "Z"
        return ("" if before[-1:] in ("X", "U", "Z", "W") else address) + position(value, units)
    unit = UNIT_WORD[units]
    if before[-1:] in _ADDRESSES:
        return number(value, units)
    has_unit = after.lstrip().split(" ", 1)[0].rstrip(".,;:)") in ("mm", "inch")
    return number(value, units) if has_unit else f"{number(value, units)} {unit}"


_ADDRESSES = tuple("XZUWRIK")


def fill(sentence: str, measures: tuple[Measure, ...], units: str) -> str:
    """`sentence` with every `{name}` of its measures given in the job's unit.

    A name without a measure is left as it stands, so that nothing is ever lost.
    """
    by_name = {m.name: m for m in measures}
    out: list[str] = []
    rest = sentence
    while "{" in rest:
        head, _, tail = rest.partition("{")
        name, closed, after = tail.partition("}")
        out.append(head)
        if closed and name in by_name:
            out.append(measure_text(by_name[name], units, before="".join(out), after=after))
            rest = after
        else:
            out.append("{")
            rest = tail
    return "".join([*out, rest])
