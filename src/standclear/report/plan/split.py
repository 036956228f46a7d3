"""The split of the length and the lengths that the blank may have, in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isfinite

from standclear.findings.finding import Verdict
from standclear.plan.setting.bounds import ProvedLength
from standclear.plan.setting.limits import ANY_SPLIT, Limit
from standclear.plan.setting.plan import SettingPlan
from standclear.plan.setting.split import LEAST_CUT, End, Split
from standclear.report.lines import Line
from standclear.report.sizes import length, number


def split_lines(
    split: Split,
    parted: bool,
    units: str,
    verdict: Verdict | None = None,
    enough: ProvedLength | None = None,
    fronts: tuple[ProvedLength | None, ProvedLength | None] = (None, None),
) -> Iterator[Line]:
    """How the spare length is shared, what either end needs, and which splits do; `verdict` of the
    proof with the split as it stands, None before there is a program; `enough` the length at which
    a split would do where none does; `fronts` the least and the greatest front allowance."""
    yield Line("Split of the length", "heading")
    front, back = split.front, split.back
    if back is None:
        why = "parted off" if parted else "not turned round"
        said = f"front allowance {length(front.allowance, units)}; the part is {why}, so that"
        yield Line(f"{said} no second raw face has to clean up.", indent=2)
    else:
        yield Line(
            f"blank {number(split.blank, units)} = front {number(front.allowance, units)} + part "
            f"{number(split.finished, units)} + back {length(back.allowance, units)}",
            indent=2,
        )
    yield _end(front, units)
    if back is not None:
        yield _end(back, units)
    cut = next((e.mm for e in front.eaten if e.source == LEAST_CUT), None)
    if cut is not None:
        yield Line(
            f"In each need {length(cut, units)} are for something to cut at the lowest spot of the "
            "face: less than that rubs (our choice, no source).",
            indent=2,
        )
    yield from _range(split, units, verdict, enough, fronts)
    for limit in split.at_any:
        yield Line(f"At any split {_too(limit)} that has to come off: mend the program.", "mend", 2)


def _end(end: End, units: str) -> Line:
    parts = ", ".join(f"{number(e.mm, units)} {e.source}" for e in end.eaten)
    left = end.allowance - end.need
    spare = (
        f"{length(left, units)} to spare" if left >= -1e-9 else f"{length(-left, units)} missing"
    )
    said = f"{end.setup} needs {length(end.need, units)} ({parts}); it has "
    return Line(
        f"{said}{number(end.allowance, units)}: {spare}.", "plain" if left >= -1e-9 else "mend", 2
    )


def _range(
    split: Split,
    units: str,
    verdict: Verdict | None,
    enough: ProvedLength | None,
    fronts: tuple[ProvedLength | None, ProvedLength | None],
) -> Iterator[Line]:
    shift, now = split.shift, split.front.allowance
    if split.short > 0:
        said = "No split leaves both ends what they need:"
        if verdict is Verdict.CLEAR:
            said = "The split as it stands is clear, but none leaves all that is wanted:"
        yield Line(said, "mend", 2)
        for limit, at, side in (
            (shift.lo_limit, shift.lo, "below"),
            (shift.hi_limit, shift.hi, "above"),
        ):
            if limit is not None:
                where = f"{side} a front allowance of {number(now + at, units)}"
                yield Line(f"{_too(limit)} {where}.", "mend", 6)
        if isfinite(split.short):
            yield Line(f"The two disagree by {length(split.short, units)}.", "mend", 6)
        yield from _enough(split, units, verdict, enough)
        return
    low, high = (
        "" if limit is None else number(now + (at if front is None else front.shift), units)
        for limit, at, front in (
            (shift.lo_limit, shift.lo, fronts[0]),
            (shift.hi_limit, shift.hi, fronts[1]),
        )
    )
    span = f"from {low} to {high}" if low and high else f"from {low} up" if low else "of any size"
    ends = [front for front in fronts if front is not None]
    if verdict in (None, Verdict.CLEAR):
        proved = " Proved again at its ends: clear." if ends and all(e.proved for e in ends) else ""
        does = "cleans up" if verdict is None else "does"
        yield Line(f"A front allowance {span} {does}.{proved}", indent=2)
        yield from _fronts(split, ends, units)
    else:
        yield Line(
            f"A front allowance {span} cleans up; what the programs allow is not counted: the job "
            "has to be clear first.",
            "mend",
            2,
        )
    if shift.lo_limit is not None:
        yield Line(f"Less: {_too(shift.lo_limit)}.", indent=6)
    if shift.hi_limit is not None:
        yield Line(f"More: {_too(shift.hi_limit)}.", indent=6)
    even = ""
    if split.even is not None and abs(split.even) > 1e-9:
        even = f" Even shares would be {number(now + split.even, units)} at the front."
    if split.proposed == 0:
        yield Line(f"Leave it at {length(now, units)}.{even}", "cure", 2)
    elif split.proposed is not None:
        anew = f"Set it to {length(now + split.proposed, units)} at the front"
        if split.back is not None:
            back = number(split.back.allowance - split.proposed, units)
            anew += f", which leaves {back} at the back"
        yield Line(f"{anew}.", "cure", 2)


def _fronts(split: Split, ends: Sequence[ProvedLength], units: str) -> Iterator[Line]:
    """What the proof says otherwise of the ends of the range than the sum does."""
    now = split.front.allowance
    for end in ends:
        at = length(now + end.shift, units)
        if not end.proved:
            said = f"At {at}, which the sum gives, the proof answers {_answer(end)}: stay inside it"
            yield Line(f"{said}.", "mend", 6)


def _enough(
    split: Split, units: str, verdict: Verdict | None, enough: ProvedLength | None
) -> Iterator[Line]:
    """How long the blank would have to be, as far as that is proved."""
    least = split.length_at_best
    if verdict is None and 0 < least.lo <= least.hi:
        need = length(split.blank + least.lo, units)
        said = f"For both faces to clean up the blank would have to be {need} long at least"
        yield Line(f"{said}; there is no program yet to prove it with.", "cure", 2)
    if enough is None:
        return
    at = length(enough.length, units)
    if enough.proved:
        front = number(split.front_at(enough.length, enough.shift), units)
        said = f"The blank would have to be {at} long at least, {front} of it at the front"
        yield Line(f"{said}. Proved again: clear.", "cure", 2)
        return
    yield Line(
        f"How long the blank would have to be is not proved: at {at}, which the sum gives, the "
        f"proof answers {_answer(enough)}.",
        "mend",
        2,
    )


def _answer(bound: ProvedLength) -> str:
    codes = ", ".join(dict.fromkeys(f.code for f in bound.more))
    return f"{bound.verdict}{f' and finds {codes}' if codes else ''}"


def _too(limit: Limit) -> str:
    """What goes wrong beyond a limit."""
    where = limit.setup + (f", line {limit.line}" if limit.line else "")
    return {
        "clean-up": f"{where} does not clean up",
        "air": f"{where}: the tool comes too near the raw face",
        ANY_SPLIT: f"{where}: the tool comes too near metal",
        "depth": f"{where}: the first facing cut is deeper than its tool may take",
        "jaws": f"{where}: the tool comes too near jaws, chuck or stop",
    }[limit.kind]


def length_lines(plan: SettingPlan, units: str) -> Iterator[Line]:
    """How short and how long the blank may be, each bound proved again."""
    split = plan.split
    if split.back is None:
        return
    yield Line("")
    yield Line("Length of the blank", "heading")
    if plan.verdict is not Verdict.CLEAR:
        yield Line("Not worked out: the job has to be clear first.", "mend", 2)
        return
    as_set, best = split.length_as_set, split.length_at_best
    yield Line(
        f"With the zeros set as they are: {_pair(plan.shortest, plan.longest, units)}", "", 2
    )
    if as_set.lo_limit is not None:
        yield Line(f"Shorter: {_too(as_set.lo_limit)}.", indent=6)
    if as_set.hi_limit is not None:
        yield Line(f"Longer: {_too(as_set.hi_limit)}.", indent=6)
    yield from _not_proved(plan.shortest, plan.longest, units)
    if best.lo <= best.hi:
        pair = _pair(plan.shortest_at_best, plan.longest_at_best, units, split)
        yield Line(f"With the front allowance set anew for it: {pair}", indent=2)
        yield from _not_proved(plan.shortest_at_best, plan.longest_at_best, units)


def _pair(
    low: ProvedLength | None, high: ProvedLength | None, units: str, split: Split | None = None
) -> str:
    words = []
    for name, bound in (("at least", low), ("at most", high)):
        if bound is None:
            words.append(f"no bound found {name}")
            continue
        if not bound.proved:
            words.append(f"none proved {name}")
            continue
        said = f"{name} {length(bound.length, units)}"
        if split is not None:
            front = split.front_at(bound.length, bound.shift)
            said += f" (front {number(front, units)})"
        words.append(said)
    proved = all(bound is None or bound.proved for bound in (low, high))
    return ", ".join(words) + (". Proved again: clear." if proved and (low or high) else ".")


def _not_proved(low: ProvedLength | None, high: ProvedLength | None, units: str) -> Iterator[Line]:
    for bound in (low, high):
        if bound is not None and not bound.proved:
            said = f"At {length(bound.length, units)}, which the sum gives, the proof answers"
            yield Line(f"{said} {_answer(bound)}.", "mend", 6)
