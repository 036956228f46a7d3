"""What is asked of many jobs at once."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Wanted:
    """What is asked of every job; sizes in its own unit."""

    bar: float | None = None
    length: float | None = None
    face: float | None = None
    large: bool = False
    since: bool = False
    """Answer from the last kept proof where nothing that it read is another one now."""
    keep: bool = False
    """Keep each answer that was proved anew."""

    @property
    def as_it_stands(self) -> bool:
        """Nothing stands in for the job's own values."""
        return self.bar is None and self.length is None and self.face is None
