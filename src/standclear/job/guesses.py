"""What the job file says is still a guess: each is a finding, and the answer stays unproven."""

from __future__ import annotations

from collections.abc import Iterator

from pydantic import BaseModel

from standclear.findings.finding import Finding, Measure, Severity
from standclear.job.models import Job
from standclear.job.units import lengths_of
from standclear.job.wording import Place, key_path, member, shown

CODE = "guess-not-confirmed"


def guess_findings(job: Job) -> tuple[Finding, ...]:
    """A finding for each name in `guesses` of `job` (millimetres), in the order of the file.

    A name that is no key of the job counts as much as any: it stays a guess until it is taken out.
    """
    if not job.guesses:
        return ()
    values = dict(_values_of(job))
    lengths = dict(_lengths_of(job))
    return tuple(
        _finding(name, values.get(name), lengths.get(name)) for name in dict.fromkeys(job.guesses)
    )


def _finding(name: str, value: object, length: float | None) -> Finding:
    measures: tuple[Measure, ...] = ()
    said = ""
    if length is not None:
        measures, said = (Measure("value", length),), ", {value},"
    elif isinstance(value, str | bool | int | float):
        said = f", {shown(value)},"
    return Finding(
        code=CODE,
        severity=Severity.MEND,
        message=f"{name}{said} is a guess that nobody has confirmed.",
        cure=f"Check {name}, put it right, and take its name out of guesses.",
        measures=measures,
        unproven=True,
    )


def _values_of(job: Job) -> Iterator[tuple[str, object]]:
    """Every key of the job as it is named in a message, with its value."""
    for place in _places(job, ()):
        value: object = job
        for part in place:
            value = member(value, part)
        yield key_path(place, job), value


def _lengths_of(job: Job) -> Iterator[tuple[str, float]]:
    for place in ((), *_places(job, ())):
        value: object = job
        for part in place:
            value = member(value, part)
        if isinstance(value, BaseModel):
            for inner, number in lengths_of(value):
                yield key_path((*place, *inner), job), number


def _places(value: object, place: Place) -> Iterator[Place]:
    if isinstance(value, BaseModel):
        parts: list[str | int] = [*type(value).model_fields]
    elif isinstance(value, list | tuple):
        parts = [*range(len(value))]
    else:
        return
    for part in parts:
        yield (*place, part)
        yield from _places(member(value, part), (*place, part))
