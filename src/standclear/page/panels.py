"""What a page is put together from: one panel a subject, each in a folder of its own.

A panel's folder holds `templates/` and `static/`; README.md in this folder shows how one is added.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from importlib import import_module
from pathlib import Path
from typing import Any

from starlette.routing import BaseRoute

PANELS: tuple[str, ...] = (
    "standclear.page.changes.panel:PANEL",
    "standclear.page.maps.panel:PANEL",
    "standclear.page.worked.panel:PANEL",
    "standclear.page.papers.panel:PANEL",
    "standclear.page.brought.panel:PANEL",
    "standclear.page.measured.first_part.panel:PANEL",
    "standclear.page.measured.box.panel:PANEL",
    "standclear.page.entry.panel:PANEL",
)
"""Panels as `module:name`, in the order in which they stand on the page."""


@dataclass(frozen=True)
class Panel:
    """One subject of the page. Everything but `key` and `folder` may be left out."""

    key: str
    """Its name in addresses and of its folder of static files: `/static/<key>/...`."""
    folder: Path
    """Where its `templates/` and `static/` lie."""
    title: str = ""
    """Its heading on the bench, in words of the trade."""
    template: str = ""
    """Template that is put into the bench of a job; it gets `job` and `handles`."""
    front: str = ""
    """Template that is put into the front page."""
    scripts: tuple[str, ...] = ()
    """ES modules in its `static/`; each exports `start(bench)` where the bench is to be shown."""
    styles: tuple[str, ...] = ()
    routes: tuple[BaseRoute, ...] = ()
    early: bool = False
    """Whether it serves a job that cannot be proved yet."""
    given: Mapping[str, Any] = field(default_factory=dict)
    """What its template gets besides, as `panel.given`."""


def on_bench(
    module: str, title: str, *routes: BaseRoute, early: bool = False, **given: Any
) -> Panel:
    """The panel of the file `module`, named for the folder that it lies in: of the name KEY it has
    `templates/KEY/panel.html` and `static/KEY.js`."""
    folder = Path(module).parent
    key = folder.name
    return Panel(
        key,
        folder,
        title,
        template=f"{key}/panel.html",
        scripts=(f"{key}.js",),
        routes=routes,
        early=early,
        given=given,
    )


def panels() -> tuple[Panel, ...]:
    """Every panel of the page."""
    named = (each.split(":") for each in PANELS)
    return tuple(getattr(import_module(module), name) for module, name in named)
