"""Rapids to and from home, the time of a tool change that holds them, and waits inside cycles."""

from __future__ import annotations

from typing import Any

import pytest
from tests.estimate.test_estimate_job_time import QUICK, timed
from tests.proof.proof_shop import CONTROL

CUT = "G00 X38. Z3.\nG01 Z-17. F0.2\nG00 X44.\nG28 U0 W0\n"
TWO = f"{CUT}T0202\nG97 S800 M03\nG00 X44. Z-10.\nG01 X36. F0.1\nG00 X44.\nG28 U0 W0\n"
HOME = "home = { x = 200.0, z = 150.0 }"
ROWS = CONTROL + ', drilling_r = "absolute", drilling_return = "initial"'


def rapids(program: str, **job: Any) -> tuple[float, float]:
    tools = timed(program, machine=QUICK, **job).setups[0].tools
    return sum(t.rapid.lo for t in tools), sum(t.rapid.hi for t in tools)


def test_rapids_to_and_from_home_by_hand() -> None:
    """Home at X200 Z150, across at 100 mm/s and along at 200: in to X38 Z3, 81 across (0.81 s)
    beside 147 along (0.735); out by 3 to X44, 0.03; home from X44 Z-17, 78 across (0.78) beside 167
    along (0.835)."""
    time = timed(CUT, machine=QUICK, more=f"shop = {{ {HOME} }}")
    (tool,) = time.setups[0].tools
    assert tool.rapid.hi == pytest.approx(0.81 + 0.03 + 0.835)
    assert time.setups[0].unknown_rapids == 0
    assert not any("home" in sentence for sentence in time.left_out)


def test_home_by_the_offsets_goes_before_what_the_shop_says() -> None:
    """Machine 0 with the offset at Z-300 and the tool 60 short of its station in Z: home lies at
    Z300 - 60 = Z240, X by its geometry of -180 at X180. From there 71 across (0.71 s) beside 237
    along (1.185); home from X44 Z-17, 68 across beside 257 along (1.285)."""
    job: dict[str, Any] = {
        "more_of_tools": "geometry = { x = -180.0, z = 60.0 }",
        "more_of_setup": "offset_z = -300.0",
        "more": f"shop = {{ {HOME} }}",
    }
    assert rapids(CUT, **job) == pytest.approx((1.185 + 0.03 + 1.285,) * 2)


def test_a_second_reference_place_is_not_taken_for_home() -> None:
    time = timed(
        CUT.replace("G28 U0 W0", "G30 U0 W0"),
        machine=QUICK + 'second_home = "beyond"\n',
        more=f"shop = {{ {HOME} }}",
    )
    assert time.setups[0].unknown_rapids > 0
    assert any("G30" in sentence for sentence in time.left_out)


def test_a_change_from_chip_to_chip_holds_the_rapids_and_the_run_up_between() -> None:
    """Two tools, 4 s from chip to chip: nothing but cuts beside it. Each has one straight feed of
    20 at 160 mm/min and of 4 at 80, with the first rapid and the run-up counted in the change."""
    shop = f"spindle_run_up = 5.0, tool_change = 4.0, {HOME}"
    whole = timed(TWO, machine=QUICK, more=f"shop = {{ {shop} }}")
    held = timed(
        TWO, machine=QUICK, more=f'shop = {{ {shop}, tool_change_counts = "chip-to-chip" }}'
    )
    assert held.changing == whole.changing == 8.0
    assert held.machine.hi == pytest.approx(8.0 + 20 / 160 * 60 + 4 / 80 * 60)
    assert held.machine.lo == pytest.approx(held.machine.hi)
    assert whole.machine.lo > held.machine.hi + 3.0


def test_rapids_between_two_cuts_of_one_tool_stay_beside_a_change_from_chip_to_chip() -> None:
    """Back from Z-17 to Z3 at 200 mm/s and 3 down at 100 mm/s: 0.13 s."""
    again = CUT.replace("G28", "Z3.\nX38.\nG01 Z-17.\nG00 X44.\nG28")
    tool = (
        timed(
            again,
            machine=QUICK,
            more=f'shop = {{ {HOME}, tool_change = 4.0, tool_change_counts = "chip-to-chip" }}',
        )
        .setups[0]
        .tools[0]
    )
    assert tool.rapid.hi == pytest.approx(0.03 + 0.1 + 0.03)


def test_ways_home_that_a_change_holds_are_not_missed() -> None:
    held = timed(
        CUT,
        machine=QUICK,
        more='shop = { tool_change = 4.0, tool_change_counts = "chip-to-chip" }',
    )
    assert held.setups[0].unknown_rapids == 0
    assert timed(CUT, machine=QUICK, more="shop = { tool_change = 4.0 }").setups[0].unknown_rapids


PROFILE = "N1 G00 X26.\nG01 Z-20. F0.2\nG04 X1.5\nN2 X42.\n"
ROUGH = "G00 X42. Z3.\nG71 U2. R1.\nG71 P1 Q2 U0.4 W0.1 F0.2\n" + PROFILE


@pytest.mark.parametrize(
    ("program", "expected"),
    [
        # P of a drilling call in thousandths, once at the bottom of each call.
        ("T0303\nG00 X0 Z5.\nG83 Z-9. R2. F0.1 P500\nG80\n", (0.5, 0.5)),
        ("T0303\nG00 X0 Z5.\nG83 Z-9. R2. Q4. F0.1 P500\nZ-12.\nG80\n", (1.0, 1.0)),
        # A wait in the profile: roughing may make it on its pass along it, finishing makes it.
        (ROUGH, (0.0, 1.5)),
        (ROUGH + "G70 P1 Q2\n", (1.5, 3.0)),
    ],
)
def test_waits_inside_cycles(program: str, expected: tuple[float, float]) -> None:
    """P of drilling at the bottom, G04 in a profile; common practice, no source."""
    tools = timed(program + "G28 U0 W0\n", machine=QUICK, control=ROWS).setups[0].tools
    found = sum(t.waits.lo for t in tools), sum(t.waits.hi for t in tools)
    assert found == pytest.approx(expected)
