"""Drilling, tapping and pockets in whole small jobs whose verdicts are plain by hand."""

from __future__ import annotations

import pytest
from proof_shop import CONTROL, TOOLS, codes, measured, only, proof_of

from standclear import Verdict

ROWS = CONTROL + ', drilling_r = "absolute", drilling_return = "initial"'
SHOP = {
    **TOOLS,
    6: "tap = { diameter = 14.0, hole = 12.0, length = 40.0, holder_diameter = 30.0 }",
}
FACE = "G00 X44. Z3.\nG94 X-0.6 Z0. F0.2\nG28 U0 W0\n"
DRILL = "T0303\nG00 X0 Z5.\nG83 Z-25. R2. Q6. F0.1\nG80\nG28 U0 W0\n"
"""A hole of 12: full to Z-25 + 3.605 = -21.395."""


def tap(z: float, r: float = 2.0) -> str:
    return f"T0606\nG97 S300 M03\nG00 X0 Z5.\nG84 Z{z} R{r} F1.5\nG80\nG28 U0 W0\n"


def verdict(program: str) -> tuple[Verdict, list[str]]:
    proof = proof_of(program, tools=SHOP, control=ROWS)
    return proof.verdict, codes(proof)


def test_pecked_and_tapped_hole_is_clear() -> None:
    assert verdict(FACE + DRILL + tap(-18.0))[0] is Verdict.CLEAR


def test_tap_in_solid_metal_strikes() -> None:
    found, reasons = verdict(FACE + tap(-18.0))
    assert found is Verdict.CONTACT
    assert reasons == ["holder-into-metal"]


def test_tap_that_goes_on_where_the_hole_narrows_strikes() -> None:
    proof = proof_of(FACE + DRILL + tap(-24.0), tools=SHOP, control=ROWS)
    # From where the point begins, Z-21.395, to Z-24.
    assert measured(only(proof, "holder-into-metal"), "depth_z") == pytest.approx(2.605, abs=0.02)


def test_tap_sent_into_its_hole_by_rapid_strikes() -> None:
    assert verdict(FACE + DRILL + tap(-18.0, -1.0))[1][0] == "rapid-into-metal"


def test_metal_between_the_crests_stays() -> None:
    """A boring bar at X13. is 0.5 inside what the tap of 14 passed and beyond the hole of 12."""
    bore = "T0404\nG97 S800 M03\nG00 X13. Z3.\nG00 Z-10.\n"
    assert verdict(FACE + DRILL + tap(-18.0) + bore)[1] == ["rapid-into-metal"]
    assert verdict(FACE + DRILL + tap(-18.0) + bore.replace("X13.", "X11."))[0] is Verdict.CLEAR


def test_metal_between_the_crests_stays_whatever_word_feeds_the_tap() -> None:
    by_line = tap(-18.0).replace("G84 Z-18.0 R2.0 F1.5\nG80\n", "G01 Z-18. F1.5\nZ5.\n")
    assert "G01" in by_line
    bore = "T0404\nG97 S800 M03\nG00 X13. Z3.\nG00 Z-10.\n"
    assert verdict(FACE + DRILL + by_line + bore)[1] == ["rapid-into-metal"]


def test_drill_off_the_centre_line_strikes() -> None:
    off = DRILL.replace("X0 Z5.", "X4. Z5.")
    assert verdict(FACE + off)[0] is Verdict.CONTACT


def test_r_level_inside_the_metal_is_a_rapid_into_it() -> None:
    assert verdict(FACE + DRILL.replace("R2.", "R-4."))[1] == ["rapid-into-metal"]


NECK = """G00 X42. Z3.
G71 U2. R0.5
G71 P10 Q15 U0. W0. F0.2
N10 G00 X36. Z3.
N11 G01 Z-6.
N12 X30. Z-12.
N13 Z-16.
N14 X36. Z-22.
N15 X42.
"""
POCKET_ROWS = (
    CONTROL
    + ', pocket_order = "by-level", pocket_levels_begin = "moved-start", pocket_infeed = "straight"'
)


def test_neck_roughed_by_a_tool_that_reaches_into_it_is_clear() -> None:
    """T5 is a V of 60 degrees: its flanks stand steeper than the walls of 45 degrees."""
    program = "G28 U0 W0\nT0505\nG97 S800 M03\n" + NECK
    assert proof_of(program, control=POCKET_ROWS).verdict is Verdict.CLEAR
    assert proof_of(program, control=CONTROL).verdict is Verdict.CLEAR


def test_neck_roughed_by_a_tool_that_drags_over_the_collar_before_it_strikes() -> None:
    """T1's trailing edge rises only 0.5 in 6: 3 deep behind the collar it lies in the metal."""
    found = proof_of(NECK.replace("X30. Z-12.", "X30. Z-6."), control=POCKET_ROWS)
    assert found.verdict is Verdict.CONTACT
