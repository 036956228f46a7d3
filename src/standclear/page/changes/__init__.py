"""The least edits that make a job clear, taken piece by piece."""

from __future__ import annotations

from standclear.page.changes.panel import PANEL

__all__ = ["PANEL"]
