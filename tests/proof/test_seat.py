"""Whether a part can sit between its jaws, and on what they close.

The first end of a bar of 40 is turned down over 20 from the front; turned round, that end lies in
jaws 15 deep, its face on the stop. What the tool leaves in the corner of 20 stands outside them.
"""

from __future__ import annotations

import pytest
from proof_shop import codes, files_of, measured, only, proof_of

from standclear import JobProof, Verdict, prove

AWAY = "G00 X60. Z30.\nG28 U0 W0\n"


def two(
    first: str,
    grip: str,
    second: str = AWAY,
    reach: float = 15.0,
    zero: str = 'way = "finished-on-stop"',
) -> JobProof:
    jaws = f"{{ profile = [[0, 0], [{reach}, 0], [{reach}, 20], [0, 20]] }}"
    rows = f'zero = {{ {zero} }}\nseat = {{ on = "stop" }}\n'
    return proof_of(first, second, second=f"{rows}jaws = {jaws}\n{grip}")


def turned(diameter: float, face: float = 0.0) -> str:
    return (
        f"G00 X44. Z4.\nG94 X-0.6 Z{face} F0.2\n"
        f"G00 X{diameter} Z3.\nG01 Z-20. F0.2\nX44.\nG28 U0 W0\n"
    )


@pytest.mark.parametrize("second", [AWAY, "G00 X44. Z4.\nG94 X-0.6 Z0. F0.2\nG28 U0 W0\n"])
def test_a_shoulder_between_the_jaws_leaves_the_set_up_unproven(second: str) -> None:
    # Turned to 36 over 20: jaws 24 deep that are to close on 36 meet the bar of 40 from 20 on,
    # 2 deep. The part then stands out further than it was judged, and no motion there is proved.
    proof = two(turned(36.0), "grip_diameter = 36.0", second, reach=24.0)
    assert codes(proof).count("cannot-seat") == 1
    assert [s.verdict for s in proof.setups] == [Verdict.CLEAR, Verdict.UNPROVEN]


def test_a_shoulder_in_front_of_the_jaws_is_none_between_them() -> None:
    proof = two(turned(36.0), "grip_diameter = 36.0", reach=19.0)
    assert "cannot-seat" not in codes(proof)
    assert proof.setups[1].verdict is Verdict.CLEAR


@pytest.mark.parametrize(("face", "sits"), [(0.5, True), (-0.5, False)])
def test_the_jaws_stand_behind_the_face_that_was_really_cut(face: float, *, sits: bool) -> None:
    # From the face the shoulder lies 20 + face; the jaws reach 20.3 from it. Touched at the raw
    # back, the face lies where it was cut, not where the job would have it.
    touched = 'way = "nominal", face_allowance = 1.0'
    proof = two(turned(36.0, face), "grip_diameter = 36.0", reach=20.3, zero=touched)
    assert ("cannot-seat" not in codes(proof)) is sits


def test_a_short_hold_is_told_with_its_size() -> None:
    # Jaws 24 deep close on 40, from 20 on; of the ends a millimetre each is not looked at.
    found = only(two(turned(36.0), "", reach=24.0), "grip-unlike-metal")
    sizes = [measured(found, name) for name in ("diameter", "held", "between")]
    assert sizes == pytest.approx([40.0, 3.0, 22.0])


@pytest.mark.parametrize(("left", "told"), [(0.2, False), (0.7, True)])
def test_jaws_close_on_more_than_was_stated_where_it_fills_them(left: float, told: bool) -> None:
    # Meant to be 36, turned to 36 + left: the jaws open by that, and the part sits.
    proof = two(turned(36.0 + left), "grip_diameter = 36.0")
    assert "cannot-seat" not in codes(proof)
    assert ("grip-unlike-metal" in codes(proof)) is told
    assert proof.setups[1].verdict is Verdict.CLEAR


@pytest.mark.parametrize(("step", "sits"), [(36.4, True), (36.6, False)])
def test_jaws_give_way_to_a_little_more_at_their_end(step: float, *, sits: bool) -> None:
    # 36 over 14.5, then a step as far as the shoulder; in jaws 15 deep half a millimetre of it is
    # no part of what they hold. Half a millimetre on diameter goes untold, and opens them.
    first = (
        "G00 X44. Z4.\nG94 X-0.6 Z0. F0.2\nG00 X36. Z3.\nG01 Z-14.5 F0.2\n"
        f"X{step}\nZ-20.\nX44.\nG28 U0 W0\n"
    )
    assert ("cannot-seat" not in codes(two(first, ""))) is sits


def test_jaws_that_close_on_more_strike_further_out() -> None:
    # Jaws 20 high on 36 reach to diameter 76, on 38 to 78. A rapid at X77. strikes the latter.
    by = "G00 X77. Z3.\nZ-50.\nG00 X90. Z30.\nG28 U0 W0\n"
    assert two(turned(36.0), "grip_diameter = 36.0", by).setups[1].verdict is Verdict.CLEAR
    assert two(turned(38.0), "grip_diameter = 36.0", by).setups[1].verdict is Verdict.CONTACT


def test_no_metal_between_the_jaws_leaves_the_set_up_unproven() -> None:
    # Of 60 the bar stands out 59.5: half a millimetre, not more than a chamfer, is in the jaws.
    far = 'seat = { on = "stick-out", stick_out = 59.5 }'
    proof = prove(files_of(AWAY, more_of_setup=far))
    assert "cannot-seat" in codes(proof)
    assert proof.verdict is Verdict.UNPROVEN


@pytest.mark.parametrize("on_flats", ["on_flats = true", ""])
@pytest.mark.parametrize("stated", ["", "grip_diameter = 30.0", "grip_diameter = 34.641"])
def test_a_hexagon_sits_in_jaws_on_flats_or_corners(stated: str, on_flats: str) -> None:
    # 30 across flats, 34.641 over the corners (30 / cos 30 degrees).
    flats = f"{on_flats}\n{stated}"
    hexagon = 'shape = "hexagon"\nsize = 30.0\nlength = 60.0'
    proof = prove(files_of(AWAY, blank=hexagon, more_of_setup=flats))
    assert not {"cannot-seat", "grip-unlike-metal"} & set(codes(proof))
    assert proof.verdict is Verdict.CLEAR


@pytest.mark.parametrize("stated", [29.0, 35.0])
def test_a_hexagon_is_no_bar_of_another_size(stated: float) -> None:
    hexagon = 'shape = "hexagon"\nsize = 30.0\nlength = 60.0'
    rows = f"on_flats = true\ngrip_diameter = {stated}"
    assert "grip-unlike-metal" in codes(prove(files_of(AWAY, blank=hexagon, more_of_setup=rows)))


def test_jaws_that_are_not_given_are_told_as_not_examined() -> None:
    none = "jaws, chuck and stop: the job gives none"
    assert none in prove(files_of(AWAY, jaws=None)).not_examined
    assert none not in prove(files_of(AWAY)).not_examined
