"""What lets a finished length vary, share by share, and the cure that a wrong length is given.

The bar is 60 long and its face stands 1 in front at the first end. Touched at both ends with the
spindle turning, the length is what was measured less the second allowance: the span of the blank,
60 +/- saw and up to the lean more, less 1 +/- e1, less 1 +/- e2.
"""

from __future__ import annotations

import pytest
from proof_shop import codes, files_of, measured, only, proof_of

from standclear import JobProof
from standclear.proof.length_finding import length_over

FACE = "G00 X44. Z4.\nG94 X-0.6 Z0. F0.2\nG28 U0 W0\n"
JAWS = "{ profile = [[0, 0], [15, 0], [15, 20], [0, 20]] }"
SAWN = "size = 40.0\nlength = 60.0\nlength_tolerance = [-0.3, 0.3]\nout_of_square = 0.1"
SQUARE = "size = 40.0\nlength = 60.0\nlength_tolerance = [0.0, 0.0]"
NOMINAL = 'way = "nominal", face_allowance = 1.0, error = 0.02'
MEASURED = 'way = "measured", error = 0.02'


def two(zero: str, first: str, *, blank: str = SAWN, part: str = "length = 58.0") -> JobProof:
    body = f'zero = {{ {zero} }}\nseat = {{ on = "stop" }}\njaws = {JAWS}\ngrip_diameter = 40.0'
    return proof_of(FACE, FACE, second=body, zero=first, blank=blank, part=part)


TOUCHED = 'way = "touch", face_allowance = 1.0, error = 0.05'
STOPPED = 'way = "stop", from_stop = 59.0, error = 0.05'


def test_both_faces_touched_the_saw_has_the_most() -> None:
    # Saw 0.6, lean 0.1, first zero 2 * 0.05, second 2 * 0.02: 57.63 (58 - 0.3 - 0.07) to
    # 58 + 0.3 + 0.1 + 0.07.
    finding = only(two(NOMINAL, TOUCHED), "finished-length-varies")
    shares = {
        next(m.value for m in finding.measures if m.name == f"source{k}"): measured(
            finding, f"share{k}"
        )
        for k in range(4)
    }
    assert shares == {
        "saw": pytest.approx(0.6),
        "out of square": pytest.approx(0.1),
        "zero of one": pytest.approx(0.1),
        "zero of two": pytest.approx(0.04),
    }
    assert measured(finding, "shortest") == pytest.approx(57.63)
    assert measured(finding, "longest") == pytest.approx(58.47)
    assert sum(shares.values()) == pytest.approx(58.47 - 57.63)
    assert "saw has no part" not in finding.message
    assert finding.cure.startswith("Measure each part")


def test_a_first_zero_on_the_stop_leaves_the_saw_out() -> None:
    # The raw back stands on the stop, 59 +/- 0.05 behind the first zero, however long the bar.
    finding = only(two(NOMINAL, STOPPED), "finished-length-varies")
    names = [m.value for m in finding.measures if m.name.startswith("source")]
    assert names == ["zero of one", "zero of two"]
    assert (measured(finding, "share0"), measured(finding, "share1")) == pytest.approx((0.1, 0.04))
    assert "the saw has no part in it" in finding.message
    square = only(two(NOMINAL, STOPPED, blank=SQUARE), "finished-length-varies")
    assert "saw" not in square.message


def test_its_own_zero_alone_is_not_cured_by_measuring() -> None:
    finding = only(two(NOMINAL, TOUCHED.replace("0.05", "0.0"), blank=SQUARE),
                   "finished-length-varies")  # fmt: skip
    assert [m.value for m in finding.measures if m.name.startswith("source")] == ["zero of two"]
    assert finding.cure.startswith("Touch the face off more closely")


@pytest.mark.parametrize("zero", [MEASURED, 'way = "finished-on-stop", error = 0.02'])
def test_other_ways_are_told_no_such_thing(zero: str) -> None:
    assert "finished-length-varies" not in codes(two(zero, TOUCHED))


PART = """length = 58.0
sizes = [
  {{ name = "whole", length = 58.0, tolerance = [-{0}, {0}] }},
  {{ name = "bar", diameter = 40.0, at_z = -29.0, tolerance = [-1.0, 1.0] }},
]"""


def test_a_leaning_face_is_the_cause_of_a_measured_length() -> None:
    # Measured at a place up to 0.1 lower than the high spot that is touched: the zero lies up to
    # 0.1 too far in the metal's favour, 58.0 - 0.02 to 58.0 + 0.1 + 0.02. Allowed is 0.03.
    finding = only(two(MEASURED, TOUCHED, part=PART.format(0.03)), "size-wrong")
    assert finding.message.startswith("{name} may come out {off} too large")
    assert measured(finding, "off") == pytest.approx(0.12)
    assert finding.cure.startswith("The lean of the sawn face makes most of it: measure the part")
    assert "high spot" in finding.cure
    assert "size-wrong" not in codes(two(MEASURED, TOUCHED, part=PART.format(0.13)))


def test_the_cause_named_is_what_the_length_follows_most() -> None:
    said = {
        "{source}: hold that closer.": two(
            'way = "finished-on-stop", error = 0.02', TOUCHED, part=PART.format(0.01)
        ),
        "The saw makes most of it: measure each part": two(NOMINAL, TOUCHED, part=PART.format(0.2)),
        "{source}: hold that closer, or seat": two(NOMINAL, STOPPED, part=PART.format(0.05)),
    }
    for cure, proof in said.items():
        assert cure in only(proof, "size-wrong").cure
    source = [m.value for m in only(two(NOMINAL, STOPPED, part=PART.format(0.05)), "size-wrong")
              .measures if m.name == "source"]  # fmt: skip
    assert source == ["error of the zero of set-up one"]


def test_a_length_that_no_tolerance_explains_is_still_the_programs() -> None:
    # Faced at Z0.5 in the second set-up, 58.5 long, with 0.12 over the tolerances.
    long = FACE.replace("Z0.", "Z0.5")
    body = f"zero = {{ {MEASURED} }}\njaws = {JAWS}\ngrip_diameter = 40.0"
    proof = proof_of(FACE, long, second=body, zero=TOUCHED, blank=SAWN, part=PART.format(0.03))
    finding = only(proof, "size-wrong")
    assert finding.message.startswith("{name} comes out {found}")
    assert finding.cure.startswith("Check offset, tool and programmed size")


def test_of_a_part_that_was_parted_off_or_is_not_turned_round_no_length_is_counted() -> None:
    # Parted, the saw cut stays in the chuck; not turned round, there is no second end.
    body = f"zero = {{ {NOMINAL} }}\njaws = {JAWS}\ngrip_diameter = 40.0"
    job = files_of("G00 X60. Z30.", "G00 X60. Z30.", blank=SAWN, second=body).job
    assert length_over(job) is not None
    falls = [job.setup[0].model_copy(update={"falls_at": [9]}), job.setup[1]]
    assert length_over(job.model_copy(update={"setup": falls})) is None
    later = [job.setup[0], job.setup[1].model_copy(update={"falls_at": [9]})]
    assert length_over(job.model_copy(update={"setup": later})) is not None
    assert length_over(job.model_copy(update={"setup": job.setup[:1]})) is None
