"""The page put together: views, panels and files, behind the guard."""

from __future__ import annotations

from pathlib import Path

import jinja2
from starlette.applications import Starlette
from starlette.routing import BaseRoute, Mount, Route
from starlette.staticfiles import StaticFiles
from starlette.templating import Jinja2Templates
from starlette.types import ASGIApp

from standclear.errors import StandclearError
from standclear.page.answers import Refused, refused
from standclear.page.bench import Bench
from standclear.page.guard import Gate, Guard
from standclear.page.panels import Panel, panels
from standclear.page.store import Stale, Store
from standclear.page.views import code, front, job, keeping, programs

HERE = Path(__file__).parent


def page_app(root: Path, hosts: frozenset[str], gate: Gate | None = None) -> ASGIApp:
    """The whole page over the folder of jobs `root`, answering to `hosts`; with a `gate` for
    looking and dragging only."""
    found = panels()
    app = Starlette(
        routes=[*_own_routes(), *_of_panels(found)],
        exception_handlers={
            Refused: refused,
            Stale: refused,
            StandclearError: refused,
            Exception: refused,
        },
    )
    app.state.bench = Bench(Store(root))
    app.state.templates = _templates(found)
    app.state.panels = found
    app.state.gate = gate
    app.state.looking_only = gate is not None
    return Guard(app, hosts, gate)


def _own_routes() -> list[BaseRoute]:
    return [route for part in (code, front, job, keeping, programs) for route in part.ROUTES]


def _of_panels(found: tuple[Panel, ...]) -> list[BaseRoute]:
    routes: list[BaseRoute] = [route for panel in found for route in panel.routes]
    routes.append(Route("/static/drawing.css", front.drawing_style))
    for panel in found:
        static = panel.folder / "static"
        if static.is_dir():
            routes.append(Mount(f"/static/{panel.key}", StaticFiles(directory=static)))
    routes.append(Mount("/static", StaticFiles(directory=HERE / "static")))
    return routes


def _templates(found: tuple[Panel, ...]) -> Jinja2Templates:
    folders = [HERE / "templates", *(panel.folder / "templates" for panel in found)]
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader([str(folder) for folder in folders]),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    return Jinja2Templates(env=environment)
