"""The panel that shows one of the answers at a time, for the blank as it is dragged."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from standclear.drawing.writers.svg import inline_svg
from standclear.errors import JobError
from standclear.job.models import Job, Tool
from standclear.job.read import read_job
from standclear.page.answers import Refused, job_of, page, threaded
from standclear.page.bench import OpenJob
from standclear.page.form_words import fault_words
from standclear.page.lines import line_data
from standclear.page.panels import on_bench
from standclear.page.worked.subjects import RESTART, SUBJECTS, Laid, Subject
from standclear.page.working import asked, moved, values_in_address
from standclear.plan.later.other_tools import tool_from_words

TOOL = "tool"
"""In the address: `STATION=INSERT/HOLDER`, what stands there now."""


async def worked(request: Request) -> Response:
    """One answer: `?bar=52` puts handles elsewhere than in the job, as on the bench, and for a
    restart `?tool=1=CNMG120412` another tool into a station."""
    key = request.path_params["subject"]
    subject = next((each for each in SUBJECTS if each.key == key), None)
    if subject is None:
        known = ", ".join(each.key for each in SUBJECTS)
        raise Refused(404, f"There is no answer {key}; there are {known}.")
    job = await threaded(job_of, request)
    values = values_in_address(request, besides=(TOOL,))
    tools = request.query_params.getlist(TOOL) if key == RESTART else []
    data = await threaded(_worked_data, job, subject, values, tools)
    return page(request, "worked/whole.html", data)


def stations(job: OpenJob, _: dict[str, float]) -> dict[str, Any]:
    """The tools of the job, for naming another one in the place of one of them."""
    tools = [
        {"station": tool.station, "insert": tool.insert or "", "holder": tool.holder or ""}
        for tool in job.ready[0].job.tools
        if isinstance(tool, Tool)
    ]
    return {"tools": tools}


def _worked_data(
    job: OpenJob, subject: Subject, values: dict[str, float], tools: list[str]
) -> dict[str, Any]:
    svg = ""
    if job.files is None and subject.early is not None:
        lines = subject.early(_job_to_plan(job))
    else:
        laid = _laid(job, values, tools)
        lines = subject.lines(laid)
        if subject.picture is not None:
            svg = inline_svg(subject.picture(laid), f"worked-{subject.key}")
    title = job.proof.title if job.proof is not None else ""
    return {
        "ident": job.ident,
        "revision": job.revision,
        "title": title or job.ident,
        "subject": subject.key,
        "label": subject.label,
        "values": values,
        "lines": line_data(lines),
        "svg": svg,
    }


def _job_to_plan(job: OpenJob) -> Job:
    """Raises Refused with what is still to be filled in for a plan."""
    try:
        return read_job(job.place.path, to_plan=True).job
    except JobError as error:
        told = "; ".join(fault_words(fault, job.place.path.name) for fault in error.faults)
        raise Refused(422, f"Not yet. {told}.") from error


def _laid(job: OpenJob, values: dict[str, float], tools: list[str]) -> Laid:
    there, proof = moved(job, values)
    others: tuple[Tool, ...] = tuple(tool_from_words(words, there) for words in tools)
    return Laid(job, job.ready[1], there, proof, others)


PANEL = on_bench(
    __file__,
    "Worked out",
    Route("/job/{job}/worked/{subject}.json", worked),
    Route("/job/{job}/worked/{subject}", worked),
    asked("stations.json", stations),
    early=True,
    subjects=SUBJECTS,
)
