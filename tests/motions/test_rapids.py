"""The way of rapids."""

import pytest

from standclear.job.models import Machine
from standclear.motions.table import FAR, Path
from standclear.motions.way.rapids import rapid_legs


def machine(path: str, x: float | None = None, z: float | None = None) -> Machine:
    rates = {"x": x, "z": z} if x else None
    return Machine.model_validate({"rapid_path": path, "rapid_rates": rates})


def test_straight() -> None:
    assert rapid_legs((0, 0), (4, 3), machine("straight")) == (((4, 3), Path.STRAIGHT),)


@pytest.mark.parametrize(
    ("x", "z", "bend"),
    [
        (6000.0, 12000.0, (10.0, 25.0)),  # z done after 10/200 s; r has gone 5 by then
        (12000.0, 6000.0, (5.0, 30.0)),
        (3000.0, 6000.0, (10.0, 25.0)),
    ],
)
def test_bent(x: float, z: float, bend: tuple[float, float]) -> None:
    legs = rapid_legs((0.0, 20.0), (10.0, 30.0), machine("bent", x, z))
    assert legs == ((bend, Path.STRAIGHT), ((10.0, 30.0), Path.STRAIGHT))


def test_bent_with_both_axes_done_together_is_straight() -> None:
    legs = rapid_legs((0.0, 20.0), (10.0, 30.0), machine("bent", 100.0, 100.0))
    assert legs == (((10.0, 30.0), Path.STRAIGHT),)


@pytest.mark.parametrize("given", [machine("unknown"), machine("bent")])
def test_unknown_is_the_rectangle_but_one_axis_is_a_line(given: Machine) -> None:
    assert rapid_legs((0, 0), (4, 3), given) == (((4, 3), Path.ANYWHERE),)
    assert rapid_legs((0, 0), (4, 0), given) == (((4, 0), Path.STRAIGHT),)
    assert rapid_legs((4, 3), (4, 3), given) == ()


def test_no_line_leads_from_home() -> None:
    assert rapid_legs((FAR, FAR), (4, 3), machine("straight")) == (((4, 3), Path.ANYWHERE),)
