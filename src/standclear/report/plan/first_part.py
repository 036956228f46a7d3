"""The corrections after a first part, in words, with their sums."""

from __future__ import annotations

from collections.abc import Iterator

from standclear.findings.finding import Verdict
from standclear.plan.first_part.correction import Correction, Keyed, Moves, SizeSum, Taper
from standclear.report.lines import Line, cautions
from standclear.report.sizes import UNIT_WORD, fixed, length, number
from standclear.report.words import finding_sentence, place_words

SIGNS = (
    "Signs: + moves the tool away from spindle and axis, X counts on diameter. See on the display "
    "which way your control counts before you press cycle start."
)
WAYS = {
    "stop": "the zero is fixed from the stop, so the change holds for every part",
    "touch": "each raw face is touched: the change goes into the allowance keyed in there",
    "rule": "the zero is set with a rule: the change holds for this blank alone",
    "finished-on-stop": "the zero is fixed from the stop that the finished face sits on, so the "
    "change holds for every part",
    "measured": "the zero is set anew for each part from its measured length: look for the error "
    "in measuring and touching first; as it stands the change holds for this part alone",
    "nominal": "the zero is taken from the raw back face at a fixed allowance, so the saw goes "
    "into the length: key in each part's measured length less the finished length instead; the "
    "change holds for a blank of this length alone",
}
"""What a change of a zero is worth, by the way the zero is set."""


def correction_lines(found: Correction, units: str) -> tuple[Line, ...]:
    """What to key in, the sums, what they do, what is not explained."""
    return tuple(_lines(found, units))


def _lines(found: Correction, units: str) -> Iterator[Line]:
    yield Line(_headline(found), "clear" if found.settled else "mend")
    yield Line("")
    yield Line("What to key in", "heading")
    if not found.keyed:
        yield Line("Nothing.", indent=2)
    for keyed in found.keyed:
        yield from _keyed(keyed, found, units)
    if found.keyed:
        yield Line(SIGNS, indent=2)
    yield Line("")
    yield Line(f"Measured sizes ({'mm' if units == 'mm' else 'inch'})", "heading")
    for size in found.sizes:
        yield Line(_size(size, units), "plain" if size.right_after else "mend", 2)
        if size.unexplained:
            yield Line(f"Not explained: {size.unexplained}.", "mend", 6)
    for taper in found.tapers:
        yield Line(_taper(taper, units), "mend", 2)
    if found.not_measured:
        yield Line(f"Not measured: {'; '.join(found.not_measured)}.", indent=2)
    if found.keyed:
        yield from _effects(found, units)
    yield from cautions()


def _headline(found: Correction) -> str:
    if found.settled and not found.keyed:
        return "nothing to key in: every measured size is right"
    if found.settled:
        return "every measured size is right with what is keyed in below, and the job stays clear"
    if found.proved is not Verdict.CLEAR:
        return f"do not key in: with these changes the job is {found.proved}"
    return "not everything is settled: see what is not explained or not right below"


def _change(mm: float, units: str) -> str:
    text = number(abs(mm), units)
    return f"{'-' if mm < 0 else '+'}{text}"


def _keyed(keyed: Keyed, found: Correction, units: str) -> Iterator[Line]:
    where = (
        f"set-up {keyed.setups[0]}"
        if len(keyed.setups) == 1
        else (f"set-ups {' and '.join(keyed.setups)}")
    )
    change = f"{_change(keyed.change, units)} {UNIT_WORD[units]}"
    if keyed.kind == "zero":
        said = f"{keyed.word}, Z: {change} ({where})"
        if keyed.old is not None and keyed.new is not None:
            said += f"; it reads {number(keyed.old, units)}, key in {number(keyed.new, units)}"
    else:
        on = " on diameter" if keyed.kind == "x" else ""
        said = f"Offset {keyed.word}, {keyed.kind.upper()} wear: {change}{on} ({where})"
    yield Line(said, "cure", 2)
    by_name = {size.name: size for size in found.sizes}
    for name, error, rate in keyed.because:
        size = by_name[name]
        moves = "" if rate == 1.0 else f", moves {rate:+g} for each 1 keyed in"
        yield Line(
            f"{name}: {fixed(size.measured, units)} measured, {fixed(size.made, units)} as "
            f"the job makes it: {_change(error, units)}; right from {fixed(size.low, units)} to "
            f"{fixed(size.high, units)}{moves}",
            indent=6,
        )
    if keyed.way:
        yield Line(f"{WAYS[keyed.way][:1].upper()}{WAYS[keyed.way][1:]}.", indent=6)
    if keyed.also:
        yield Line(f"The same sizes could also come from {'; or '.join(keyed.also)}.", indent=6)


def _size(size: SizeSum, units: str) -> str:
    doubt = f" +/-{number(size.uncertainty, units)}" if size.uncertainty else ""
    cut = ""
    if size.station is not None:
        cut = f", cut by T{size.station} in set-up {size.setup}"
    said = f"{size.name}{cut}: {fixed(size.measured, units)}{doubt}"
    moved = fixed(size.after, units)
    if moved != fixed(size.measured, units):
        said += f" -> {moved}"
    limits = f"{fixed(size.low, units)} to {fixed(size.high, units)}"
    if size.right_after:
        return f"{said}, wanted {limits}: right"
    beside = "" if not size.low <= size.after <= size.high else " within the gauge's uncertainty"
    return (
        f"{said}, wanted {limits}: not surely right{beside}"
        if beside
        else (f"{said}, wanted {limits}: not right")
    )


def _taper(taper: Taper, units: str) -> str:
    return (
        f"Taper: from {taper.front} to {taper.back} the error changes by "
        f"{_change(taper.grows, units)} on diameter over {length(taper.over, units)}. No offset "
        "helps: look at stick-out, support, depth of the last cut and the machine's alignment."
    )


def _effects(found: Correction, units: str) -> Iterator[Line]:
    yield Line("")
    yield Line("What it does", "heading")
    yield Line(
        f"Proved again with it, whether the offsets were off or the gauge was: {found.proved}.",
        str(found.proved),
        2,
    )
    for finding in found.new_findings:
        where = f"set-up {finding.setup}, {finding.place.in_words}: " if finding.place else ""
        yield Line(f"New: {where}{finding_sentence(finding, units)}", "mend", 2)
    for name in found.not_as_summed:
        yield Line(
            f"{name} does not move as the sum says: another tool reaches that surface too.",
            "mend",
            2,
        )
    for moves in found.moves:
        yield from _moves(moves, units)


def _moves(moves: Moves, units: str) -> Iterator[Line]:
    before, after = length(moves.face_before, units), length(moves.face_after, units)
    face = f"{before} at most, as before" if before == after else f"{before} -> {after} at most"
    yield Line(f"Set-up {moves.setup}: raw face in front of part zero {face}", indent=2)
    for place, against, gap, then in moves.gaps:
        if number(gap, units) != number(then, units):
            said = f"gap to {against} {length(gap, units)} -> {length(then, units)}"
            yield Line(f"{place_words(place)}: {said}", indent=6)
