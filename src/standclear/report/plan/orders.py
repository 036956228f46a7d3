"""Which end first, in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from standclear.plan.grip.grip import MOST_OVERHANG, PRACTICE
from standclear.plan.setting.orders import HeldEnd, JawsFront, Order
from standclear.report.lines import Line
from standclear.report.sizes import length, position
from standclear.report.words import finding_sentence


def order_lines(orders: Sequence[Order], units: str) -> Iterator[Line]:
    """Both orders, the better one first, and why."""
    yield Line("Which end first", "heading")
    if not orders:
        yield Line(
            "Not compared: that takes an outline of the part, and jaws and a turn of the part in "
            "two set-ups.",
            indent=2,
        )
        return
    better, other = orders
    yield Line(_why(better, other), "cure" if better.works else "mend", 2)
    for order in orders:
        yield Line(f"{order.first} end first: {_state(order, units)}", indent=2)
        for end in order.ends:
            yield from _end(end, units)
    yield Line(
        "Either end is taken as turned towards the chuck up to the largest diameter, with a tool "
        "whose holder leads nowhere.",
        indent=2,
    )
    # Told from the front face, as the drawing has them, whichever end goes first.
    dips = next(order.dips for order in orders if order.first == "front")
    if dips:
        where = "; ".join(
            f"Z{position(dip.z_from, units)} to Z{position(dip.z_to, units)}, diameter "
            f"{length(dip.diameter, units)}"
            for dip in dips
        )
        yield Line(
            f"Grooves and undercuts of the outline are left to their own tools, and not looked at "
            f"here (Z from the front face): {where}.",
            "mend",
            2,
        )


def _why(better: Order, other: Order) -> str:
    if not better.works:
        return "Neither order works with these jaws: see what is missing."
    if not other.works:
        return f"Turn the {better.first} end first: the other order does not work."
    a, b = (min(e.grip / e.stick_out for e in o.ends) for o in (better, other))
    if abs(a - b) < 0.01:
        return f"Either order works and holds alike; the {better.first} end first, as stated."
    return (
        f"Turn the {better.first} end first: its weaker grip is {a:.2f} of the stick-out that it "
        f"holds, against {b:.2f} the other way round."
    )


def _state(order: Order, units: str) -> str:
    parts = []
    if order.band > 0:
        parts.append(f"a band of {length(order.band, units)} is left between both ends")
    if order.out_of_reach > 0:
        parts.append(f"{length(order.out_of_reach, units)} of the profile lie out of reach")
    if any(end.faults for end in order.ends):
        parts.append("it does not hold as it should")
    return "; ".join(parts) + "." if parts else "works, no band is left."


def _end(end: HeldEnd, units: str) -> Iterator[Line]:
    yield Line(
        f"{end.end} end in {end.jaws or 'the jaws'} (set-up {end.setup}): grips "
        f"{length(end.grip, units)} of diameter {length(end.diameter, units)}, stands out "
        f"{length(end.stick_out, units)}, {end.over_diameter:.2f} of the diameter.",
        indent=6,
    )
    yield Line(
        f"Turn to Z{position(end.must, units)} at least and Z{position(end.deepest, units)} at "
        f"most; the jaws end at Z{position(end.front, units)}.",
        "plain" if end.must >= end.deepest else "mend",
        10,
    )
    if end.over_diameter > MOST_OVERHANG:
        yield Line(
            f"Stick-out over diameter {end.over_diameter:.2f}, usual is at most "
            f"{MOST_OVERHANG:.2f} ({PRACTICE}): tailstock, steady, or lighter cuts.",
            "mend",
            10,
        )
    for fault in end.faults:
        yield Line(finding_sentence(fault, units), "mend", 10)


def jaws_lines(fronts: Sequence[JawsFront], units: str) -> Iterator[Line]:
    """How deep the tool's point may go before the jaws of each set-up."""
    yield Line("Before the jaws", "heading")
    if not fronts:
        yield Line("Not worked out: the job gives no jaws.", indent=2)
    for front in fronts:
        yield Line(
            f"set-up {front.setup}: the jaws end at Z{position(front.front, units)}; go no deeper "
            f"than Z{position(front.deepest, units)}, and less by what of the holder leads the "
            "point.",
            indent=2,
        )
