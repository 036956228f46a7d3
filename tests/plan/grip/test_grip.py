"""What the jaws hold, against hand sums in both units and the proof's own distances."""

from __future__ import annotations

import shutil
from dataclasses import replace
from math import sqrt
from pathlib import Path

import pytest

import standclear
from standclear.plan.grip.clearance import SEEN_MM
from standclear.plan.grip.grip import Grip, grip_of
from standclear.proof.obstacles import encounters
from standclear.report.lines import plain as text_of
from standclear.report.plan.grip import grip_lines
from standclear.report.plan.plain_json import plain

EXAMPLES = Path(__file__).parents[3] / "examples"
FINE = 2e-3
"""mm: sections are known within 0.001 a side."""
INCH = 25.4


def grips(name: str, **blank: float) -> tuple[Grip, ...]:
    held = standclear.hold(standclear.read_job(EXAMPLES / name, **blank))
    return grip_of(held, held.files.job, standclear.judge(held, held.files.job))


def test_a_pin_in_millimetres() -> None:
    """Front end: jaws 24 deep, saw cut leaning by 0.2 on the stop: 23.8 to 24. Bar 48 -0.16/0:
    47.92 in the middle. Raw face at 2 +/- 0.05, length 83 +/- 0.2. Jaws' front furthest from it:
    1.95 - 83.2 - 0.2 + 24 = -57.45, so 2.05 + 57.45 = 59.5 stands out; nearest to it:
    2.05 - 82.8 + 24 = -56.75. The finishing tool goes to Z-53: 56.75 - 53 = 3.75 to the jaws.
    """
    first, _ = grips("demo-pin")
    assert first.length.lo == pytest.approx(23.8, abs=FINE)
    assert first.length.hi == pytest.approx(24.0, abs=FINE)
    assert first.diameter == pytest.approx(47.92, abs=FINE)
    assert not first.turned
    assert first.stick_out == pytest.approx(59.5, abs=FINE)
    assert first.over_diameter == pytest.approx(59.5 / 47.92, abs=1e-3)
    assert first.soft is None
    assert first.deepest is not None
    assert first.deepest.against == "jaws"
    assert first.deepest.place is not None
    assert first.deepest.place.line == 30
    assert first.deepest.gap == pytest.approx(3.75, abs=FINE)
    assert first.warnings == ()


def test_soft_jaws_for_the_second_end() -> None:
    """The land of the soft jaws reaches from 24 to 40 in front of the stop, 16 long, on the collar
    45. Zero lies 79 in front of the stop, 79 - 40 = 39 in front of the jaws. Raw back face: 83.2
    + 0.2 + 0.05 - 2 - 79 = 2.45 at most, so 39 + 2.45 = 41.45 stand out."""
    grip = grips("demo-pin")[1]
    assert grip.turned
    assert grip.soft is not None
    assert grip.soft.diameter == pytest.approx(45.0, abs=FINE)
    assert grip.soft.depth == pytest.approx(40.0, abs=FINE)
    assert grip.soft.land == pytest.approx(16.0, abs=FINE)
    assert grip.stop_to_zero == pytest.approx(79.0, abs=FINE)
    assert grip.stick_out == pytest.approx(41.45, abs=FINE)
    assert grip.length.lo == pytest.approx(16.0, abs=FINE)


def test_a_flange_in_inches() -> None:
    """Jaws 0.4 deep hold 3.000 -0.005/0 (2.9975) over 0.4; zero 1.3 in front of the stop. The soft
    jaws are 0.6 deep, zero 1.25 in front of the stop, 1.25 - 0.6 = 0.65 in front of the jaws."""
    first, second = grips("inch-flange")
    assert first.diameter / INCH == pytest.approx(2.9975, abs=1e-4)
    assert first.length.hi / INCH == pytest.approx(0.4, abs=1e-4)
    assert first.stop_to_zero is not None
    assert first.stop_to_zero / INCH == pytest.approx(1.3, abs=1e-4)
    assert second.soft is not None
    assert second.soft.depth / INCH == pytest.approx(0.6, abs=1e-4)
    assert second.stop_to_zero is not None
    assert second.stop_to_zero / INCH == pytest.approx(1.25, abs=1e-4)
    text = text_of(grip_lines((first, second), "inch"))
    assert "0.6 in deep from the jaws' front" in text
    assert "0.65 in in front of the jaws" in text


