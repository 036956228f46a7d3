"""A table that the browser sends: as CSV text, or as rows of names and numbers."""

from __future__ import annotations

from typing import Any

from starlette.requests import Request

from standclear.page.answers import Refused, json_body
from standclear.report.text import Line

MOST_SIGNS = 200_000
"""Of a table: far more than a box holds."""


async def table_sent(request: Request) -> bytes:
    """The text of `table` in the body. Raises Refused where it is none or too long."""
    body = await json_body(request)
    text = body.get("table")
    if not isinstance(text, str):
        raise Refused(400, "`table` is not a text.")
    if len(text) > MOST_SIGNS:
        raise Refused(413, f"The table has {len(text):,} signs; {MOST_SIGNS:,} are the most.")
    return text.encode("utf-8")


def line_data(lines: tuple[Line, ...]) -> list[dict[str, Any]]:
    """Lines of an answer for the browser."""
    return [{"text": line.text, "role": line.role, "indent": line.indent} for line in lines]
