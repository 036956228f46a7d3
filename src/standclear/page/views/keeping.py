"""Keeping: what is on the bench into the job file, and a dated proof beside it."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from standclear.page.answers import Refused, bench_of, job_of, json_body, threaded
from standclear.page.bench import Bench, OpenJob
from standclear.page.handles import dragged
from standclear.page.views.job import values_of
from standclear.page.writing import with_values
from standclear.plan.later.kept_files import Asked, keep_files
from standclear.plan.later.since import TOOL, tool_hash
from standclear.proof.prove import judge
from standclear.report.json_answer import answer, to_json
from standclear.report.keep import keep_answer

OF_THE_BLANK = frozenset({"bar", "length", "face"})
"""What a kept proof can say beside its files."""


async def take(request: Request) -> Response:
    """The job file with what is dragged in it; `revision` is the one that was looked at."""
    body = await json_body(request)
    job = await threaded(job_of, request)
    return JSONResponse(await threaded(_take, bench_of(request), job, body))


async def keep(request: Request) -> Response:
    """The answer for what is on the bench, dated, with every file that it was made from."""
    body = await json_body(request)
    job = await threaded(job_of, request)
    return JSONResponse(await threaded(_keep, job, values_of(body)), 201)


def _take(bench: Bench, job: OpenJob, body: dict[str, Any]) -> dict[str, Any]:
    files, _, _ = job.ready
    if body.get("revision") != job.revision:
        raise Refused(409, "The job was changed elsewhere meanwhile: look at it first.")
    name = job.place.path.name
    data, _ = bench.store.read(job.place.path)
    text = with_values(data.decode("utf-8-sig"), files.job, values_of(body))
    revision = bench.store.save(job.place.path, text.encode("utf-8"), files.files[name])
    return {"file": name, "revision": revision}


def _keep(job: OpenJob, values: dict[str, float]) -> dict[str, Any]:
    files, held, proof = job.ready
    if not values.keys() <= OF_THE_BLANK:
        raise Refused(
            422, "A kept proof knows bar, length and face allowance. Write the rest into the job."
        )
    shown = judge(held, dragged(files.job, values)) if values else proof
    now = datetime.now().astimezone()
    with_tool = replace(shown, files={**shown.files, TOOL: tool_hash()})
    text = to_json(answer(with_tool, now.isoformat(timespec="seconds")))
    kept = keep_answer(job.place.path, text, now)
    keep_files(kept, files, Asked(values.get("bar"), values.get("length"), values.get("face")))
    return {"kept": f"proofs/{kept.name}", "verdict": str(shown.verdict)}


ROUTES = [
    Route("/job/{job}/take", take, methods=["POST"]),
    Route("/job/{job}/keep", keep, methods=["POST"]),
]
