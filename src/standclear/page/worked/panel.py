"""The panel that shows one of the answers at a time, for the blank as it is dragged."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from standclear.drawing.writers.svg import inline_svg
from standclear.page.answers import Refused, job_of, page, threaded
from standclear.page.bench import OpenJob
from standclear.page.handles import dragged
from standclear.page.measured.tables import line_data
from standclear.page.panels import Panel
from standclear.page.worked.subjects import SUBJECTS, Laid, Subject
from standclear.proof.prove import judge

HERE = Path(__file__).parent


async def worked(request: Request) -> Response:
    """One answer: `?bar=52` puts handles elsewhere than in the job, as on the bench."""
    key = request.path_params["subject"]
    subject = next((each for each in SUBJECTS if each.key == key), None)
    if subject is None:
        known = ", ".join(each.key for each in SUBJECTS)
        raise Refused(404, f"There is no answer {key}; there are {known}.")
    job = await threaded(job_of, request)
    values = values_in_address(request)
    return page(request, "worked/whole.html", await threaded(_worked_data, job, subject, values))


def values_in_address(request: Request, besides: Sequence[str] = ()) -> dict[str, float]:
    """Handles that stand elsewhere, as the address gives them, without the names in `besides`.
    Raises Refused for what is no number."""
    try:
        return {
            key: float(value)
            for key, value in request.query_params.items()
            if key not in ("setup", "motion", *besides)
        }
    except ValueError as error:
        raise Refused(400, f"A value in the address is not a number: {error}") from error


def _worked_data(job: OpenJob, subject: Subject, values: dict[str, float]) -> dict[str, Any]:
    files, held, proof = job.ready
    moved = dragged(files.job, values) if values else files.job
    laid = Laid(job, held, moved, judge(held, moved) if values else proof)
    return {
        "ident": job.ident,
        "revision": job.revision,
        "title": proof.title or job.ident,
        "subject": subject.key,
        "label": subject.label,
        "values": values,
        "lines": line_data(subject.lines(laid)),
        "svg": ""
        if subject.picture is None
        else inline_svg(subject.picture(laid), f"worked-{subject.key}"),
    }


PANEL = Panel(
    key="worked",
    folder=HERE,
    title="Worked out",
    template="worked/panel.html",
    scripts=("panel.js",),
    given={"subjects": SUBJECTS},
    routes=(
        Route("/job/{job}/worked/{subject}.json", worked),
        Route("/job/{job}/worked/{subject}", worked),
    ),
)
