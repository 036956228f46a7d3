"""How a view answers: as a page, or as the JSON twin of it; and how faults come out."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Mapping
from typing import Any

from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.templating import Jinja2Templates

from standclear.errors import Fault, FileError, JobError, StandclearError
from standclear.page.bench import Bench, OpenJob
from standclear.page.refusal import Refused as Refused
from standclear.page.store import Stale
from standclear.page.text import shown

TWIN = ".json"
View = Callable[[Request], Awaitable[Response]]


def bench_of(request: Request) -> Bench:
    """The bench of this page."""
    bench: Bench = request.app.state.bench
    return bench


def job_of(request: Request) -> OpenJob:
    """The job that the address names. Raises Refused where there is none."""
    ident = request.path_params["job"]
    try:
        return bench_of(request).job(ident)
    except KeyError:
        raise Refused(404, f"There is no job {ident} in this folder.") from None


def page(request: Request, template: str, data: Mapping[str, Any], status: int = 200) -> Response:
    """`data` through a template, or as JSON where the address ends so."""
    if request.url.path.endswith(TWIN):
        return JSONResponse(data, status)
    templates: Jinja2Templates = request.app.state.templates
    shared = {"looking_only": request.app.state.looking_only, "panels": request.app.state.panels}
    return templates.TemplateResponse(request, template, {**shared, **data}, status)


async def threaded(work: Callable[..., Any], *arguments: Any) -> Any:
    """`work` off the loop, so that other requests go on."""
    return await run_in_threadpool(work, *arguments)


async def json_body(request: Request) -> dict[str, Any]:
    """The JSON table that was sent. Raises Refused where there is none."""
    try:
        body = await request.json()
    except ValueError as error:
        raise Refused(400, f"What was sent is not JSON: {error}") from error
    if not isinstance(body, dict):
        raise Refused(400, "What was sent is not a table of names and values.")
    return body


def fault_data(fault: Fault) -> dict[str, str]:
    """A fault for the browser, which shows it beside the field of its key."""
    return {
        "file": fault.file,
        "key": fault.key,
        "found": fault.found,
        "accepted": fault.accepted,
        "words": str(fault),
    }


async def refused(request: Request, error: Exception) -> Response:
    """A refusal or a user's fault as JSON, or as a page where a page was asked for."""
    faults: list[Fault] = []
    status = 422
    data: dict[str, Any] = {}
    if isinstance(error, Refused):
        status = error.status
    elif isinstance(error, Stale):
        status = 409
        data = {
            "revision": error.revision,
            "there": shown(error.there),
            "kept_as": error.kept_as.name,
        }
    elif isinstance(error, JobError):
        faults = list(error.faults)
    elif isinstance(error, FileError):
        faults = [error.fault]
    elif not isinstance(error, StandclearError):
        status = 500
        words = f"A fault in standclear itself ({type(error).__name__}). This is no verdict."
        data = {"error": words}
    answer = {"error": str(error), "faults": [fault_data(fault) for fault in faults], **data}
    if request.method == "GET" and "text/html" in request.headers.get("accept", ""):
        return page(request, "refused.html", answer, status)
    return JSONResponse(answer, status)
