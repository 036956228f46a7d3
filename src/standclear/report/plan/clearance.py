"""Clearance points, the usual rule, and bent rapids, in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from math import ceil

from standclear.findings.finding import Verdict
from standclear.plan.setting.bent import BentApproach
from standclear.plan.setting.clearance import ClearancePoint, Needed
from standclear.plan.setting.least_air import LeastAir
from standclear.plan.setting.rule import Rule
from standclear.proof.result import JobProof
from standclear.report.lines import Line
from standclear.report.sizes import DECIMALS, MM_PER_INCH, in_unit, length, number, position, x_gap
from standclear.report.words import position_words

Found = frozenset[tuple[str, int]]
"""(set-up, line) of blocks that the proof finds something at."""


def too_near(proof: JobProof) -> Found | None:
    """Blocks that the proof finds too near metal; None where the job is not clear: behind a strike
    or what cannot be followed the proof may have nothing to say."""
    if proof.verdict is not Verdict.CLEAR:
        return None
    return frozenset(
        (f.setup, f.place.line)
        for f in proof.findings
        if f.place is not None and f.code.endswith("-too-near")
    )


def in_one_axis(points: Sequence[ClearancePoint], found: Found | None) -> bool:
    """Whether points that leave less than the margin are still clear by it, in X or in Z alone:
    the proof, which asks no more, finds nothing at their blocks."""
    return found is not None and not any(
        (p.setup, p.place.line) in found for p in points if not p.keeps_margin
    )


def point_lines(
    points: Sequence[Sequence[ClearancePoint]],
    units: str,
    found: Found | None,
) -> Iterator[Line]:
    """A heading, then each place that cycles and feeds begin at, calls from one place together;
    `found` is what the proof finds too near."""
    yield Line("Clearance points", "heading")
    if not any(points):
        yield Line("No cycle and no feed begins outside the raw outline.", indent=2)
    for own in points:
        for _, together in groupby(own, key=lambda p: (p.tool, p.z, p.r)):
            yield from _place(list(together), units, found)


def _place(points: list[ClearancePoint], units: str, found: Found | None) -> Iterator[Line]:
    first = points[0]
    calls = ", ".join(f"{p.place.in_words} {p.what}" for p in points)
    short = not all(p.keeps_margin for p in points)
    one = short and in_one_axis(points, found)
    head = f"set-up {first.setup}, {first.tool.split(' ', 1)[0]} at "
    yield Line(
        f"{head}{position_words((first.z, first.r), units)}: {calls}",
        "mend" if short and not one else "plain",
        2,
    )
    gaps = [p.gap_x for p in points if p.gap_x is not None]
    parts = []
    if gaps:
        gap = min(gaps)
        parts.append(
            x_gap(gap, units)
            if gap >= 0
            else f"X {length(-2 * gap, units)} under the metal on diameter"
        )
    ahead = min(p.gap_z for p in points)
    if ahead >= 0:
        parts.append(f"Z {length(ahead, units)} in front")
    elif not gaps or min(gaps) < 0:
        parts.append(f"Z {length(-ahead, units)} behind the face")
    yield Line(f"gap: {'; '.join(parts)}", indent=6)
    least = (max(p.least[0] for p in points), max(p.least[1] for p in points))
    needs = [
        _need("X", [p.need_x for p in points], units),
        _need("Z", [p.need_z for p in points], units),
    ]
    said = ", ".join(n for n in needs if n) or "no motion runs past the metal from here"
    at = f"X{outward(2 * least[1], units)} Z{outward(least[0], units)}"
    what = "too near; needed" if short else "needed"
    if one:
        what = "the margin is kept in one axis, and that is enough; for both"
    yield Line(f"{what}: {said}; least air at {at}", indent=6)


def outward(mm: float, units: str) -> str:
    """A coordinate that has to be reached at least, rounded up to what is shown."""
    step = 10.0 ** -DECIMALS[units]
    up = ceil(in_unit(mm, units) / step - 1e-3) * step
    return position(up * (MM_PER_INCH if units == "inch" else 1.0), units)


def _need(axis: str, needs: Sequence[Needed | None], units: str) -> str:
    known = [n for n in needs if n is not None]
    if not known:
        return ""
    most = max(known, key=lambda n: n.at)
    at = outward(2 * most.at if axis == "X" else most.at, units)
    motion = "feed" if most.feed else "rapid"
    past = "beside the metal" if axis == "X" else "in front of the metal"
    inside = " in the cycle" if most.inside_cycle else ""
    where = f" of {most.where.in_words}" if most.where is not None else ""
    return f"{axis}{at} (the {motion} {past}{inside}{where})"


def least_lines(least: LeastAir, units: str) -> Iterator[Line]:
    """The words that waste the least air, and what the proof says of them."""
    if least.proof is None:
        return
    yield Line("With the least air, for this blank", "heading")
    for word in least.words:
        yield Line(f"set-up {word.setup}, line {word.line}: {word.old} -> {word.new}", indent=2)
    if least.proved:
        yield Line(f"Proved again with these words: {least.proof.verdict}.", "cure", 2)
        return
    codes = ", ".join(dict.fromkeys(f.code for f in least.worse))
    more = f", and it finds {codes} besides" if codes else ": what else is wrong comes first"
    yield Line(f"Proved again with these words: {least.proof.verdict}{more}.", "mend", 2)


def rule_lines(
    rules: Sequence[Rule], bent: Sequence[BentApproach], units: str, title: str
) -> Iterator[Line]:
    """The usual rule on the blank in hand, where it is not enough, and what is."""
    yield Line(title, "heading")
    for _, pair in groupby(rules, key=lambda rule: rule.setup):
        both = list(pair)
        point = " ".join(
            f"{r.axis}{outward(2 * r.needed if r.axis == 'X' else r.needed, units)}" for r in both
        )
        yield Line(f"set-up {both[0].setup}: {point} leaves the margin on this blank.", "cure", 2)
        for rule in both:
            yield Line(_rule(rule, units), "plain" if rule.enough else "mend", 6)
    for each in bent:
        way = "bends and" if each.known else "may bend, and then"
        near = f"passes {length(each.nearest, units)} from" if each.nearest > 0 else "goes through"
        yield Line(
            f"set-up {each.setup}, {each.place.in_words}: the rapid {way} {near} the metal on its "
            f"way to a place {length(each.at_end, units)} off: a rule for the end says nothing of "
            "the way.",
            "mend",
            2,
        )


def _rule(rule: Rule, units: str) -> str:
    scale = 2 if rule.axis == "X" else 1
    at = f"{rule.axis}{position(scale * rule.point, units)}"
    if rule.left < 0:
        left = f"stands {length(-rule.left, units)} inside the metal"
    elif rule.axis == "X":
        left = f"leaves {x_gap(rule.left, units)}"
    else:
        left = f"leaves {length(rule.left, units)}"
    takes = ", ".join(f"{e.source} {number(scale * e.mm, units)}" for e in rule.eaten)
    said = f"The usual rule gives {at}, which {left}"
    if rule.enough:
        return f"{said}: enough."
    return f"{said}: not enough ({takes}{' on diameter' if rule.axis == 'X' else ''})."
