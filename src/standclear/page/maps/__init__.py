"""Pictures that are dragged beside the section: the stock map and the length budget."""

from __future__ import annotations

from standclear.page.maps.panel import PANEL

__all__ = ["PANEL"]
