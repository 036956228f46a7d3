"""What has been measured: the first part, and a box of blanks."""

from __future__ import annotations

from standclear.page.measured.blanks import BOX
from standclear.page.measured.first_part import FIRST_PART

__all__ = ["BOX", "FIRST_PART"]
