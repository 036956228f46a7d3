"""The check of a sheet in words."""

from __future__ import annotations

from collections.abc import Iterator

from standclear.report.lines import Line
from standclear.sheet.check import SAME, SheetCheck
from standclear.sheet.record import given_words


def check_lines(check: SheetCheck) -> tuple[Line, ...]:
    """Whether the sheet still stands, then file by file."""
    return tuple(_lines(check))


def _lines(check: SheetCheck) -> Iterator[Line]:
    record = check.record
    if check.stands:
        yield Line("The sheet stands: every file and the tool are as they were.", "clear")
    else:
        yield Line("The sheet no longer stands: make it anew.", "contact")
    given = given_words(record.given)
    with_sizes = f", with {given}" if given else ""
    yield Line(f"proved {record.proved_at}{with_sizes}; it says {record.verdict}")
    for name, state in check.files:
        yield Line(f"{name}: {state}", "plain" if state == SAME else "stop", 2)
    tool = SAME if check.same_tool else "CHANGED, it may answer otherwise now"
    role = "plain" if check.same_tool else "stop"
    yield Line(f"standclear {record.version}: {tool}", role, 2)
