"""What the shop counts with: times by hand, rates, and what edges and bars cost."""

from __future__ import annotations

from pydantic import Field

from standclear.job.models.base import Table
from standclear.job.units import Number, Whole


class Shop(Table):
    """What is left out is left out of the sums, and they say so."""

    tool_change: Number | None = Field(default=None, ge=0)
    """Seconds from one station of the turret to the next in use."""
    spindle_run_up: Number | None = Field(default=None, ge=0)
    """Seconds from rest to the machine's `spindle_limit`; a smaller change of speed takes its
    share of it."""
    turn_round: Number | None = Field(default=None, ge=0)
    """Seconds to take the part out, turn it round and clamp it."""
    load: Number | None = Field(default=None, ge=0)
    """Seconds to take the finished part out and clamp the next blank."""
    money: str = ""
    """Name of the money that prices stand in."""
    machine_rate: Number | None = Field(default=None, ge=0)
    """Money per hour of the machine with whoever runs it."""
    preparation: Number | None = Field(default=None, ge=0)
    """Minutes to set the machine up, once for a batch."""
    batch: Whole | None = Field(default=None, ge=1)
    """Parts of a batch."""
