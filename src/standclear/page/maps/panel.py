"""The panel of the stock map and the length budget."""

from __future__ import annotations

from pathlib import Path

from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from standclear.page.answers import job_of, threaded
from standclear.page.maps.data import budget_data, maps_data, rack_data
from standclear.page.panels import Panel
from standclear.page.worked.panel import values_in_address


async def maps(request: Request) -> Response:
    """The stock maps for the handles in the address."""
    job = await threaded(job_of, request)
    return JSONResponse(await threaded(maps_data, job, values_in_address(request)))


async def rack(request: Request) -> Response:
    """The map of the whole job with the bars of the rack beside it."""
    job = await threaded(job_of, request)
    return JSONResponse(await threaded(rack_data, job, values_in_address(request)))


async def budget(request: Request) -> Response:
    """The length budget for the handles in the address."""
    job = await threaded(job_of, request)
    return JSONResponse(await threaded(budget_data, job, values_in_address(request)))


PANEL = Panel(
    key="maps",
    folder=Path(__file__).parent,
    title="Which blanks would do",
    template="maps/panel.html",
    scripts=("maps.js",),
    routes=(
        Route("/job/{job}/maps.json", maps),
        Route("/job/{job}/rack.json", rack),
        Route("/job/{job}/budget.json", budget),
    ),
)
