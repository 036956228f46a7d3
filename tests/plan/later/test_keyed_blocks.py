"""Words to key in before a program is taken up, in both units: sums by hand."""

from __future__ import annotations

from standclear.job.models import Machine
from standclear.motions.table import FeedMode, SpeedMode, Spindle, ToolChange
from standclear.plan.later.keyed import InForce, keyed_blocks


def blocks(*, inch: bool, speed: float, feed: float) -> tuple[str, ...]:
    change = ToolChange(
        row=0,
        block=0,
        tool=0,
        stops=0,
        in_main=True,
        offset="G54",
        inch=inch,
        incremental=False,
        compensated=False,
        motion="rapid",
        feed=feed,
        feed_mode=FeedMode.PER_REV,
        speed=speed,
        speed_mode=SpeedMode.SURFACE,
        clamp=2500.0,
        spindle=Spindle.FORWARD,
        coolant=True,
        variables=(),
    )
    wanted = InForce(change, "G54", True, True, True, True, False)
    return keyed_blocks(wanted, Machine())


def test_in_inches_speed_is_feet_a_minute_and_feed_inches_a_turn() -> None:
    """550 ft/min x 0.3048 = 167.64 m/min; .008 in x 25.4 = 0.2032 mm."""
    assert blocks(inch=True, speed=167.64, feed=0.2032) == (
        "G20 G40 G99 G54 G00",
        "G50 S2500",
        "G96 S550 M03",
        "F0.008",
        "M08",
    )


def test_in_millimetres_both_stand_as_they_are() -> None:
    assert blocks(inch=False, speed=180.0, feed=0.25) == (
        "G21 G40 G99 G54 G00",
        "G50 S2500",
        "G96 S180 M03",
        "F0.25",
        "M08",
    )
