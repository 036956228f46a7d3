"""Starting the page: one address, the browser, and the code where others of the shop may look."""

from __future__ import annotations

import ipaddress
import socket
import webbrowser
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from threading import Timer
from urllib.parse import unquote

from starlette.types import ASGIApp, Message, Scope

from standclear.errors import Fault, FileError
from standclear.page.guard import Gate

HERE = "127.0.0.1"
USUAL_PORT = 8463
LAST_WORDS_SECONDS = 1


@dataclass(frozen=True)
class Started:
    """A page that has its address and is not served yet."""

    socket: socket.socket
    host: str
    port: int
    gate: Gate | None

    @property
    def hosts(self) -> frozenset[str]:
        """Values of `Host` that are this page."""
        names = [self.host] if self.gate is not None else [HERE, "localhost"]
        return frozenset(f"{name}:{self.port}" for name in names)

    def url(self, path: str = "/") -> str:
        """An address of the page."""
        return f"http://{self.host}:{self.port}{path}"


def address(words: str) -> str:
    """The address given with `--at`. Raises FileError where it is not one of a shop's network."""
    accepted = "give this machine's own address in the shop's network, such as 192.168.1.20"
    try:
        found = ipaddress.ip_address(words)
    except ValueError as error:
        raise FileError(Fault("--at", "", f"{words!r} is no IP address", accepted)) from error
    if found.version != 4 or found.is_unspecified or found.is_multicast or not found.is_private:
        raise FileError(Fault("--at", "", f"{words} is no address of a shop's network", accepted))
    return str(found)


def start(at: str | None, port: int | None) -> Started:
    """Take an address: this machine alone, or `at`. Port 0 takes any that is free; left out, the
    usual one, or any where that is taken. Raises FileError where it cannot be had."""
    host = HERE if at is None else address(at)
    wanted = [port] if port is not None else [USUAL_PORT, 0]
    for each in wanted:
        # Named as TCP, it sends small answers at once (asyncio asks for the name): else each one
        # waits 40 ms for the browser's word that it has the one before.
        taken = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
        taken.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            taken.bind((host, each))
            # Only a socket that listens keeps others off its port.
            taken.listen()
        except (OSError, OverflowError) as error:
            taken.close()
            reason = getattr(error, "strerror", None) or str(error)
            if each == wanted[-1]:
                found = f"the page cannot be put at {host}, port {each} ({reason})"
                accepted = "choose another address or --port"
                raise FileError(Fault("page", "", found, accepted)) from error
        else:
            gate = None if at is None else Gate()
            return Started(taken, host, int(taken.getsockname()[1]), gate)
    raise AssertionError("one of the ports is tried last")


def serve(
    started: Started, root: Path, path: str, *, browse: bool, say: Callable[[str], None]
) -> None:
    """Serve the page until it is stopped by hand."""
    import uvicorn

    from standclear.page.app import page_app

    app = page_app(root, started.hosts, started.gate)
    say(f"page: {started.url(path)}")
    if started.gate is not None:
        say(f"code to type there: {started.gate.code} (looking and dragging; nothing is written)")
    say("stop it with Ctrl+C")
    if browse:
        timer = Timer(0.4, webbrowser.open, [started.url(path)])
        timer.daemon = True
        timer.start()
    config = uvicorn.Config(
        app,
        log_level="warning",
        access_log=False,
        server_header=False,
        ws="none",
        lifespan="off",
        timeout_graceful_shutdown=LAST_WORDS_SECONDS,
    )
    # Ctrl+C is how the page is stopped, and comes through once it has stopped.
    with suppress(KeyboardInterrupt):
        uvicorn.Server(config).run(sockets=[started.socket])


def fetched(root: Path, path: str) -> tuple[int, bytes]:
    """Status and body of the page at `path`, without a server."""
    import asyncio

    from standclear.page.app import page_app

    host = f"{HERE}:{USUAL_PORT}"
    app = page_app(root, frozenset({host}))
    return asyncio.run(_asked(app, host, path))


async def _asked(app: ASGIApp, host: str, path: str) -> tuple[int, bytes]:
    where, _, query = path.partition("?")
    scope: Scope = {
        "type": "http",
        "asgi": {"version": "3.0"},
        "http_version": "1.1",
        "method": "GET",
        "scheme": "http",
        "path": unquote(where),
        "raw_path": where.encode(),
        "query_string": query.encode(),
        "root_path": "",
        "headers": [(b"host", host.encode()), (b"accept", b"text/html,*/*")],
        "client": (HERE, 0),
        "server": (HERE, USUAL_PORT),
    }
    status, parts = 500, []

    async def receive() -> Message:
        return {"type": "http.request", "body": b"", "more_body": False}

    async def send(message: Message) -> None:
        nonlocal status
        if message["type"] == "http.response.start":
            status = int(message["status"])
        else:
            parts.append(message.get("body", b""))

    await app(scope, receive, send)
    return status, b"".join(parts)
