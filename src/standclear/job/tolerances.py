"""The job without its tolerances, and with one of them at a time: whose share of a sum is whose."""

from __future__ import annotations

from collections.abc import Iterator

from standclear.job.models import Job

SAW = "saw"
"""Name of the tolerance of the blank's length."""
OUT_OF_SQUARE = "out of square"
"""Name of the lean of sawn faces."""
ZERO_OF, STICK_OUT_OF = "zero of", "stick-out of"
"""Names of the errors of a set-up, followed by its own."""


def without_tolerances(job: Job) -> Job:
    """`job` with every size and zero just as stated."""
    blank = job.blank.model_copy(
        update={
            "size_tolerance": (0.0, 0.0),
            "length_tolerance": (0.0, 0.0),
            "bore_tolerance": (0.0, 0.0),
            "run_out": 0.0,
            "bow": 0.0,
            "skin": 0.0,
            "out_of_square": 0.0,
        }
    )
    setups = [
        setup.model_copy(
            update={
                "zero": setup.zero.model_copy(update={"error": 0.0}),
                "seat": setup.seat.model_copy(update={"error": 0.0}),
            }
        )
        for setup in job.setup
    ]
    return job.model_copy(update={"blank": blank, "setup": setups})


def one_by_one(job: Job) -> Iterator[tuple[str, Job]]:
    """What bears on lengths, by name, each with the job that has this tolerance of `job` alone:
    placing is all sums, so shares add up."""
    plain = without_tolerances(job)
    for source, key in (
        (SAW, "length_tolerance"),
        (OUT_OF_SQUARE, "out_of_square"),
        ("skin", "skin"),
    ):
        value = getattr(job.blank, key)
        if value is not None:
            blank = plain.blank.model_copy(update={key: value})
            yield source, plain.model_copy(update={"blank": blank})
    for k, setup in enumerate(job.setup):
        for part, source in (("zero", ZERO_OF), ("seat", STICK_OUT_OF)):
            whole = getattr(plain.setup[k], part)
            error = getattr(setup, part).error
            changed = whole.model_copy(update={"error": error})
            setups = list(plain.setup)
            setups[k] = setups[k].model_copy(update={part: changed})
            yield f"{source} {setup.name}", plain.model_copy(update={"setup": setups})