def test_a_chamfer_between_the_jaws_is_not_gripped() -> None:
    """Hub 1.500, chamfer .040 x .040 turned with a nose of 1/64 that nothing compensates: what it
    leaves makes both legs shorter by (2 - sqrt 2) r = .0092. Of .6 the jaws hold .6 - .0308, and
    along the slope .0001 more that lie within 0.002 mm."""
    grip = grips("inch-flange")[1]
    assert grip.stop_to_zero is not None
    leg = 0.04 - (2 - sqrt(2)) / 64
    assert 0.6 - leg - 1e-4 <= grip.length.lo / INCH <= grip.length.hi / INCH
    assert grip.length.hi / INCH <= 0.6 - leg + 2e-4


def test_the_error_of_a_zero_adds_nothing_to_the_grip(tmp_path: Path) -> None:
    """The part seats by the face it has: with zeros that are .004 off the jaws hold what they held.
    Counted in the section that slides by it, the chamfer's foot would be up to .004 further on."""
    folder = tmp_path / "flange"
    shutil.copytree(EXAMPLES / "inch-flange", folder)
    text = (folder / "job.toml").read_text()
    first, second = "error = 0.002 }", 'way = "finished-on-stop" }'
    assert first in text and second in text
    text = text.replace(first, "error = 0.004 }")
    text = text.replace(second, second[:-2] + ", error = 0.004 }")
    (folder / "job.toml").write_text(text)
    leg = 0.04 - (2 - sqrt(2)) / 64
    grip = grips(str(folder))[1]
    assert 0.6 - leg - 1e-4 <= grip.length.lo / INCH <= grip.length.hi / INCH <= 0.6 - leg + 2e-4


def test_without_a_stop_saw_and_stick_out_come_off_the_grip(tmp_path: Path) -> None:
    """61 +/- 0.4 stand out of 83 +/- 0.2 that lean by 0.2: 82.8 - 61.4 - 0.2 = 21.2 are gripped at
    least; what is told is no more, and no more than 0.3 less, for the error of the zero too."""
    folder = tmp_path / "pin"
    shutil.copytree(EXAMPLES / "demo-pin", folder)
    text = (folder / "job.toml").read_text()
    old = 'seat = { on = "stop" }\nzero = { way = "touch"'
    assert old in text
    new = old.replace('{ on = "stop" }', '{ on = "stick-out", stick_out = 61.0, error = 0.4 }')
    (folder / "job.toml").write_text(text.replace(old, new))
    first = grips(str(folder))[0]
    assert 20.9 <= first.length.lo <= 21.2
    assert first.stop_to_zero is None


def test_seated_on_a_step_of_the_jaws_the_bore_ends_there(tmp_path: Path) -> None:
    """Step 10 in front of the stop, land from 24 to 40: the bore is 40 - 10 = 30 deep, part zero
    79 in front of the step. The collar is full 23 from the front face, 33 from the stop: it is held
    on 7 of the land, and on the little that an uncompensated nose leaves of its chamfer."""
    folder = tmp_path / "pin"
    shutil.copytree(EXAMPLES / "demo-pin", folder)
    jaws = folder / "soft-jaws.toml"
    jaws.write_text(jaws.read_text().replace("chuck =", "steps = [10.0]\nchuck =", 1))
    text = (folder / "job.toml").read_text()
    old = 'seat = { on = "stop" }\nzero = { way = "finished'
    assert old in text
    (folder / "job.toml").write_text(text.replace(old, old.replace('"stop"', '"step", step = 0')))
    second = grips(str(folder))[1]
    assert second.soft is not None and second.soft.seats
    assert second.soft.depth == pytest.approx(30.0, abs=FINE)
    assert second.stop_to_zero == pytest.approx(79.0, abs=FINE)
    assert 7.0 <= second.length.hi <= 7.3


