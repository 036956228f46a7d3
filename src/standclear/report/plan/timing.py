"""How long a part takes, in words: one row a tool, the sum, and what is not in it."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from standclear.estimate.job_time import JobTime
from standclear.estimate.timing import NOTHING, SetupTime, ToolTime
from standclear.findings.finding import Verdict
from standclear.interval import Interval
from standclear.proof.result import JobProof
from standclear.report.lines import Line

KINDS: tuple[tuple[str, Callable[[ToolTime], Interval]], ...] = (
    ("in metal", lambda tool: tool.metal),
    ("in air", lambda tool: tool.air),
    ("rapid", lambda tool: tool.rapid),
    ("waits", lambda tool: tool.waits),
    ("run-up", lambda tool: tool.run_up),
    ("all", lambda tool: tool.total),
)
WIDTH = 11
LEAST_AIR_S, LEAST_PRICE_S = 0.05, 0.005
"""Seconds: less reads as nothing."""
NOT_KNOWN = "not known"


def time_lines(time: JobTime, proof: JobProof) -> tuple[Line, ...]:
    """The whole answer, the sum first; `proof` is of the job that was timed."""
    return tuple(_lines(time, proof))


def _lines(time: JobTime, proof: JobProof) -> Iterator[Line]:
    yield Line(f"one part: {part_words(time)}", "heading")
    if proof.verdict is not Verdict.CLEAR:
        yield Line(
            f"The job is not clear ({proof.verdict}): the time is that of the programs as they "
            "read, on metal as if nothing were struck.",
            str(proof.verdict),
        )
    hand = time.turning_round + time.loading
    tools = [tool for setup in time.setups for tool in setup.tools]
    kinds = [
        f"{name} {clock_words(sum((part(tool) for tool in tools), start=NOTHING))}"
        for name, part in KINDS[:2]
    ]
    yield Line(
        f"Programs {clock_words(time.machine)}, of which {', '.join(kinds)}; by hand "
        f"{clock_words(Interval(hand, hand))}.",
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


def part_words(time: JobTime) -> str:
    """What a part takes: `3 min 16 s to 3 min 26 s`; `at least` that where something is missing
    that could be stated."""
    return clock_words(time.total) if time.whole else f"at least {clock_words(time.total)}"


def _setup(setup: SetupTime, units: str) -> Iterator[Line]:
    yield Line("")
    yield Line(f"Set-up {setup.name} (s)", "heading")
    tools = [tool for tool in setup.tools if tool.total.hi > 0]
    names = [f"T{t.station:02d}{t.offset:02d} {t.name}".rstrip() for t in tools]
    wide = max([len(n) for n in names] + [8])
    columns = [name for name, _ in KINDS]
    yield Line(f"{'tool':<{wide}}" + "".join(f"{c:>{WIDTH}}" for c in columns), "words", 2)
    rows = [
        (name, [part(tool) for _, part in KINDS]) for name, tool in zip(names, tools, strict=True)
    ]
    if len(rows) > 1:
        sums = [sum((parts[k] for _, parts in rows), start=NOTHING) for k in range(len(KINDS))]
        rows.append(("together", sums))
    for name, parts in rows:
        said = [seconds(part) for part in parts]
        if not setup.rapids_known:
            said[columns.index("rapid")] = NOT_KNOWN
        role = "heading" if name == "together" else "plain"
        yield Line(f"{name:<{wide}}" + "".join(f"{p:>{WIDTH}}" for p in said), role, 2)
    yield from _air(setup, units)


def _air(setup: SetupTime, units: str) -> Iterator[Line]:
    dear = sorted((a for a in setup.air if a.seconds >= LEAST_AIR_S), key=lambda a: a.line)
    if dear:
        yield Line("Feeds in air, and what a clearance further out would add", "words", 2)
    unit, per = ("1 mm", 1.0) if units == "mm" else ("0.1 in", 2.54)
    for air in dear:
        added = [
            f"{per * value:.2f} s for {unit} more in {axis}"
            for value, axis in ((air.along, "Z"), (air.across, "X on diameter"))
            if per * value >= LEAST_PRICE_S
        ]
        yield Line(
            f"{air.cycle or 'feed'} with T{air.station:02d}, line {air.line}: "
            f"{air.seconds:.1f} s in air" + (f"; {', '.join(added)}" if added else ""),
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
