"""Where to stand before cycle start, and what to watch in single block, in the words of a card."""

from __future__ import annotations

from standclear.findings.finding import Verdict
from standclear.motions.table import FAR
from standclear.plan.at_machine.gaps import Gauged, Measured
from standclear.plan.at_machine.gauge import Check, MachineCheck
from standclear.proof.result import Approach, SetupProof
from standclear.proof.tool_place import corner_gap
from standclear.report.sizes import fixed, length, number, position
from standclear.report.words import distance_to_go, position_words
from standclear.sheet.content import Gap, Stand, Sum, Term, WatchRow

WATCHED = 14
"""Places to watch that a set-up shows; of more, the nearest and the first of each tool."""


def stands(check: MachineCheck, setup: SetupProof, units: str) -> tuple[Stand, ...]:
    """The places to stand of one set-up."""
    own = [c for c in check.checks if c.setup == setup.name]
    return tuple(_stand(n, each, setup, units) for n, each in enumerate(own, 1))


def gauge_note(check: MachineCheck, units: str) -> str:
    """How far off zeros and tools may be and the gauges still agree, and what the proof says."""
    off, across = length(check.allowance, units), length(2 * check.allowance, units)
    said = (
        f"The gauges agree with a zero up to {off} off along Z ({check.within}) and with a tool's "
        f"offsets up to {across} off in X on diameter, {off} in Z ({check.within_tools})."
    )
    both = {check.within, check.within_tools}
    return said if both == {Verdict.CLEAR} else f"{said} Gauge closer than that, or mend first."


def watch_rows(setup: SetupProof, units: str, most: int = WATCHED) -> tuple[WatchRow, ...]:
    """The places to watch in order of the program, `most` but for the first of each tool."""
    return tuple(_watch(near, setup, units) for near in _watched(setup, most))


def watch_left_out(setup: SetupProof, most: int = WATCHED) -> int:
    """How many places to watch are not among `watch_rows`."""
    return len(setup.approaches) - len(_watched(setup, most))


def _watched(setup: SetupProof, most: int) -> tuple[Approach, ...]:
    shown = setup.approaches
    if len(shown) > most:
        first = [a for a in shown if a.first_of_tool]
        near = sorted((a for a in shown if not a.first_of_tool), key=lambda a: a.gap)
        kept = {id(a) for a in [*first, *near[: max(0, most - len(first))]]}
        shown = tuple(a for a in shown if id(a) in kept)
    return shown


def _stand(number_: int, check: Check, setup: SetupProof, units: str) -> Stand:
    to_go = distance_to_go(setup, check.first_cut, units) if check.first_cut >= 0 else ""
    starts = ", ".join(dict.fromkeys(f"{p.in_words} {_word(p.words)}" for p in check.places))
    return Stand(
        number_,
        check.tool,
        f"X{position(check.x, units)} Z{position(check.z, units)}",
        starts,
        check.blocks,
        check.cannot,
        tuple(_gap(gap, check, units) for gap in check.gaps),
        any(gap.past_corner for gap in check.gaps),
        to_go,
    )


def _word(block: str) -> str:
    """The first word of a block that is no block number."""
    words = [w for w in block.split() if not (w[:1] in "Nn" and w[1:].isdigit())]
    return words[0] if words else block


def _gap(gap: Gauged, check: Check, units: str) -> Gap:
    across = gap.axis == "X"
    stands_at = check.x if across else check.z
    whole = 2 * gap.gap if across else gap.gap
    touches = stands_at - whole
    sign = "-" if touches >= 0 else "+"
    terms = (
        Term("", "", fixed(stands_at, units)),
        Term("", sign, fixed(abs(touches), units)),
    )
    what = "X over the diameter" if across else "Z to the face"
    return Gap(
        Sum(what, terms, fixed(whole, units)),
        fixed(gap.gap, units) if across else "",
        number(gap.passes, units),
        number(gap.refused, units),
        "" if gap.measured is None else _measured(gap.measured, units),
    )


def _measured(found: Measured, units: str) -> str:
    """The gap as a sum of what is measured on the piece, and the gauges by it."""
    whole = number(found.whole, units)
    if found.what == "length":
        gap = f"{whole} - longest length"
    elif abs(found.share - 0.5) < 1e-9:
        gap = f"({number(2 * found.whole, units)} - {found.what}) / 2"
    else:
        gap = f"{whole} - {found.share:.4f} x {found.what}"
    under, over = number(found.under, units), number(found.over, units)
    return f"measured: {gap}; {under} under it goes in, {over} over does not"


def _watch(near: Approach, setup: SetupProof, units: str) -> WatchRow:
    first = ", first" if near.first_of_tool else ""
    return WatchRow(
        near.place.in_words.removeprefix("line "),
        near.place.words,
        near.tool.split(" ", 1)[0] + first,
        "home" if max(map(abs, near.position)) >= FAR else position_words(near.position, units),
        distance_to_go(setup, near.motion, units),
        _short_gap(near, setup, units),
    )


def _short_gap(near: Approach, setup: SetupProof, units: str) -> str:
    """`X 2.8 / 1.4`, `Z 5.1`, `11.989 real`; to an obstacle with its name."""
    parts = []
    if near.gap_radial is not None:
        parts.append(f"X {number(2 * near.gap_radial, units)} / {number(near.gap_radial, units)}")
    if near.gap_z is not None:
        parts.append(f"Z {number(near.gap_z, units)}")
    if not parts:
        corner = corner_gap(setup, near)
        if corner is not None:
            across = f"X {number(2 * corner[0], units)} / {number(corner[0], units)}"
            parts += [across, f"Z {number(corner[1], units)}"]
        else:
            parts.append(f"{number(near.gap, units)} real")
    said = ", ".join(parts)
    return said if near.against == "metal" else f"{said} to {near.against}"
