"""The first part measured: what to key in, with the sums."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from standclear.page.answers import job_of, threaded
from standclear.page.bench import OpenJob
from standclear.page.measured.tables import line_data, table_sent
from standclear.page.panels import Panel
from standclear.plan.first_part.correct import correct
from standclear.plan.first_part.measurements import NEEDED, OTHERS, gauges_of
from standclear.plan.table import rows_of
from standclear.report.plan.first_part import correction_lines
from standclear.report.sizes import fixed


async def sizes(request: Request) -> Response:
    """The sizes that can be measured, with what the drawing wants."""
    job = await threaded(job_of, request)
    return JSONResponse(_sizes(job))


async def corrected(request: Request) -> Response:
    """What to key in for the sizes in `table` (columns name, measured, uncertainty)."""
    table = await table_sent(request)
    job = await threaded(job_of, request)
    return JSONResponse(await threaded(_corrected, job, table))


def _sizes(job: OpenJob) -> dict[str, Any]:
    _, _, proof = job.ready
    return {
        "units": proof.units,
        "sizes": [
            {
                "name": size.name,
                "wanted": "" if size.wanted is None else fixed(size.wanted, proof.units),
                "tolerance": ""
                if size.tolerance is None
                else " to ".join(f"{fixed(t, proof.units)}" for t in size.tolerance),
            }
            for size in proof.sizes
            if size.wanted is not None
        ],
    }


def _corrected(job: OpenJob, table: bytes) -> dict[str, Any]:
    files, held, proof = job.ready
    gauges = gauges_of(rows_of(table, "the sizes", NEEDED, OTHERS), files.job, proof)
    found = correct(held, files.job, proof, gauges)
    return {"settled": found.settled, "lines": line_data(correction_lines(found, proof.units))}


FIRST_PART = Panel(
    key="measured",
    folder=Path(__file__).parent,
    title="First part measured",
    template="measured/first_part.html",
    scripts=("first_part.js",),
    routes=(
        Route("/job/{job}/sizes.json", sizes),
        Route("/job/{job}/first-part", corrected, methods=["POST"]),
    ),
)
