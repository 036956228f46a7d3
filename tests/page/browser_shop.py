"""A running page and a browser at it, for the tests that act as somebody at the bench does."""

from __future__ import annotations

import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from playwright.sync_api import Browser, Page, expect, sync_playwright

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or ""
PATIENCE_MS = 60_000
"""Most that a page is waited for: a machine that runs all tests at once is slow."""
expect.set_options(timeout=PATIENCE_MS)


@dataclass
class Running:
    """The page's process; `start` again after `stop` puts it at the same port."""

    folder: Path
    options: tuple[str, ...] = ()
    port: int = 0
    process: subprocess.Popen[str] | None = None
    said: list[str] = field(default_factory=list)

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        command = [sys.executable, "-m", "standclear", "page", str(self.folder), "--no-browse"]
        self.process = subprocess.Popen(
            [*command, *self.options, "--port", str(self.port)], stdout=subprocess.PIPE, text=True
        )
        assert self.process.stdout is not None
        line = self.process.stdout.readline()
        found = re.match(r"page: http://127\.0\.0\.1:(\d+)/", line)
        assert found, line
        self.port = int(found[1])
        self.said = [line, self.process.stdout.readline()]

    def stop(self) -> None:
        """As if somebody pulled the plug."""
        if self.process is not None:
            self.process.send_signal(signal.SIGKILL)
            self.process.wait()
            assert self.process.stdout is not None
            self.process.stdout.close()
            self.process = None


@contextmanager
def running(folder: Path, *options: str) -> Iterator[Running]:
    """The page on `folder`, ended with the test."""
    page = Running(folder, options)
    page.start()
    try:
        yield page
    finally:
        page.stop()


@contextmanager
def chromium() -> Iterator[Browser]:
    """The machine's own Chromium without a window."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=CHROMIUM, args=["--no-sandbox", "--disable-gpu"]
        )
        try:
            yield browser
        finally:
            browser.close()


def opened(browser: Browser, url: str, width: int = 1280, height: int = 800) -> Page:
    """A fresh tab at `url`; what the page's scripts complain of fails the test."""
    page = browser.new_context(viewport={"width": width, "height": height}).new_page()
    page.set_default_timeout(PATIENCE_MS)
    complaints: list[str] = []
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on(
        "console",
        lambda message: complaints.append(message.text) if message.type == "error" else None,
    )
    page.goto(url)
    page.complaints = complaints  # type: ignore[attr-defined]
    return page


def answered(page: Page, count: int = 1) -> None:
    """Waits until the bench has shown `count` answers since it was opened."""
    page.wait_for_function(
        "n => Number(document.getElementById('bench').dataset.answered ?? 0) >= n", arg=count
    )
