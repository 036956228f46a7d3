"""The set-up sheet as plain data: every figure is already words in the job's unit.

What the template prints stands here and nowhere else, so a test can read a sheet without a page.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Fact:
    """A name and what stands behind it."""

    name: str
    value: str


@dataclass(frozen=True)
class Term:
    """One figure of a sum: what it is, its sign (empty for the first), its digits."""

    name: str
    sign: str
    figure: str


@dataclass(frozen=True)
class Sum:
    """A sum that a setter does. On a practice sheet the result is left to write in."""

    what: str
    terms: tuple[Term, ...]
    """Empty where there is nothing to add: the result is set, or read."""
    result: str
    note: str = ""


@dataclass(frozen=True)
class ToolRow:
    """A tool of the set-up."""

    station: str
    name: str
    shape: str
    offset: str


@dataclass(frozen=True)
class Gap:
    """One gap at a place to stand: the sum that gives it, and the gauges."""

    sum: Sum
    between: str
    """Between tool and metal where the sum is on diameter; else empty."""
    passes: str
    refused: str
    measured: str
    """Where the tolerance of the piece is wider than gauges should be: the sum from its measured
    size, and the gauges by that; else empty."""


@dataclass(frozen=True)
class Stand:
    """A clearance point as a place to stand with the spindle stopped."""

    number: int
    tool: str
    at: str
    starts: str
    keyed: tuple[str, ...]
    cannot: str
    gaps: tuple[Gap, ...]
    past_corner: bool
    to_go: str


@dataclass(frozen=True)
class WatchRow:
    """A place to watch in single block."""

    line: str
    block: str
    tool: str
    stands: str
    to_go: str
    gap: str


@dataclass(frozen=True)
class FindingRow:
    """A finding that remains."""

    severity: str
    code: str
    where: str
    block: str
    sentence: str
    cure: str
    reason: str
    """By which the job allows it; empty where it does not."""


@dataclass(frozen=True)
class BarRow:
    """A bar size with the least and the greatest face allowance of each raw end."""

    size: str
    stated: bool
    ends: tuple[tuple[str, str], ...]
    """Empty words where nothing is proved."""


@dataclass(frozen=True)
class LeanRow:
    """One of the measurements that the verdict leans on most."""

    what: str
    stated: str
    clear_to: str
    fails_at: str
    meets: str


@dataclass(frozen=True)
class SizeRow:
    """A size of the first part to be measured."""

    name: str
    least: str
    greatest: str
    comes_out: str
    right: bool


@dataclass(frozen=True)
class SetupPage:
    """What belongs to one set-up."""

    name: str
    number: int
    count: int
    verdict: str
    offset: str
    program: str
    lines: str
    picture: str
    """SVG, black and white."""
    bench: tuple[Fact, ...]
    sums: tuple[Sum, ...]
    tools: tuple[ToolRow, ...]
    stands: tuple[Stand, ...]
    watch: tuple[WatchRow, ...]
    watch_more: int
    """Places to watch that are not listed: further off, and no tool's first."""
    size: float
    """Of letters and spaces, 1 in full."""
    findings: tuple[FindingRow, ...]


@dataclass(frozen=True)
class EffortRow:
    """What one tool takes in one set-up, in words; empty where nothing is known."""

    setup: str
    tool: str
    seconds: str
    metal: str
    """Of the seconds, those in metal; then those of feeds in air, and in rapid."""
    air: str
    rapid: str
    deepest: str
    """Cut, with its line."""
    force: str
    power: str


@dataclass(frozen=True)
class CostColumns:
    """Bars side by side, that in hand among them."""

    money: str
    titles: tuple[str, ...]
    rows: tuple[tuple[str, tuple[str, ...]], ...]
    note: str


@dataclass(frozen=True)
class EffortPage:
    """Time, load and cost of a part."""

    one_part: str
    """What a part takes, hand work included as far as it is stated."""
    strip: str
    """The run along its time with its power: SVG, black and white."""
    tools: tuple[EffortRow, ...]
    reached: str
    """How many limits are reached."""
    limits: tuple[str, ...]
    """Sentences: limits that are reached, or may be."""
    grips: tuple[str, ...]
    """Sentences: the grip that each set-up wants."""
    caution: str
    cost: CostColumns
    left_out: tuple[str, ...]


@dataclass(frozen=True)
class PartPage:
    """What belongs to the whole job."""

    sizes: tuple[SizeRow, ...]
    leans: tuple[LeanRow, ...]
    lean_note: str
    bar_ends: tuple[str, ...]
    bars: tuple[BarRow, ...]
    bar_note: str
    findings: tuple[FindingRow, ...]
    """Of no set-up, or allowed by the job."""
    trusted: tuple[str, ...]
    not_examined: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class Sheet:
    """The whole sheet."""

    title: str
    units: str
    """`mm` or `in`."""
    paper: str
    practice: bool
    verdict: str
    clear: bool
    headline: str
    blank: str
    given: str
    """Sizes that stood in for the job's own; empty where none did."""
    proved_at: str
    identity: tuple[tuple[str, str], ...]
    """What every page names: job, programs and tool, each with the head of its hash."""
    caution: str
    """The line at the foot of every page."""
    files: tuple[tuple[str, str], ...]
    """Name and SHA-256 of every file read, then of the tool."""
    gauging: tuple[str, ...]
    gauge_note: str
    setups: tuple[SetupPage, ...]
    part: PartPage
    effort: EffortPage
    keywords: tuple[str, ...]
    """What a sheet carries along for a later check."""
