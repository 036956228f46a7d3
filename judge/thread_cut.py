"""One thread of a random job: what is drawn and what is written of it. Sizes in mm, radii."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass
class ThreadCut:
    """One thread."""

    inside: bool
    by: str
    """`G76`, `G92` or `G32`."""
    pitch: float
    height: float
    tooth: float
    """Height of the insert's tooth."""
    start: float
    end: float
    """z of the clearance in front and of the end."""
    crest: float
    """Radius of the crest at the end."""
    lead_in: float
    """By how much the crest's radius is greater at the start than at the end."""
    clear: float
    starts: int
    angle: int
    away: bool = False
    """Cut away from the chuck, out of the groove at its inner end."""
