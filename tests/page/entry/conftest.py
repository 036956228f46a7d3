"""The form in a running page, and a browser in front of it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from browser_shop import CHROMIUM, Running, chromium, opened, running
from playwright.sync_api import Browser, Page
from tests.page.entry.entry_shop import EXAMPLES


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Running]:
    """The page on a folder with the demo pin alone."""
    folder = tmp_path / "jobs"
    shutil.copytree(EXAMPLES / "demo-pin", folder / "demo-pin")
    with running(folder) as page:
        yield page


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    if not CHROMIUM:
        pytest.skip("no Chromium here: the form is not tried in a browser")
    with chromium() as found:
        yield found


@pytest.fixture
def screen(browser: Browser, served: Running) -> Iterator[Page]:
    """A tablet of 10 inches held across, at the form of the demo pin."""
    page = opened(browser, f"{served.url}/job/demo-pin/form/")
    yield page
    assert page.complaints == []  # type: ignore[attr-defined]
    page.context.close()
