"""What is worked out for the setter, in words: the same answers as on the command line."""

from __future__ import annotations

from standclear.page.worked.panel import PANEL

__all__ = ["PANEL"]