def test_bar_with_flats_is_held_across_them() -> None:
    """Hexagon 27 h11 (-0.13/0): 26.935 in the middle across flats."""
    first = grips("hexagon-fitting")[0]
    assert first.diameter == pytest.approx(26.935, abs=FINE)
    assert first.flats
    said = text_of(grip_lines((first,), "mm"))
    assert "of 26.935 mm across flats, raw bar" in said and "on_flats" not in said
    unsaid = text_of(grip_lines((replace(first, on_flats=False),), "mm"))
    assert "Proved for jaws on the corners too: say `on_flats = true`" in unsaid


@pytest.mark.parametrize("name", ["demo-pin", "sleeve", "inch-flange", "hexagon-fitting"])
def test_no_motion_comes_nearer_than_the_one_named(name: str) -> None:
    """The proof measures every motion within a margin; with a wide one the least is the same."""
    held = standclear.hold(standclear.read_job(EXAMPLES / name))
    proof = standclear.judge(held, held.files.job)
    for grip, setup, readings in zip(
        grip_of(held, held.files.job, proof), proof.setups, held.readings, strict=True
    ):
        reading = readings[0]
        met = encounters(
            reading.trace.motions, reading.tools, reading.wear, setup.obstacles, SEEN_MM, 0.005
        )
        least = min((e.distance for e in met), default=None)
        if least is None:
            assert grip.deepest is None
        else:
            assert grip.deepest is not None
            assert grip.deepest.gap == pytest.approx(least, abs=1e-6)


def test_usual_limits_are_told_with_their_source() -> None:
    """Held by 23.8. As sawn 59.5 stands out: a third of it is 19.8, no warning. 45 longer: a third
    of 104.5 is 34.8, half of 47.92 is 23.96, and 23.8 reaches neither. 100 longer: 159.5 is also
    3.33 diameters."""
    assert [w.what for w in grips("demo-pin", length=128.0)[0].warnings] == ["length gripped"]
    warnings = grips("demo-pin", length=183.0)[0].warnings
    assert [w.what for w in warnings] == ["stick-out over diameter", "length gripped"]
    assert {w.source for w in warnings} == {"common practice, no source"}
    assert warnings[1].limit == pytest.approx(23.96, abs=FINE)


def test_json_is_plain() -> None:
    answer = plain(grips("demo-pin"))
    assert answer[1]["soft"]["depth"] == pytest.approx(40.0, abs=FINE)
    assert answer[0]["length"] == pytest.approx([23.8, 24.0], abs=FINE)


def test_a_spigot_that_ends_in_an_arc_is_held_by_its_cylinder() -> None:
    """The front spigot, 20 across, turned without compensation: the nose of 0.8 touches it from
    Z-2 + 0.8 = Z-1.2 of the first end on, up to the groove at Z-12 (15 less the tool's 3). That is
    10.8 long, 0.1 more with the foot of the arc that lies 0.002 lower (2 x sqrt(2 x 2 x 0.002) =
    0.18 at most). Where arc and cylinder meet the section stands 0.002 proud of both."""
    grip = grips("hexagon-fitting")[1]
    assert grip.diameter == pytest.approx(20.0, abs=FINE)
    assert 10.8 - 0.1 <= grip.length.lo <= grip.length.hi <= 10.8 + 0.2
    assert grip.warnings == ()
    assert grip.soft is not None
    assert grip.soft.diameter == pytest.approx(20.0, abs=FINE)
