"""Views that are one function of an open job and of what was asked; their answer is JSON."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from standclear.job.models import Job
from standclear.page.answers import Refused, bench_of, job_of, json_body, threaded
from standclear.page.bench import OpenJob
from standclear.page.handles import dragged
from standclear.page.store import Store
from standclear.proof.prove import judge
from standclear.proof.result import JobProof

STEPPED = ("setup", "motion")
"""What stands in the address of a bench beside its handles."""


@dataclass(frozen=True)
class Sent:
    """A table that the browser has sent for a job."""

    job: OpenJob
    store: Store
    body: Mapping[str, Any]

    @property
    def values(self) -> dict[str, float]:
        """Where its handles stand. Raises Refused where that is no table of numbers."""
        return values_of(self.body)


def asked(path: str, work: Callable[[OpenJob, dict[str, float]], Mapping[str, Any]]) -> Route:
    """`/job/{job}/` and `path`: what `work` makes of the job and the handles in the address."""

    async def view(request: Request) -> Response:
        job = await threaded(job_of, request)
        return JSONResponse(await threaded(work, job, values_in_address(request)))

    return Route(f"/job/{{job}}/{path}", view)


def sent(path: str, work: Callable[[Sent], Mapping[str, Any]], status: int = 200) -> Route:
    """The same for a table that is posted there."""

    async def view(request: Request) -> Response:
        body = await json_body(request)
        job = await threaded(job_of, request)
        answer = await threaded(work, Sent(job, bench_of(request).store, body))
        return JSONResponse(answer, status)

    return Route(f"/job/{{job}}/{path}", view, methods=["POST"])


def values_in_address(request: Request, besides: Sequence[str] = ()) -> dict[str, float]:
    """Handles that stand elsewhere, as the address gives them, without the names in `besides`.
    Raises Refused for what is no number."""
    values = request.query_params.items()
    return _numbers({k: v for k, v in values if k not in (*STEPPED, *besides)})


def values_of(body: Mapping[str, Any]) -> dict[str, float]:
    """Where the handles in `values` stand. Raises Refused where that is no table of numbers."""
    given = body.get("values", {})
    if not isinstance(given, dict):
        raise Refused(400, "`values` is not a table of names and numbers.")
    return _numbers(given)


def moved(job: OpenJob, values: Mapping[str, float]) -> tuple[Job, JobProof]:
    """The job with handles at `values`, and its proof. Raises JobError where a value lies outside
    its travel or the job cannot be proved."""
    files, held, proof = job.ready
    if not values:
        return files.job, proof
    there = dragged(files.job, values)
    return there, judge(held, there)


def _numbers(given: Mapping[str, Any]) -> dict[str, float]:
    try:
        return {str(key): float(value) for key, value in given.items()}
    except (TypeError, ValueError, OverflowError) as error:
        raise Refused(400, f"A value is not a number: {error}") from error
