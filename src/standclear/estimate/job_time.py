"""The time of a whole job: its set-ups, what is done by hand between them, and what is left out."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from standclear.estimate.clock import Clock, clock_of
from standclear.estimate.taken import Taken
from standclear.estimate.timing import NOTHING, SetupTime, setup_time
from standclear.interval import Interval
from standclear.job.models import Job, Shop

NEVER_COUNTED = (
    "speeding up and slowing down in feeds, waits that a control makes unasked, and stops"
)


@dataclass(frozen=True)
class JobTime:
    """Seconds of one part."""

    setups: tuple[SetupTime, ...]
    changing: float
    """All tool changes."""
    turning_round: float
    loading: float
    left_out: tuple[str, ...]
    """Sentences: what is not in the sum, and what to state for it to be."""
    whole: bool
    """All is in it that can be stated."""

    @property
    def machine(self) -> Interval:
        """What the programs take, tool changes included."""
        return sum((s.total for s in self.setups), start=NOTHING) + self.changing

    @property
    def total(self) -> Interval:
        """A part from blank to blank."""
        return self.machine + self.turning_round + self.loading


def job_time(job: Job, taken: Sequence[Sequence[Taken]]) -> JobTime:
    """The time of `job`, of which `taken` says what each motion takes off (`all_taken`)."""
    shop = job.shop
    assert isinstance(shop, Shop)
    clock = clock_of(job)
    setups = [
        setup_time(setup.name, own, clock) for setup, own in zip(job.setup, taken, strict=True)
    ]
    rounds = sum(1 for k, s in enumerate(job.setup) if (k > 0 if s.turned is None else s.turned))
    changes = sum(s.changes for s in setups)
    missing = tuple(_left_out(shop, clock, setups, rounds, changes))
    return JobTime(
        tuple(setups),
        changes * (shop.tool_change or 0.0),
        rounds * (shop.turn_round or 0.0),
        shop.load or 0.0,
        (*missing, NEVER_COUNTED),
        not missing,
    )


def _left_out(
    shop: Shop, clock: Clock, setups: list[SetupTime], rounds: int, changes: int
) -> Iterator[str]:
    if clock.axes is None:
        yield "rapids: the machine file gives no rapid_rates"
    elif clock.axes.acceleration[0] == float("inf"):
        yield "speeding up and slowing down in rapids: the machine file gives no rapid_acceleration"
    if shop.spindle_run_up is None or clock.spindle_limit == float("inf"):
        yield "the spindle's run-up: it takes shop.spindle_run_up and machine.spindle_limit"
    if changes and shop.tool_change is None:
        yield f"{changes} tool changes: the job gives no shop.tool_change"
    if rounds and shop.turn_round is None:
        yield "turning the part round: the job gives no shop.turn_round"
    if shop.load is None:
        yield "loading: the job gives no shop.load"
    far = [f"{s.unknown_rapids} in set-up {s.name}" for s in setups if s.unknown_rapids]
    if far and clock.axes is not None:
        yield (
            f"rapids to or from home, {', '.join(far)}: the job gives neither shop.home nor "
            "geometry offsets with offset_z, or the program goes to G30"
        )
    for setup in setups:
        if setup.unknown_feeds:
            where = ", ".join(map(str, setup.unknown_feeds[:6]))
            more = " and more" if len(setup.unknown_feeds) > 6 else ""
            yield (
                f"set-up {setup.name}: feeds of which speed or feed is not known, line "
                f"{where}{more}"
            )
