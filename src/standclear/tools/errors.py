"""What is wrong with the description of a tool."""

from __future__ import annotations

from collections.abc import Iterable

from standclear.errors import StandclearError


class ToolError(StandclearError, ValueError):
    """A tool cannot be drawn from what the job says of it."""


class DesignationError(ToolError):
    """A designation does not follow its standard.

    `position` counts as the standard counts (from 1; 0 where the whole does not fit), `found` is
    what stands there and `accepted` what may.
    """

    def __init__(
        self, designation: str, position: int, what: str, found: str, accepted: Iterable[str]
    ) -> None:
        self.designation = designation
        self.position = position
        self.found = found
        self.accepted = tuple(accepted)
        place = f"position {position} ({what})" if position else what
        super().__init__(
            f"{designation}: {place} is {found!r}; accepted: {', '.join(self.accepted)}"
        )


class MismatchError(ToolError):
    """Insert and holder do not belong together, or the holder does not suit its use."""
