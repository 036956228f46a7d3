"""A pytest plugin: notes which tests run through which lines, or runs the tests of a list only.

`python -m pytest -p mutants.noting`: with `MUTANTS_NOTE=FILE` in the environment the tests are
noted in FILE, as `mutants.reach` reads it; with `MUTANTS_CHOSEN=FILE` those named in FILE, a line
each, are run in that order and no others.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path

import pytest
from coverage import Coverage

_noted: dict[str, float] = {}
_coverage: list[Coverage] = []


def pytest_configure() -> None:
    """Begins to note, before anything of the package is imported."""
    if "MUTANTS_NOTE" in os.environ:
        cover = Coverage(data_file=None, source_pkgs=["standclear"], config_file=False)
        cover.start()
        _coverage.append(cover)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Iterator[None]:
    """Whatever runs from here on belongs to this test, what it shares with others too."""
    if _coverage:
        _coverage[0].switch_context(item.nodeid)
    return (yield)


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    """Adds up how long a test takes with what is made ready for it."""
    _noted[report.nodeid] = _noted.get(report.nodeid, 0.0) + report.duration


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Keeps the tests of the list."""
    if "MUTANTS_CHOSEN" in os.environ:
        names = Path(os.environ["MUTANTS_CHOSEN"]).read_text(encoding="utf-8").splitlines()
        place = {name: k for k, name in enumerate(names)}
        items[:] = sorted((i for i in items if i.nodeid in place), key=lambda i: place[i.nodeid])


def pytest_sessionfinish() -> None:
    """Writes down what was noted."""
    if not _coverage:
        return
    _coverage[0].stop()
    data = _coverage[0].get_data()
    package = Path(import_module("standclear").__file__ or "").parent
    lines = {}
    for file in data.measured_files():
        by_line = data.contexts_by_lineno(file)
        # What ran before the first test belongs to none.
        noted = {line: [test for test in tests if test] for line, tests in by_line.items()}
        lines[Path(file).relative_to(package).as_posix()] = noted
    Path(os.environ["MUTANTS_NOTE"]).write_text(
        json.dumps({"seconds": _noted, "lines": lines}), encoding="utf-8"
    )
