"""The page served over a folder of its own, and a headless Chromium in front of it."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from tests.page.entry.entry_shop import EXAMPLES

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")


@dataclass
class Served:
    """A page that answers."""

    folder: Path
    url: str


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    """`standclear page` on a folder with the demo pin, at a port that is free."""
    folder = tmp_path / "shop"
    shutil.copytree(EXAMPLES / "demo-pin", folder / "demo-pin")
    command = [sys.executable, "-m", "standclear", "page", str(folder), "--port", "0"]
    with subprocess.Popen([*command, "--no-browse"], stdout=subprocess.PIPE, text=True) as process:
        try:
            assert process.stdout is not None
            found = re.search(r"http://\S+", process.stdout.readline())
            assert found is not None
            yield Served(folder, found[0].rstrip("/"))
        finally:
            process.terminate()
            process.wait(10)


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """Debian's Chromium; without it these tests are skipped by name."""
    if CHROMIUM is None:
        pytest.skip("no Chromium here: apt-get install chromium")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        found = play.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield found
        found.close()


@pytest.fixture
def screen(browser: Any) -> Iterator[Any]:
    """A screen of a 10-inch tablet held across; anything that the page's scripts complain of fails
    the test."""
    page = browser.new_page(viewport={"width": 1280, "height": 800})
    wrong: list[str] = []
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on("console", lambda said: wrong.append(said.text) if said.type == "error" else None)
    page.wrong = wrong
    yield page
    page.close()
