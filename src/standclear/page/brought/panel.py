"""The panel of a program brought back: what differs, and whether the job is clear with it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from standclear.findings.finding import Verdict
from standclear.page.answers import Refused, job_of, threaded
from standclear.page.bench import OpenJob
from standclear.page.lines import line_data
from standclear.page.panels import on_bench
from standclear.plan.later.compare import compare
from standclear.report.plan.comparing import comparison_lines


async def compared(request: Request) -> Response:
    """The program in the body beside the job's own: `?of=pin.nc` says beside which, `?name=` what
    the file is called."""
    data = await request.body()
    asked = request.query_params
    job = await threaded(job_of, request)
    answer = await threaded(_compared, job, asked.get("of", ""), asked.get("name", ""), data)
    return JSONResponse(answer)


def _compared(job: OpenJob, of: str, name: str, data: bytes) -> dict[str, Any]:
    files, held, _ = job.ready
    if not data:
        raise Refused(400, "The file that was brought back is empty.")
    if of not in files.programs:
        raise Refused(404, f"The job has no program {of}; it has {', '.join(files.programs)}.")
    found = compare(held, files.job, of, data)
    return {
        "alike": found.moves_alike,
        "verdict": str(found.verdict),
        "good": found.moves_alike and found.verdict is Verdict.CLEAR,
        "lines": line_data(comparison_lines(found, Path(name or "the program brought back"))),
    }


PANEL = on_bench(
    __file__,
    "A program brought back",
    Route("/job/{job}/compare/look", compared, methods=["POST"]),
)
