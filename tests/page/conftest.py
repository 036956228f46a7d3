"""A folder of jobs to put the page on, and a client that asks it as its own browser does."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from page_shop import HOST
from starlette.testclient import TestClient

from standclear.page.app import page_app

ROOT = Path(__file__).parents[2]

JOBS = ("demo-pin", "inch-flange", "parted-collar")


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """Copies of some examples, free to be changed."""
    folder = tmp_path / "jobs"
    for name in JOBS:
        shutil.copytree(ROOT / "examples" / name, folder / name)
    return folder


@pytest.fixture
def client(shop: Path) -> Iterator[TestClient]:
    """The page on `shop`, asked from this machine."""
    app = page_app(shop, frozenset({HOST}))
    with TestClient(app, base_url=f"http://{HOST}", raise_server_exceptions=False) as asked:
        yield asked
