"""What a block did to the way through the program."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Flow:
    """Where execution goes on, and what the block did to it."""

    next: int
    ended: bool = False
    """The program ends here, as it says."""
    lost: bool = False
    """Where it goes on is not known, which is reported."""
    stops: int = 0
    calls: bool = False
    """The block calls a subprogram once it is done."""
    returns: bool = False
    """The block goes back to where its program was called from."""
