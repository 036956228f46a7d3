"""How long a part takes, in words: one row a tool, the sum, and what is not in it."""

from __future__ import annotations

from collections.abc import Iterator

from standclear.estimate.job_time import JobTime
from standclear.estimate.timing import SetupTime
from standclear.findings.finding import Verdict
from standclear.interval import Interval
from standclear.proof.result import JobProof
from standclear.report.text import Line

COLUMNS = ("in metal", "in air", "rapid", "waits", "run-up", "all")
WIDTH = 11
NOT_KNOWN = "not known"


def time_lines(time: JobTime, proof: JobProof) -> tuple[Line, ...]:
    """The whole answer, the sum first; `proof` is of the job that was timed."""
    return tuple(_lines(time, proof))


def _lines(time: JobTime, proof: JobProof) -> Iterator[Line]:
    yield Line(f"one part: {clock_words(time.total)}", "heading")
    if proof.verdict is not Verdict.CLEAR:
        yield Line(
            f"The job is not clear ({proof.verdict}): the time is that of the programs as they "
            "read, on metal as if nothing were struck.",
            str(proof.verdict),
        )
    hand = time.turning_round + time.loading
    yield Line(
        f"Programs {clock_words(time.machine)}, by hand {clock_words(Interval(hand, hand))}.",
        indent=2,
    )
    for setup in time.setups:
        yield from _setup(setup, proof.units)
    if time.changing or hand:
        yield Line("")
        yield Line("Besides (s)", "heading")
        for name, seconds in (
            ("tool changes", time.changing),
            ("turning round", time.turning_round),
            ("loading", time.loading),
        ):
            if seconds:
                yield Line(f"{name:<16}{seconds:>8.1f}", indent=2)
    yield Line("")
    yield Line("Not in these figures", "heading")
    for sentence in time.left_out:
        yield Line(sentence, indent=2)


def _setup(setup: SetupTime, units: str) -> Iterator[Line]:
    yield Line("")
    yield Line(f"Set-up {setup.name} (s)", "heading")
    names = [f"T{t.station:02d}{t.offset:02d} {t.name}".rstrip() for t in setup.tools]
    wide = max([len(n) for n in names] + [8])
    yield Line(f"{'tool':<{wide}}" + "".join(f"{c:>{WIDTH}}" for c in COLUMNS), "words", 2)
    for name, tool in zip(names, setup.tools, strict=True):
        parts = (tool.metal, tool.air, tool.rapid, tool.waits, tool.run_up, tool.total)
        said = [seconds(part) for part in parts]
        if not setup.rapids_known:
            said[COLUMNS.index("rapid")] = NOT_KNOWN
        yield Line(f"{name:<{wide}}" + "".join(f"{p:>{WIDTH}}" for p in said), indent=2)
    rest = " " * (wide + WIDTH * (len(COLUMNS) - 1))
    yield Line(f"{rest}{seconds(setup.total):>{WIDTH}}", indent=2)
    dear = [a for a in setup.air if a.seconds >= 0.05]
    if dear:
        yield Line("Air in the cycles, and what a clearance further out would add", "words", 2)
    unit, per = ("1 mm", 1.0) if units == "mm" else ("0.1 in", 2.54)
    for air in dear:
        added = [
            f"{per * value:.2f} s for {unit} more in {axis}"
            for value, axis in ((air.along, "Z"), (air.across, "X on diameter"))
            if value > 0
        ]
        yield Line(
            f"{air.cycle} with T{air.station:02d}, line {air.line}: {air.seconds:.1f} s in air"
            + (f"; {', '.join(added)}" if added else ""),
            indent=4,
        )


def seconds(span: Interval) -> str:
    """`12.3`, or `12.3-14.0` where it is a range."""
    low, high = f"{span.lo:.1f}", f"{span.hi:.1f}"
    return low if low == high else f"{low}-{high}"


def clock_words(span: Interval) -> str:
    """`3 min 12 s`, or `3 min 12 s to 3 min 20 s`."""
    low, high = _minutes(span.lo), _minutes(span.hi)
    return low if low == high else f"{low} to {high}"


def _minutes(seconds: float) -> str:
    whole = round(seconds)
    return f"{whole // 60} min {whole % 60} s" if whole >= 60 else f"{seconds:.1f} s"
