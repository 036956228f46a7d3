"""What lies beyond edits: numbers by hand, each judged, and said to be proved only then."""

from __future__ import annotations

from dataclasses import replace
from math import ceil
from pathlib import Path

import pytest
from plan_shop import files_of, proved
from planted.bases import base_of

from standclear.job.read import JobFiles, read_job
from standclear.plan.amend.amend import Amendment, amend
from standclear.plan.amend.beyond import Beyond

PIN = Path(__file__).parents[3] / "examples" / "demo-pin"


def amended(files: JobFiles) -> Amendment:
    held, proof = proved(files)
    return amend(held, files.job, proof)


def value(each: Beyond, name: str) -> float:
    (found,) = [m.value for m in each.measures if m.name == name]
    assert isinstance(found, float)
    return found


def of(found: Amendment, bound: str) -> Beyond:
    (each,) = [each for each in found.beyond if each.bound == bound]
    return each


def test_a_bar_too_thin() -> None:
    # Collar 45. The bar's skin ends at size - 0.16 - 0.2 (h11, run-out), of which 0.02 on diameter
    # must come off: 45 + 0.38 = 45.38, to the tenth 45.4.
    each = of(amended(read_job(PIN, bar=44.5)), "bar")
    assert each.proved
    assert value(each, "bar") == pytest.approx(45.4)
    assert {f.code for f in each.findings} == {"diameter-left-raw"}
    # As said: that bar is clean.
    _, proof = proved(read_job(PIN, bar=45.4))
    assert "diameter-left-raw" not in {f.code for f in proof.findings}


def test_a_blank_too_short() -> None:
    # With f in front the back has L - 0.2 - 0.05 - 0.2 - 79 - f at least, of which 0.01 must come
    # off: L is 79.46 + f at least, in tenths more than 79.5.
    found = amended(read_job(PIN, length=79.5))
    face = 2.0 if found.offset is None else found.offset.new
    each = of(found, "length")
    assert each.proved
    assert value(each, "width") == pytest.approx(ceil((79.46 + face - 79.5) * 10 - 0.01) / 10)
    _, proof = proved(read_job(PIN, length=79.5 + value(each, "width"), face=face))
    assert "face-left-raw" not in {f.code for f in proof.findings}


def test_a_length_that_no_blank_so_short_can_have() -> None:
    # A part 62.7 long, 1.05 before its front face and 2.13 keyed in behind: 65.88. The blank is
    # 2 shorter than the part, so 5.18 too short; nothing stays raw, the part comes out too short.
    base = base_of(50739)
    assert base is not None
    blank = base.job.blank.model_copy(update={"length": base.job.part.length - 2.0})
    found = amended(replace(base.files, job=base.job.model_copy(update={"blank": blank})))
    each = of(found, "length")
    assert each.proved and value(each, "width") == pytest.approx(5.2)
    assert each.message == "the part comes out too short: a blank {width} longer."


def test_jaws_that_reach_too_far(tmp_path: Path) -> None:
    # The blank ends at Z1 - 60 = Z-59 and the jaws reach 15: to Z-44. The feed to Z-46.5 is 2.5
    # inside; 1 is wanted beside: 3.5. The face gives only 1 to move the zero by.
    body = (
        "G00 X44. Z0.\nG01 X-1. F0.2\nG00 Z4.\nG00 X36.\nG01 Z-46.5\nG01 X44.\nG00 X60.\nG00 Z9.\n"
    )
    files = files_of(tmp_path, body)
    allowed = "".join(
        f'[[allow]]\ncode = "{code}"\nreason = "one end only"\n'
        for code in ("face-left-raw", "diameter-left-raw", "size-wrong")
    )
    words = files.path.read_text(encoding="utf-8")
    files.path.write_text(words + allowed, encoding="utf-8")
    found = amended(read_job(tmp_path))
    each = of(found, "jaws")
    assert found.offset is None and each.proved
    assert value(each, "need") == pytest.approx(3.5)
    # As said: jaws whose front stands at 15 - 3.5 from the stop leave 1.
    short = words.replace("[15, 0], [15, 12]", "[11.5, 0], [11.5, 12]")
    assert short != words
    files.path.write_text(short + allowed, encoding="utf-8")
    _, proof = proved(read_job(tmp_path))
    assert not {f.code for f in proof.findings} & {"jaws-struck", "jaws-near"}


def test_an_answer_that_brings_something_else_is_not_proved(tmp_path: Path) -> None:
    # The same without allowances: once nothing strikes, raw faces come to light.
    body = (
        "G00 X44. Z0.\nG01 X-1. F0.2\nG00 Z4.\nG00 X36.\nG01 Z-46.5\nG01 X44.\nG00 X60.\nG00 Z9.\n"
    )
    each = of(amended(files_of(tmp_path, body)), "jaws")
    assert not each.proved and "turn the other end first" in each.message


def test_what_is_not_proved_is_not_said_to_be(tmp_path: Path) -> None:
    # The groove is 8 deep and the blade reaches 6: another tool may do, and none was tried.
    tool = "grooving = { width = 3.0, reach = 6.0 }\n"
    found = amended(files_of(tmp_path, "G00 X50. Z-10.\nG01 X24. F0.1\nG00 X50.\n", tool=tool))
    each = of(found, "tool")
    assert not each.proved
    assert {f.code for f in each.findings} == {"holder-into-metal"}


def test_every_finding_with_a_bound_stands_under_it() -> None:
    found = amended(read_job(PIN.parent / "second-end-band"))
    each = of(found, "band")
    assert each.findings == found.left and not each.proved
    # The front end turns to 30, the back end to 33.05 seen from there.
    assert value(each, "width") == pytest.approx(3.05, abs=0.001)
