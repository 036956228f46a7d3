"""Metal that an uncompensated nose leaves, measured from the sweep, against the closed form."""

from __future__ import annotations

import math

import pytest
import shapely
from proof_shop import TOOLS, codes, measured, only, proof_of

from standclear import Verdict

CONTROL_ROWS = (
    'cycle_words = "cycles-g90", number_without_point = "unit", arc_centre = "incremental", '
    'compensation_entry = "perpendicular", compensation_corner = "square", '
    'home_after_cycle = "direct", tool_with_motion = "before", offset_with_motion = "jump"'
)


def nosed(radius: float) -> dict[str, object]:
    """T1 with edges at 5 and 85 degrees: the sharp corner of an insert of 80 degrees lies
    0.10006 r outside the imaginary tip."""
    at, off = -0.10006 * radius, 12.0 * math.tan(math.radians(5.0))
    points = [(at, at), (at + 12, at + off), (24, 3.5), (24, 90), (2, 90), (at + off, at + 12)]
    listed = ", ".join(f"[{z:.5f}, {r:.5f}]" for z, r in points)
    tool = (
        f"outline = {{ points = [{listed}], cutting = [0, 5], "
        f"corners = [{{ point = 0, radius = {radius} }}] }}"
    )
    return {"tools": {**TOOLS, 1: tool}, "control": CONTROL_ROWS}


def taper(degrees: float) -> str:
    """From diameter 30 at Z-10 up to 38."""
    return f"X38. Z-{10 + 4 / math.tan(math.radians(degrees)):.4f}\n"


@pytest.mark.parametrize(
    ("degrees", "share"),
    # r (sin th + cos th - 1) along the normal, digits worked by hand.
    [(45.0, 0.414214), (30.0, 0.366025), (15.0, 0.224745)],
)
@pytest.mark.parametrize("radius", [0.4, 0.8])
def test_a_taper_keeps_what_the_closed_form_says(
    degrees: float, share: float, radius: float
) -> None:
    program = f"G00 X30. Z3.\nG01 Z-10. F0.2\n{taper(degrees)}X44.\nG00 Z3.\n"
    proof = proof_of(program, **nosed(radius))
    finding = only(proof, "nose-leaves-metal")
    # The sweep draws noses within 0.001 mm.
    assert measured(finding, "thick") == pytest.approx(share * radius, abs=0.0015)
    on_diameter = 2 * share * radius / math.cos(math.radians(degrees))
    assert measured(finding, "larger") == pytest.approx(on_diameter, abs=0.005)
    assert finding.place is not None and finding.place.words.startswith("X38.")
    assert proof.verdict is Verdict.CLEAR


def test_under_compensation_nothing_is_left() -> None:
    program = f"G42 G00 X30. Z3.\nG01 Z-10. F0.2\n{taper(30.0)}X44.\nG40 G00 X50. Z3.\n"
    proof = proof_of(program, **nosed(0.8))
    assert "nose-leaves-metal" not in codes(proof)
    assert proof.verdict is Verdict.CLEAR
    # On the taper the surface is the programmed one.
    on_taper = shapely.Point(-10 - 2 / math.tan(math.radians(30.0)), 17.0)
    surface = proof.setups[0].metal_after.boundary
    assert surface.distance(on_taper) == pytest.approx(0.0, abs=0.0015)


def test_faces_and_diameters_leave_nothing() -> None:
    program = "G00 X30. Z3.\nG01 Z-10. F0.2\nX44.\nG00 Z3.\n"
    assert "nose-leaves-metal" not in codes(proof_of(program, **nosed(0.8)))


def test_a_later_compensated_pass_takes_it_off() -> None:
    rough = f"G00 X30. Z3.\nG01 Z-10. F0.2\n{taper(30.0)}X44.\nG00 X50. Z3.\n"
    finish = rough.replace("G00 X30.", "G42 G00 X30.").replace("G00 X50.", "G40 G00 X50.")
    assert "nose-leaves-metal" in codes(proof_of(rough, **nosed(0.8)))
    assert "nose-leaves-metal" not in codes(proof_of(rough + finish, **nosed(0.8)))


def test_a_slope_in_the_air_leaves_nothing() -> None:
    program = "G00 X60. Z3.\nG01 X70. Z-2. F0.2\nX80.\nG00 Z3.\n"
    assert "nose-leaves-metal" not in codes(proof_of(program, **nosed(0.8)))


def test_a_sharp_tool_leaves_nothing() -> None:
    program = f"G00 X30. Z3.\nG01 Z-10. F0.2\n{taper(30.0)}X44.\nG00 Z3.\n"
    assert "nose-leaves-metal" not in codes(proof_of(program, control=CONTROL_ROWS))


def test_only_the_last_pass_of_a_finished_profile_is_told_of() -> None:
    program = (
        "G00 X44. Z3.\nG71 U2. R0.5\nG71 P10 Q20 U0.4 W0.1 F0.2\nN10 G00 X30.\nG01 Z-10. F0.1\n"
        f"{taper(30.0)}N20 X44.\nG70 P10 Q20\nG00 X50. Z5.\n"
    )
    finding = only(proof_of(program, **nosed(0.8)), "nose-leaves-metal")
    assert measured(finding, "thick") == pytest.approx(0.8 * 0.366025, abs=0.0015)
    assert finding.place is not None and finding.place.words.startswith("X38.")
