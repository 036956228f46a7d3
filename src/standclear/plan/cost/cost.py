"""Cost of a part and of a batch: machine, preparation, material and edges.

    part = seconds / 3600 * rate + preparation / 60 * rate / batch + bar / blanks + edges

Sums of closed form. What the job's `shop` does not state is left out, and named.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from standclear.estimate.job_time import JobTime
from standclear.estimate.timing import NOTHING
from standclear.interval import Interval
from standclear.job.models import Blank, Job, Shop
from standclear.plan.rack.bars import Saw, Yield, blanks_from, density_of, weight_kg


@dataclass(frozen=True)
class Material:
    """The metal of one part."""

    blanks: Yield
    """Of one bar."""
    weight: float | None
    """Of bar used up for a part, kg: kerf, trim and remnant shared out; None where the material's
    density is not known."""
    price: float | None


@dataclass(frozen=True)
class JobCost:
    """Money of one part; None where the shop does not state what it takes."""

    money: str
    batch: int | None
    machine: Interval | None
    preparation: float | None
    material: Material | None
    blank_weight: float | None
    """Of one blank as stated, kg; None where the material's density is not known."""
    edges: Interval | None
    left_out: tuple[str, ...]

    @property
    def counted(self) -> bool:
        """Any money at all is counted."""
        price = None if self.material is None else self.material.price
        return any(each is not None for each in (self.machine, price, self.edges))

    @property
    def part(self) -> Interval:
        """All that is counted."""
        price = None if self.material is None else self.material.price
        fixed = (self.preparation or 0.0) + (price or 0.0)
        return (self.machine or NOTHING) + (self.edges or NOTHING) + fixed

    @property
    def whole_batch(self) -> Interval | None:
        """All parts of the batch."""
        return None if self.batch is None else self.part * float(self.batch)


def job_cost(job: Job, time: JobTime) -> JobCost:
    """The cost of a part of `job`, of which `time` was counted."""
    shop = job.shop
    assert isinstance(shop, Shop)
    rate = shop.machine_rate
    preparation = None
    if rate is not None and shop.preparation is not None and shop.batch is not None:
        preparation = shop.preparation / 60.0 * rate / shop.batch
    return JobCost(
        shop.money,
        shop.batch,
        None if rate is None else time.total * (rate / 3600.0),
        preparation,
        _material(shop, job.blank),
        _blank_weight(job.blank),
        _edges(shop, time),
        tuple(_left_out(shop, job.blank, time)),
    )


def _material(shop: Shop, blank: Blank) -> Material | None:
    bar = shop.bar
    if bar is None:
        return None
    found = blanks_from(bar.length, blank.length, Saw(bar.kerf, bar.trim, bar.remnant))
    density = density_of(blank.material)
    whole = None if density is None else weight_kg(blank, blank.size, bar.length, density)
    if found.count == 0:
        return Material(found, None, None)
    price = None
    if bar.price_per_metre is not None:
        price = bar.price_per_metre * bar.length / 1000.0
    elif bar.price_per_kilogram is not None and whole is not None:
        price = bar.price_per_kilogram * whole
    return Material(
        found,
        None if whole is None else whole / found.count,
        None if price is None else price / found.count,
    )


def _blank_weight(blank: Blank) -> float | None:
    density = density_of(blank.material)
    return None if density is None else weight_kg(blank, blank.size, blank.length, density)


def _edges(shop: Shop, time: JobTime) -> Interval | None:
    """Money for edges a part: time in metal over the life of an edge, times its price."""
    if not shop.edges:
        return None
    by_station = {edge.station: edge for edge in shop.edges}
    total = NOTHING
    for tool in (tool for setup in time.setups for tool in setup.tools):
        use = by_station.get(tool.station)
        if use is not None:
            least, most = use.minutes
            total = total + Interval(
                tool.metal.lo / 60.0 / most * use.price, tool.metal.hi / 60.0 / least * use.price
            )
    return total


def _left_out(shop: Shop, blank: Blank, time: JobTime) -> Iterator[str]:
    if shop.machine_rate is None:
        yield "machine and preparation: the job gives no rate of the machine (shop.machine_rate)"
    elif shop.preparation is None or shop.batch is None:
        yield "preparation: it takes its time and the batch (shop.preparation, shop.batch)"
    if shop.bar is None:
        yield "material: the job gives no price and length of bar (shop.bar)"
    elif shop.bar.price_per_kilogram is not None and density_of(blank.material) is None:
        named = blank.material or "none given"
        yield f"material: no density is known for {named}, and the bar is priced by weight"
    elif (
        blanks_from(
            shop.bar.length, blank.length, Saw(shop.bar.kerf, shop.bar.trim, shop.bar.remnant)
        ).count
        == 0
    ):
        yield "material: the bar gives no blank of this length"
    named_stations = {edge.station for edge in shop.edges}
    bare = sorted(
        {t.station for s in time.setups for t in s.tools if t.metal.hi > 0} - named_stations
    )
    if bare:
        yield "edges of " + ", ".join(f"T{n:02d}" for n in bare) + ": not in shop.edges"
    yield from (f"time: {sentence}" for sentence in time.left_out)
