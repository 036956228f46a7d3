"""The six-digit code that a browser of the shop's network types."""

from __future__ import annotations

from urllib.parse import parse_qs

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from standclear.page.answers import page
from standclear.page.guard import COOKIE, Gate


async def ask(request: Request) -> Response:
    """The form, or on to the front page where no code is wanted."""
    if request.app.state.gate is None:
        return RedirectResponse("/", 303)
    return page(request, "code.html", {"wrong": False})


async def typed(request: Request) -> Response:
    """The code as typed: a cookie for the right one."""
    gate: Gate | None = request.app.state.gate
    if gate is None:
        return RedirectResponse("/", 303)
    form = parse_qs((await request.body()).decode("utf-8", "replace"))
    token = gate.typed(form.get("code", [""])[0])
    if token is None:
        return page(request, "code.html", {"wrong": True}, 403)
    answer = RedirectResponse("/", 303)
    answer.set_cookie(COOKIE, token, httponly=True, samesite="strict", path="/")
    return answer


ROUTES = [Route("/code", ask), Route("/code", typed, methods=["POST"])]
