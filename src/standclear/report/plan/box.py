"""A box of measured blanks in words: a card for each group, then the scrap."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import takewhile

from standclear.findings.finding import Verdict
from standclear.plan.at_machine.box import BlankMeasured, Box, Group, Scrap
from standclear.plan.setting.limits import Limit
from standclear.report.lines import Line, cautions
from standclear.report.plan.zeros import zero_lines
from standclear.report.sizes import length, number
from standclear.report.words import finding_sentence

WANTS = {
    "clean-up": "clean-up",
    "air": "air in front of the face",
    "depth": "the depth of the first facing cut",
    "jaws": "the jaws",
}


def box_lines(box: Box, finished: float, units: str) -> tuple[Line, ...]:
    """`finished`: length of the part, mm."""
    return tuple(_lines(box, finished, units))


def _lines(box: Box, finished: float, units: str) -> Iterator[Line]:
    good = sum(len(group.blanks) for group in box.groups)
    groups = "group" if len(box.groups) == 1 else "groups"
    yield Line(
        f"{good} of {good + len(box.scrap)} blanks run, in {len(box.groups)} {groups}",
        "mend" if box.scrap else "clear",
    )
    for card, group in enumerate(box.groups, 1):
        yield Line("")
        yield from _group(card, group, finished, units)
    if box.scrap:
        yield Line("")
        yield Line("Not for this job", "heading")
    for scrap in box.scrap:
        yield Line(f"{_blank(scrap.blank, units)}: {_why(scrap, units)}", "mend", 2)
    yield from cautions()


def _group(card: int, group: Group, finished: float, units: str) -> Iterator[Line]:
    way = "as they are"
    if group.shift:
        towards = "towards the chuck" if group.shift > 0 else "away from the chuck"
        way = f"part zero of the first end {length(abs(group.shift), units)} {towards}"
    yield Line(f"Group {card}: {way}", "heading")
    for blank in group.blanks:
        yield Line(_blank(blank, units), indent=2)
    low, high = number(group.lowest, units), length(group.highest, units)
    yield Line(
        f"Each is proved with it. Towards the chuck, {low} to {high} would serve all.", indent=2
    )
    yield Line(f"To key in, and the display, for blank {group.blanks[0].name}:", indent=2)
    for zero in group.zeros:
        # The way that the job states comes first; the others are for a plan to compare.
        in_use = takewhile(
            lambda line: not line.text.startswith("or "), zero_lines((zero,), finished, units)
        )
        yield from (replace(line, indent=line.indent + 2) for line in [*in_use][1:])


def _blank(blank: BlankMeasured, units: str) -> str:
    return f"{blank.name}: {number(blank.diameter, units)} x {length(blank.length, units)}"


def _why(scrap: Scrap, units: str) -> str:
    said = "no shift makes it clear"
    if scrap.lower is not None and scrap.upper is not None:
        said = (
            f"{_limit(scrap.lower)} asks for a shift of {number(scrap.need, units)} at least, "
            f"{_limit(scrap.upper)} allows {number(scrap.allowed, units)}, "
            f"{length(scrap.need - scrap.allowed, units)} less"
        )
    if scrap.finding is None:
        return f"{said}."
    sentence = finding_sentence(scrap.finding, units)
    verdict = "clear, but" if scrap.verdict is Verdict.CLEAR else f"{scrap.verdict},"
    with_it = f"with a shift of {number(scrap.shift, units)}" if scrap.shift else "as it is"
    return f"{said}; {with_it} {verdict} set-up {scrap.finding.setup}: {sentence}"


def _limit(limit: Limit) -> str:
    return f"{WANTS[limit.kind]} of set-up {limit.setup}"
