"""The number to key in for a zero: sums by hand, both ways, and where none helps.

The demo pin: bar 48 by 83.0 +/- 0.2, part 79, faces lean by 0.2 at most, touched within 0.05. With
the front allowance f the back has 83.2 + 0.05 + 0.2 - 79 - f = 4.45 - f at most, of which the first
cut takes all but 1, and T1 may take 3: f is 0.45 at least. It has 82.8 - 0.05 - 0.2 - 79 - f =
3.55 - f at least, of which 0.01 must come off: f is 3.54 at most.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from plan_shop import proved
from planted.bases import base_of

from standclear.job.read import JobFiles, read_job
from standclear.plan.amend.amend import Amendment, amend
from standclear.proof.prove import judge

PIN = Path(__file__).parents[3] / "examples" / "demo-pin"


def amended(files: JobFiles) -> Amendment:
    held, proof = proved(files)
    return amend(held, files.job, proof)


@pytest.mark.parametrize(("face", "new"), [(0.25, 0.45), (3.9, 3.54)])
def test_the_least_move_that_does(face: float, new: float) -> None:
    found = amended(read_job(PIN, face=face))
    assert found.programs == {} and found.left == () and found.offset is not None
    assert found.offset.new == pytest.approx(new, abs=0.002)
    assert found.offset.change == pytest.approx(face - new, abs=0.002)
    assert (found.offset.setup, found.offset.offset, found.offset.way) == (
        "front end",
        "G54",
        "touch",
    )


@pytest.mark.parametrize("face", [0.5, 2.0, 3.5])
def test_a_number_that_does_is_left_alone(face: float) -> None:
    assert amended(read_job(PIN, face=face)).offset is None


def test_the_zero_of_the_second_end() -> None:
    # Set on a stop, the zero is 79 from it. Keyed in as 79.4 the part would come out 79.4 long and
    # at 78.5 too short; 79 - 0.1 to 79 + 0.1 is wanted.
    files = read_job(PIN)
    for keyed, new in ((79.4, 79.1), (78.5, 78.9)):
        setups = list(files.job.setup)
        zero = setups[1].zero.model_copy(update={"from_stop": keyed})
        setups[1] = setups[1].model_copy(update={"zero": zero})
        job = files.job.model_copy(update={"setup": setups})
        found = amended(replace(files, job=job))
        assert found.left == () and found.offset is not None
        assert found.offset.setup == "back end"
        assert abs(found.offset.new - 79.0) < abs(keyed - 79.0)
        assert min(new, 79.0) - 0.002 <= found.offset.new <= max(new, 79.0) + 0.002


def test_what_is_offered_is_clear_when_it_is_keyed_in() -> None:
    files = read_job(PIN, face=0.25)
    found = amended(files)
    assert found.offset is not None
    again = read_job(PIN, face=found.offset.new)
    held, proof = proved(again)
    assert proof.verdict.value == "clear"
    assert judge(held, found.offset.job).verdict.value == "clear"


def test_no_zero_is_moved_to_cut_air_instead() -> None:
    # A blank shorter than the part: far enough out everything would stay raw, and nothing strike.
    found = amended(read_job(PIN, length=77.0))
    assert found.left != () and found.offset is None


def test_a_first_end_far_off_gets_what_the_other_end_leaves_it() -> None:
    # With so much in front the first end strikes its jaws, and a little less cuts the other end's
    # good metal: no finding is short of the right number. Blank less part less what is keyed in
    # for the back is.
    base = base_of(50832)
    assert base is not None
    first, second = base.job.setup
    assert second.zero.way == "nominal" and second.zero.face_allowance is not None
    left = base.job.blank.length - base.job.part.length - second.zero.face_allowance
    zero = first.zero.model_copy(update={"face_allowance": 5.1})
    job = base.job.model_copy(update={"setup": [first.model_copy(update={"zero": zero}), second]})
    found = amended(replace(base.files, job=job))
    assert found.left == () and found.offset is not None
    assert found.offset.new == pytest.approx(left, abs=0.01)
