"""Checks of the set-ups among each other and against the jaws.

They take the whole job with shared files in place of their names. A check asks for every key it
needs of one set-up and for no more: on a salvaged job an absent key ends that set-up's check.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from standclear.job.models import Jaws, Job, Setup
from standclear.job.wording import Flaw, member, shown

FIRST_END = ("stop", "touch", "rule")
SECOND_END = ("finished-on-stop", "measured", "nominal")
NEEDS_FROM_STOP = ("stop",)
NEEDS_ALLOWANCE = ("touch", "rule", "nominal")
NEEDS_SEAT = ("stop", "finished-on-stop")
"""Ways whose zero is counted from the seat, which a stick-out does not fix."""

SetupCheck = Callable[[Job, int, Setup], Iterator[Flaw]]


def setup_flaws(job: Job, *, partial: bool) -> Iterator[Flaw]:
    """Flaws of the set-ups of `job`, places counted from the job.

    `partial` says that the job is salvaged: a check that needs an absent key says nothing.
    """
    for index, setup in enumerate(member(job, "setup") or ()):  # type: ignore[arg-type, var-annotated]
        for check in SETUP_CHECKS:
            try:
                flaws = list(check(job, index, setup))
            except AttributeError:
                if not partial:
                    raise
                continue
            for flaw in flaws:
                yield Flaw(("setup", index, *flaw.place), flaw.found, flaw.accepted)


def is_turned(index: int, setup: Setup) -> bool:
    """Whether the part was turned round before this set-up: all but the first unless stated."""
    return index > 0 and setup.turned is not False


def jaws_of(job: Job, setup: Setup) -> Jaws | str | None:
    """The jaws of the set-up: its own, else the job's."""
    return job.jaws if setup.jaws is None else setup.jaws


def same_clamping(job: Job, index: int) -> bool:
    """Whether set-up `index` repeats seat, zero and jaws of the one before it."""
    before, setup = job.setup[index - 1], job.setup[index]
    return (
        before.seat == setup.seat
        and before.zero == setup.zero
        and jaws_of(job, before) == jaws_of(job, setup)
    )


def _first_not_turned(job: Job, index: int, setup: Setup) -> Iterator[Flaw]:
    if index == 0 and setup.turned:
        yield Flaw(("turned",), "true", "leave it out: nothing comes before the first set-up")


def _way_of_end(job: Job, index: int, setup: Setup) -> Iterator[Flaw]:
    turned = is_turned(index, setup)
    ways = SECOND_END if turned else FIRST_END
    if setup.zero.way not in ways:
        end = "once the part is turned round" if turned else "before the part is turned round"
        words = ", ".join(f'"{way}"' for way in ways[:-1])
        yield Flaw(("zero", "way"), shown(setup.zero.way), f'{end} give {words} or "{ways[-1]}"')


def _needed_value(job: Job, index: int, setup: Setup) -> Iterator[Flaw]:
    way = setup.zero.way
    if way in NEEDS_FROM_STOP and setup.zero.from_stop is None:
        yield Flaw(
            ("zero", "from_stop"),
            "missing",
            f'give how far part zero lies from the seat, as way "{way}" needs it',
        )
    if way in NEEDS_ALLOWANCE and setup.zero.face_allowance is None:
        yield Flaw(
            ("zero", "face_allowance"),
            "missing",
            f'give how far the raw face stands out in front of part zero, as way "{way}" needs it',
        )


def _flats_there(job: Job, index: int, setup: Setup) -> Iterator[Flaw]:
    if setup.on_flats and job.blank.shape not in ("hexagon", "square"):
        yield Flaw(
            ("on_flats",), "true", f"leave it out: a {job.blank.shape} blank has no flats to grip"
        )


def _seat_of_way(job: Job, index: int, setup: Setup) -> Iterator[Flaw]:
    if setup.zero.way in NEEDS_SEAT and setup.seat.on == "stick-out":
        yield Flaw(
            ("seat", "on"),
            '"stick-out"',
            f'way "{setup.zero.way}" counts from the seat: give "stop" or "step"',
        )


def _step_there(job: Job, index: int, setup: Setup) -> Iterator[Flaw]:
    if setup.seat.on != "step":
        return
    jaws = jaws_of(job, setup)
    if jaws is None:
        yield Flaw(("seat", "on"), '"step"', "give the jaws that have the step")
    elif isinstance(jaws, Jaws) and setup.seat.step >= len(jaws.steps):
        count = len(jaws.steps)
        known = f"give a step from 0 to {count - 1}" if count else "the jaws have no steps"
        yield Flaw(("seat", "step"), shown(setup.seat.step), known)


def _stick_out_of_blank(job: Job, index: int, setup: Setup) -> Iterator[Flaw]:
    seat = setup.seat
    if seat.on == "stick-out" and seat.stick_out is not None:
        longest = job.blank.length + job.blank.length_tolerance[1]
        if seat.stick_out >= longest:
            yield Flaw(
                ("seat", "stick_out"),
                shown(seat.stick_out),
                f"give less than the length of the blank, {shown(longest)}",
            )


def _same_end_again(job: Job, index: int, setup: Setup) -> Iterator[Flaw]:
    if index == 0 or is_turned(index, setup) or setup.zero.way not in ("touch", "rule"):
        return
    if not same_clamping(job, index):
        yield Flaw(
            ("zero", "way"),
            shown(setup.zero.way),
            'where the part is not turned round, give "stop", or repeat seat, zero and jaws '
            "of the set-up before",
        )


def _name_once(job: Job, index: int, setup: Setup) -> Iterator[Flaw]:
    earlier = [member(each, "name") for each in job.setup[:index]]
    if setup.name in earlier:
        yield Flaw(
            ("name",),
            f"{shown(setup.name)}, as that of setup[{earlier.index(setup.name)}]",
            "give each set-up a name of its own",
        )


SETUP_CHECKS: tuple[SetupCheck, ...] = (
    _first_not_turned,
    _name_once,
    _way_of_end,
    _needed_value,
    _flats_there,
    _seat_of_way,
    _step_there,
    _stick_out_of_blank,
    _same_end_again,
)
