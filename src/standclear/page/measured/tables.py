"""A table that the browser sends as CSV text."""

from __future__ import annotations

from standclear.page.answers import Refused
from standclear.page.working import Sent

MOST_SIGNS = 200_000
"""Of a table: far more than a box holds."""


def table_in(sent: Sent) -> bytes:
    """The text of `table` in what was sent. Raises Refused where it is none or too long."""
    text = sent.body.get("table")
    if not isinstance(text, str):
        raise Refused(400, "`table` is not a text.")
    if len(text) > MOST_SIGNS:
        raise Refused(413, f"The table has {len(text):,} signs; {MOST_SIGNS:,} are the most.")
    return text.encode("utf-8")
