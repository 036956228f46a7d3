"""What stands in the chuck: the jaws follow the gripped diameter and the seat."""

from __future__ import annotations

import pytest

from standclear.interval import Interval
from standclear.job.models import Jaws, Job
from standclear.job.placing import place_setups
from standclear.proof.bench import obstacles_of, raw_metal

PROFILE = [[-20, -5], [0, -5], [0, 0], [25, 0], [25, 30], [-20, 30]]


def job(
    size: float,
    tolerance: tuple[float, float] = (0.0, 0.0),
    shape: str = "round",
    grip: float | None = None,
    *,
    on_flats: bool = False,
) -> Job:
    return Job.model_validate(
        {
            "units": "mm",
            "blank": {"shape": shape, "size": size, "size_tolerance": tolerance, "length": 80},
            "part": {"length": 77},
            "machine": {},
            "tools": [{"station": 1, "drill": {"diameter": 10, "length": 60}}],
            "jaws": {"profile": PROFILE, "chuck": {"face": -20, "diameter": 160}},
            "setup": [
                {
                    "name": "a",
                    "program": "a.nc",
                    "zero": {"way": "touch", "face_allowance": 1.5},
                    "grip_diameter": grip,
                    "on_flats": on_flats,
                }
            ],
        }
    )


def jaws_bounds(made: Job) -> tuple[float, float, float, float]:
    placing = place_setups(made)[0]
    assert isinstance(made.jaws, Jaws)
    found, _ = obstacles_of(
        made.jaws, made.setup[0], placing, raw_metal(placing), Interval(0.0, 0.0)
    )
    return found["jaws"].bounds


@pytest.mark.parametrize("size", [50.0, 52.0])
def test_jaws_move_out_with_the_bar(size: float) -> None:
    # Raw face at 1.5, blank 80 long: stop plane at 1.5 - 80 = -78.5, jaws from -98.5 to -53.5.
    # The profile reaches from 5 inside the gripping surface to 30 outside it.
    assert jaws_bounds(job(size)) == pytest.approx((-98.5, size / 2 - 5, -53.5, size / 2 + 30))


def test_jaws_stand_at_every_diameter_of_the_tolerance() -> None:
    # 50 -0.4/0: gripped radius 24.8 to 25.
    _, r_min, _, r_max = jaws_bounds(job(50.0, (-0.4, 0.0)))
    assert (r_min, r_max) == pytest.approx((24.8 - 5, 25.0 + 30))


@pytest.mark.parametrize(
    ("shape", "on_flats", "grip", "least", "most"),
    [
        # 40 across flats: 40 / sqrt(3) = 23.094 and 20 sqrt(2) = 28.284 to the corners.
        ("hexagon", False, None, 20.0, 23.0940),
        ("square", False, None, 20.0, 28.2843),
        ("hexagon", True, None, 20.0, 20.0),
        ("square", True, None, 20.0, 20.0),
        # What is stated besides is taken too.
        ("square", False, 40.0, 20.0, 28.2843),
        ("square", True, 40.0, 20.0, 20.0),
        ("square", True, 39.0, 19.5, 20.0),
        ("square", True, 60.0, 20.0, 30.0),
        ("round", False, 39.0, 19.5, 20.0),
    ],
)
def test_flats_or_corners_is_for_the_job_to_say(
    shape: str, on_flats: bool, grip: float | None, least: float, most: float
) -> None:
    _, r_min, _, r_max = jaws_bounds(job(40.0, shape=shape, grip=grip, on_flats=on_flats))
    assert (r_min, r_max) == pytest.approx((least - 5, most + 30), abs=1e-3)


def test_flats_vary_with_the_bar() -> None:
    _, r_min, _, r_max = jaws_bounds(job(40.0, (-0.4, 0.0), "square", on_flats=True))
    assert (r_min, r_max) == pytest.approx((19.8 - 5, 20.0 + 30))


def test_jaws_that_close_on_a_thin_bar_end_at_the_axis() -> None:
    # Gripped at radius 4, the profile's 5 inside the gripping surface would lie at -1.
    assert jaws_bounds(job(8.0)) == pytest.approx((-98.5, 0.0, -53.5, 34.0))


def test_chuck_and_stop_are_as_wide_as_they_are_and_end_where_they_stand() -> None:
    # The stop plane at -78.5; the chuck's face 20 behind it. 160 and 30 across.
    made = job(50.0)
    placing = place_setups(made)[0]
    assert isinstance(made.jaws, Jaws)
    jaws = Jaws.model_validate({**made.jaws.model_dump(), "stop": {"diameter": 30}})
    found, _ = obstacles_of(jaws, made.setup[0], placing, raw_metal(placing), Interval(0.0, 0.0))
    assert found["chuck"].bounds[1:] == pytest.approx((0.0, -98.5, 80.0))
    assert found["stop"].bounds[1:] == pytest.approx((0.0, -78.5, 15.0))
    # Where the seat may lie 0.2 to either side both reach as far as it may.
    found, _ = obstacles_of(jaws, made.setup[0], placing, raw_metal(placing), Interval(-0.2, 0.2))
    assert found["chuck"].bounds[2] == pytest.approx(-98.3)
    assert found["stop"].bounds[2] == pytest.approx(-78.3)
