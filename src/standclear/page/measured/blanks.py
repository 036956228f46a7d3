"""A box of measured blanks: which runs as it is, with which shift, and which does not."""

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
from standclear.plan.at_machine.box import NEEDED, OTHERS, blanks_of, sort_box
from standclear.plan.table import rows_of
from standclear.report.plan.box import box_lines


async def sorted_box(request: Request) -> Response:
    """The blanks in `table` (columns name, diameter, length, uncertainty) in the fewest shifts."""
    table = await table_sent(request)
    job = await threaded(job_of, request)
    return JSONResponse(await threaded(_sorted, job, table))


def _sorted(job: OpenJob, table: bytes) -> dict[str, Any]:
    files, held, _ = job.ready
    blanks = blanks_of(rows_of(table, "the box", NEEDED, OTHERS), files.job)
    found = sort_box(held, files.job, blanks)
    lines = box_lines(found, files.job.part.length, files.job.units)
    return {"settled": not found.scrap, "lines": line_data(lines)}


BOX = Panel(
    key="box",
    folder=Path(__file__).parent / "box",
    title="A box of blanks",
    template="measured/box.html",
    scripts=("box.js",),
    routes=(Route("/job/{job}/box", sorted_box, methods=["POST"]),),
)
