"""The bench of a job: both ends, dragged and stepped through, with what is found."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from starlette.background import BackgroundTask
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from standclear.page.answers import (
    Refused,
    fault_data,
    job_of,
    json_body,
    page,
    threaded,
)
from standclear.page.bench import OpenJob
from standclear.page.form_words import fault_words
from standclear.page.handles import handles
from standclear.page.live import Asked, looked, prepared
from standclear.page.stepping import STEPS
from standclear.page.working import STEPPED, values_in_address, values_of
from standclear.report.words import CAUTIONS

MOST_STEPS = 500
"""Steps in one question: more than anybody presses while an answer is on its way."""


async def bench(request: Request) -> Response:
    """The bench; `?bar=52&length=86.5` puts handles elsewhere than in the job."""
    job = await threaded(job_of, request)
    return page(request, "job.html", await threaded(_bench_data, job, _asked_in_address(request)))


async def look(request: Request) -> Response:
    """The answer for handles that are dragged and for the motion that is stepped to."""
    body = await json_body(request)
    # One way off the loop and back: a finger waits for it.
    job, answer = await threaded(_looked, request, _asked(body))
    # After the first full answer there is time to get ready for a finger.
    return JSONResponse(answer, background=BackgroundTask(prepared, job))


async def state(request: Request) -> Response:
    """The revision: whoever has another one on the screen is told."""
    job = await threaded(job_of, request)
    return JSONResponse({"revision": job.revision, "faults": len(job.faults)})


def _looked(request: Request, asked: Asked) -> tuple[OpenJob, dict[str, Any]]:
    job = job_of(request)
    return job, looked(job, asked)


def _bench_data(job: OpenJob, asked: Asked) -> dict[str, Any]:
    data: dict[str, Any] = {
        "ident": job.ident,
        "revision": job.revision,
        "file": job.place.path.name,
        "names": list(job.names),
        "faults": [
            {**fault_data(fault), "words": fault_words(fault, job.place.path.name)}
            for fault in job.faults
        ],
        "cautions": list(CAUTIONS),
        "title": job.ident,
        "units": "mm",
        "handles": [],
        "programs": [],
        "answer": None,
    }
    if job.files is not None:
        known = job.files.job
        data |= {
            "title": known.title or job.ident,
            "units": known.units,
            "handles": [asdict(handle) for handle in handles(known)],
            "programs": list(dict.fromkeys(setup.program for setup in known.setup)),
            "setups": [setup.name for setup in known.setup],
            "answer": looked(job, asked),
        }
    return data


def _asked_in_address(request: Request) -> Asked:
    step = {k: v for k, v in request.query_params.items() if k in STEPPED}
    return _asked({"values": values_in_address(request), **step})


def _asked(body: dict[str, Any]) -> Asked:
    try:
        setup, motion = int(body.get("setup", -1)), int(body.get("motion", -1))
    except (TypeError, ValueError, OverflowError) as error:
        raise Refused(400, f"A value is not a number: {error}") from error
    return Asked(values_of(body), setup, motion, _steps(body), bool(body.get("quick", False)))


def _steps(body: dict[str, Any]) -> tuple[str, ...]:
    steps = body.get("steps", [])
    if not isinstance(steps, list) or any(step not in STEPS for step in steps):
        raise Refused(400, f"`steps` is a list of {', '.join(STEPS)}; found {steps!r}.")
    if len(steps) > MOST_STEPS:
        raise Refused(400, f"{len(steps)} steps at once; {MOST_STEPS} is the most.")
    return tuple(steps)


ROUTES = [
    Route("/job/{job}/", bench),
    Route("/job/{job}/job.json", bench),
    Route("/job/{job}/look", look, methods=["POST"]),
    Route("/job/{job}/state", state),
]
