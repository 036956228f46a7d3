"""The way of rapids."""

import pytest
from lathe_shop import BEGIN, trace

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


CORNER = "the control stops exactly at corners between rapids"


@pytest.mark.parametrize(
    ("text", "machine", "told"),
    [
        # From home to S is a rapid; a second one makes a corner, after a feed there is none.
        ("G00 Z2.\n", {}, True),
        ("G01 Z2. F.2\n", {}, False),
        ("G01 Z2. F.2\nG00 X60.\nG01 Z5.\n", {}, False),
        ("G01 Z2. F.2\nG00 X62.\nG00 Z5.\n", {}, True),
        ("G00 Z2.\n", {"rapid_corner": 0.5}, False),
    ],
)
def test_an_exact_stop_between_rapids_is_taken_on_trust_where_there_is_one(
    text: str, machine: dict[str, float], told: bool
) -> None:
    """Common practice, no source: many controls round the corner off unless they are told."""
    assert (CORNER in trace(BEGIN + text, **machine).trusted) is told
