"""Insert and holder named in a comment of the program."""

from __future__ import annotations

import pytest

from standclear.draft.designations import designations_in
from standclear.draft.draft import draft_job
from standclear.draft.text_facts import Comment

PROGRAM = """%
O1
G21 G54
(ROUGH CNMG120408 PCLNR2525M12)
T0101
G96 S150 M03
G00 X54. Z0.
G01 X-1.6 F0.2
G00 Z5.
M30
%
"""


def named(*texts: str, inside: bool | None = False) -> tuple[str, str] | None:
    near = [Comment(i, i + 1, text) for i, text in enumerate(texts)]
    return designations_in(near, inside=inside)


@pytest.mark.parametrize(
    "text",
    [
        "CNMG120408 PCLNR2525M12",
        "T1 ROUGH: PCLNR 2525 M12 / CNMG 120408",
        "cnmg120408, pclnr2525m12",
    ],
)
def test_a_pair_is_read_as_shops_write_it(text: str) -> None:
    assert named(text) == ("CNMG120408", "PCLNR2525M12")


def test_what_is_no_pair_is_left_alone() -> None:
    assert named("ROUGHING TOOL 80 DEGREES") is None
    assert named("CNMG120408") is None
    # A rhombic insert of 55 degrees does not go into a holder for one of 80.
    assert named("DNMG150604 PCLNR2525M12") is None
    # Of two tools that stand near, one comment must name both.
    assert named("CNMG120408", "PCLNR2525M12") is None


def test_a_bar_is_for_a_bore_and_a_shank_for_the_outside() -> None:
    bar = "CCMT060204 A12K-SCLCR06"
    assert named(bar, inside=True) == named(bar, inside=None) == ("CCMT060204", "A12K-SCLCR06")
    assert named(bar, inside=False) is None
    assert named("CNMG120408 PCLNR2525M12", inside=True) is None


def test_a_drafted_job_takes_the_tool_of_the_comment_as_a_guess() -> None:
    other = PROGRAM.replace("CNMG120408 PCLNR2525M12", "SNMG120412 PSSNR2525M12")
    draft = draft_job(other.encode(), "a.nc")
    (tool,) = draft.tools
    assert (tool.table["insert"], tool.table["holder"]) == ("SNMG120412", "PSSNR2525M12")
    assert "tools.T1" in draft.guesses
    assert "its insert and holder are in its comment\n" in draft.text
    assert "one of the usual" not in draft.text
    untold = draft_job(PROGRAM.replace("CNMG120408 ", "").encode(), "a.nc")
    assert not untold.tools[0].named and "one of the usual" in untold.text
