"""What is printed from the bench: the set-up sheet."""

from __future__ import annotations

from standclear.page.papers.panel import PANEL

__all__ = ["PANEL"]
