"""The modal words to key in before a program is taken up at a tool call."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite

from standclear.job.models import Machine
from standclear.motions.meaning.words import ASSUMED_FAMILY, FAMILIES, Act
from standclear.motions.table import FeedMode, SpeedMode, Spindle, ToolChange

MM_PER_INCH = 25.4


@dataclass(frozen=True, slots=True)
class InForce:
    """What blocks keyed in can bring into force; None where the program says it by itself."""

    change: ToolChange
    offset: str
    """The work offset of the set-up."""
    clamp: bool
    spindle: bool
    """The direction with its speed."""
    feed: bool
    coolant: bool
    variables: bool
    """Those that the program has set by then."""


def keyed_blocks(given: InForce, machine: Machine) -> tuple[str, ...]:
    """The blocks to key in, in order: units, compensation off, feed mode, offset and motion word;
    then clamp, spindle, feed, coolant and variables as far as `given` wants them.

    The first block is always given: whatever a control starts with, it is then right.
    """
    change = given.change
    family = machine.control.cycle_words or ASSUMED_FAMILY
    words = [_g(family, Act.INCH if change.inch else Act.MILLIMETRE), "G40"]
    if family != ASSUMED_FAMILY:
        words.append(_g(family, Act.INCREMENTAL if change.incremental else Act.ABSOLUTE))
    per_rev = change.feed_mode is FeedMode.PER_REV
    words.append(_g(family, Act.FEED_PER_REVOLUTION if per_rev else Act.FEED_PER_MINUTE))
    words.append(given.offset)
    words.append("G01" if change.motion == Act.LINE else "G00")
    blocks = [" ".join(words)]
    if given.clamp and isfinite(change.clamp):
        blocks.append(f"{_g(family, Act.CLAMP_OR_SETTING)} S{_plain(change.clamp)}")
    if given.spindle:
        surface = change.speed_mode is SpeedMode.SURFACE
        speed = change.speed * 1000 / (MM_PER_INCH * 12) if surface and change.inch else None
        turns = {Spindle.FORWARD: " M03", Spindle.REVERSE: " M04", Spindle.STOPPED: ""}
        value = _plain(change.speed if speed is None else speed)
        blocks.append(f"G{96 if surface else 97} S{value}{turns[change.spindle]}")
    if given.feed:
        blocks.append(f"F{_feed(change.feed / (MM_PER_INCH if change.inch else 1.0))}")
    if given.coolant and change.coolant:
        blocks.append("M08")
    if given.variables:
        blocks += [f"#{number}={_value(value)}" for number, value in change.variables]
    return tuple(blocks)


def _g(family: str, act: Act) -> str:
    number = next(number for number, each in FAMILIES[family].items() if each is act)
    return f"G{int(number):02d}"


def _plain(value: float) -> str:
    return f"{round(value, 3):g}" if value < 1e5 else f"{value:.0f}"


def _value(value: float | None) -> str:
    """A variable's value with its point; `#0` for the empty one."""
    if value is None:
        return "#0"
    return f"{value:.9f}".rstrip("0")


def _feed(value: float) -> str:
    """At most five decimals, and always with its point."""
    return f"{value:.5f}".rstrip("0")
