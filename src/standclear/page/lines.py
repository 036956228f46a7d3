"""Lines of an answer, as the command line says them, for the browser."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from standclear.report.lines import Line


def line_data(lines: Iterable[Line]) -> list[dict[str, Any]]:
    """Each line as its text, what it is, and how far it stands in."""
    return [{"text": line.text, "role": line.role, "indent": line.indent} for line in lines]
