"""What the shop counts with: times by hand, rates, and what edges and bars cost."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, Field
from pydantic_core import PydanticCustomError

from standclear.job.models.base import Table
from standclear.job.units import Length, Number, Whole


def _rising(bounds: tuple[float, float]) -> tuple[float, float]:
    if bounds[0] > bounds[1]:
        raise PydanticCustomError("range_not_rising", "least above most")
    return bounds


Range = Annotated[
    tuple[Annotated[Number, Field(gt=0)], Annotated[Number, Field(gt=0)]], AfterValidator(_rising)
]
"""(least, most)."""


class BarBought(Table):
    """The bars that blanks are sawn from. Give one price."""

    length: Length = Field(gt=0)
    kerf: Length = Field(default=0.0, ge=0)
    trim: Length = Field(default=0.0, ge=0)
    """Cut off the front end first, its own kerf counted in."""
    remnant: Length = Field(default=0.0, ge=0)
    """End that cannot be used: what saw or feeder must hold."""
    price_per_metre: Number | None = Field(default=None, ge=0)
    price_per_kilogram: Number | None = Field(default=None, ge=0)


class EdgeUse(Table):
    """What the cutting edges of one station cost."""

    station: Whole = Field(ge=0)
    price: Number = Field(ge=0)
    """Of one edge: an insert's price over its number of edges."""
    minutes: Range
    """Time in metal after which an edge is turned, least and most."""


class ShopValues(Table):
    """Cutting speed and feed that this shop starts with."""

    material: str = Field(min_length=1)
    """Words of the material's name."""
    station: Whole | None = Field(default=None, ge=0)
    """Of one tool alone; left out: of all."""
    speed: Range
    """m/min, whatever the file's unit."""
    feed: Annotated[
        tuple[Annotated[Length, Field(gt=0)], Annotated[Length, Field(gt=0)]],
        AfterValidator(_rising),
    ]
    """A turn."""


class ShopHome(Table):
    """Where the tips of tools stand at home, about, as the display of a set-up reads."""

    x: Length
    """On diameter."""
    z: Length


class Shop(Table):
    """What is left out is left out of the sums, and they say so."""

    tool_change: Number | None = Field(default=None, ge=0)
    """Seconds from one tool to the next, counted as `tool_change_counts` says."""
    tool_change_counts: Literal["turret", "chip-to-chip"] = "turret"
    """`turret`: turning the turret alone. `chip-to-chip`: from the last cut with one tool to the
    first with the next, so that rapids and run-up between the two are not counted again."""
    home: ShopHome | None = None
    """Times of rapids alone are counted with it; tools with geometry offsets, in set-ups that give
    `offset_z`, stand at home where machine coordinates are 0."""
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
    bar: BarBought | None = None
    edges: list[EdgeUse] = []
    values: list[ShopValues] = []
    """They go before the usual ones; of several that fit the first counts."""
