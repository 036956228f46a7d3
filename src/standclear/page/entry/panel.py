"""The form as a panel of the page."""

from pathlib import Path

from standclear.page.entry.views import ROUTES
from standclear.page.panels import Panel

PANEL = Panel(
    key="entry",
    folder=Path(__file__).parent,
    title="The job file",
    template="entry/bench.html",
    front="entry/front.html",
    scripts=("begin.js",),
    styles=("entry.css",),
    routes=ROUTES,
    early=True,
)
