"""What can be drawn of a job, and the endings of the files that hold it."""

from __future__ import annotations

from enum import StrEnum

ENDINGS = (".svg", ".png", ".pdf", ".dxf")


class Subject(StrEnum):
    """What a drawing is of."""

    SECTION = "section"
    STOCK = "stock"
    LENGTH = "length"
    MOTIONS = "motions"
    TIME = "time"
