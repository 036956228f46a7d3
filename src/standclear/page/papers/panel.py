"""The set-up sheet of the blank on the bench, as PDF."""

from __future__ import annotations

from datetime import datetime

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from standclear.job.read import read_job
from standclear.page.answers import Refused, job_of, threaded
from standclear.page.bench import OpenJob
from standclear.page.panels import on_bench
from standclear.page.working import values_in_address
from standclear.proof.held import hold
from standclear.proof.prove import judge
from standclear.sheet.gather import sheet_of
from standclear.sheet.typeset import to_pdf

PAPERS = {"a4": "a4", "letter": "us-letter"}
SIZES = ("bar", "length", "face")


async def sheet(request: Request) -> Response:
    """The sheet; `?paper=letter` and `?practice=1` choose its form, `?bar=52` another blank."""
    asked = dict(request.query_params)
    paper, practice = asked.pop("paper", "a4"), asked.pop("practice", "0")
    if paper not in PAPERS or practice not in ("0", "1"):
        raise Refused(400, "`paper` is a4 or letter, `practice` 0 or 1.")
    values = values_in_address(request, besides=("paper", "practice"))
    job = await threaded(job_of, request)
    data = await threaded(_made, job, values, paper, practice == "1")
    name = f"{job.place.folder.name}{'-practice' if practice == '1' else ''}.pdf"
    plain = "".join(c if c.isascii() and (c.isalnum() or c in "-_. ") else "_" for c in name)
    return Response(
        data,
        media_type="application/pdf",
        headers={"content-disposition": f'attachment; filename="{plain}"'},
    )


def _made(job: OpenJob, values: dict[str, float], paper: str, practice: bool) -> bytes:
    strange = [key for key in values if key not in SIZES]
    if strange:
        raise Refused(
            422,
            "Zeros or jaws stand elsewhere than in the job's files: write them into the job first, "
            "so that the sheet can name the files that it stands for.",
        )
    as_filed = job.ready[0].job
    files = read_job(
        job.place.path,
        bar=values.get("bar"),
        length=values.get("length"),
        face=values.get("face"),
    )
    held = hold(files)
    now = datetime.now().astimezone()
    made = sheet_of(
        held,
        judge(held, files.job),
        as_filed,
        now,
        paper=PAPERS[paper],
        practice=practice,
        given=values,
        job_from_sheet=job.place.path.name,
    )
    return to_pdf(made, now)


PANEL = on_bench(__file__, "Set-up sheet", Route("/job/{job}/sheet.pdf", sheet))
