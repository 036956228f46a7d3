"""The front page: the shop's jobs, what was last answered of each, and what has changed since."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from standclear.page.answers import bench_of, page, threaded
from standclear.page.records import records


async def front(request: Request) -> Response:
    """The list of jobs; `?find=` keeps those whose name, title or files hold every word."""
    bench = bench_of(request)
    find = request.query_params.get("find", "")
    rows: list[dict[str, Any]] = await threaded(records, bench.store, find)
    data = {"folder": bench.store.root.name, "find": find, "jobs": rows}
    return page(request, "front.html", data)


async def drawing_style(request: Request) -> Response:
    """The look of every line and area of the drawings, for light and for dark ground."""
    from standclear.drawing.writers.svg import style_rules

    light = style_rules(within=".drawing")
    text = (
        f"{light}\n@media screen and (prefers-color-scheme:dark){{"
        f"{style_rules(dark=True, within=':root:not([data-ground=light]) .drawing')}}}\n"
        f"@media screen{{{style_rules(dark=True, within=':root[data-ground=dark] .drawing')}}}\n"
    )
    return Response(text, media_type="text/css")


ROUTES = [Route("/", front), Route("/jobs.json", front)]
