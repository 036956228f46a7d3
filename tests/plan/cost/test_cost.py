"""Cost of a part by hand."""

from __future__ import annotations

from typing import Any

import pytest

from standclear.estimate.job_time import JobTime
from standclear.estimate.timing import NOTHING, SetupTime, ToolTime
from standclear.interval import Interval
from standclear.job.models import Job
from standclear.job.units import to_millimetres
from standclear.plan.cost.cost import JobCost, job_cost


def timed(*minutes_in_metal: tuple[int, float, float], loading: float = 0.0) -> JobTime:
    """Tools by station with the least and the most of minutes in metal, and seconds of loading."""
    tools = tuple(
        ToolTime(
            station, station, "", Interval(60 * low, 60 * high), NOTHING, NOTHING, NOTHING, NOTHING
        )
        for station, low, high in minutes_in_metal
    )
    return JobTime((SetupTime("one", tools, 1, (), 0, ()),), 0.0, 0.0, loading, (), True)


def cost_of(time: JobTime, shop: dict[str, Any], units: str = "mm", **blank: Any) -> JobCost:
    raw = {
        "units": units,
        "blank": {"size": 50.0, "length": 85.0, "material": "steel", **blank},
        "part": {"length": 80.0},
        "shop": shop,
    }
    job = Job.model_validate(raw)
    return job_cost(to_millimetres(job, job.units, job.units), time)


BAR = {"length": 3000.0, "trim": 5.0, "remnant": 60.0, "kerf": 2.0}


def test_machine_and_preparation() -> None:
    """4 to 5 minutes and 60 s by hand at 60 an hour are 5 to 6; 30 minutes shared by 20 are 1.5."""
    shop = {"machine_rate": 60.0, "preparation": 30.0, "batch": 20, "money": "EUR"}
    found = cost_of(timed((1, 4.0, 5.0), loading=60.0), shop)
    assert found.machine is not None and found.whole_batch is not None
    assert (found.machine.lo, found.machine.hi) == pytest.approx((5.0, 6.0))
    assert found.preparation == pytest.approx(1.5)
    assert (found.part.lo, found.part.hi) == pytest.approx((6.5, 7.5))
    assert (found.whole_batch.lo, found.whole_batch.hi) == pytest.approx((130.0, 150.0))


def test_material_by_weight_shares_out_the_whole_bar() -> None:
    """(3000 - 5 - 60) / 87 = 33.7: 33 blanks; 3 m of 50 at 15.4134 kg/m (closed form, 7.85) weigh
    46.240 kg; at 1.80 that is 83.232, over 33."""
    found = cost_of(timed(), {"bar": BAR | {"price_per_kilogram": 1.80}})
    assert found.material is not None
    assert found.material.blanks.count == 33
    assert found.material.weight == pytest.approx(46.2402 / 33, rel=1e-5)
    assert found.material.price == pytest.approx(83.2324 / 33, rel=1e-5)


def test_material_by_the_metre_in_an_inch_job() -> None:
    """Bar 144, trim .25, end 3, blank 3.350, kerf .065: 41 (closed form). 144 in are 3.6576 m, at
    9 a metre 32.9184, over 41."""
    bar = {"length": 144.0, "trim": 0.25, "remnant": 3.0, "kerf": 0.065, "price_per_metre": 9.0}
    found = cost_of(timed(), {"bar": bar}, "inch", size=2.0, length=3.35)
    assert found.material is not None
    assert found.material.blanks.count == 41
    assert found.material.price == pytest.approx(32.9184 / 41)


def test_edges_by_their_life() -> None:
    """2 to 3 minutes in metal over 15 down to 10 minutes of an edge at 3: 0.4 to 0.9."""
    edges = [{"station": 1, "price": 3.0, "minutes": [10.0, 15.0]}]
    found = cost_of(timed((1, 2.0, 3.0), (4, 1.0, 1.0)), {"edges": edges})
    assert found.edges is not None
    assert (found.edges.lo, found.edges.hi) == pytest.approx((0.4, 0.9))
    assert any(sentence.startswith("edges of T04") for sentence in found.left_out)


@pytest.mark.parametrize(
    ("shop", "blank", "named"),
    [
        ({}, {}, "shop.machine_rate"),
        ({"machine_rate": 50.0}, {}, "shop.batch"),
        ({}, {}, "shop.bar"),
        ({"bar": BAR | {"price_per_kilogram": 2.0}}, {"material": "x"}, "no density is known"),
        ({"bar": BAR | {"length": 100.0, "price_per_metre": 2.0}}, {}, "no blank of this length"),
    ],
)
def test_what_is_not_stated_is_left_out_and_named(
    shop: dict[str, Any], blank: dict[str, Any], named: str
) -> None:
    assert any(named in sentence for sentence in cost_of(timed(), shop, **blank).left_out)


def test_nothing_stated_is_no_cost() -> None:
    assert not cost_of(timed(), {}).counted
