"""A run beyond its bounds is cut short: what is left is whole, and unproven at its end."""

import pytest
from lathe_shop import BEGIN, codes, trace, unproven_from

from standclear.motions.flow import jumps

ENDLESS = BEGIN + "#1=0\nN5 #1=#1+1\n{}IF [#1 GT 0] GOTO 5\nM30\n"


@pytest.fixture(autouse=True)
def narrow(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(jumps, "MOST_ROWS", 60)
    monkeypatch.setattr(jumps, "KEPT_ROWS", 20)
    monkeypatch.setattr(jumps, "MOST_BLOCKS", 400)


def test_motions_without_end() -> None:
    found = trace(ENDLESS.format("G01 U.1 F.1\nU-.1\n"))
    assert codes(found) == ["endless-loop"]
    assert "more than 60 motions" in found.findings[0].message.lower()
    assert len(found.motions) == 20 and unproven_from(found) == 20


def test_blocks_without_end() -> None:
    found = trace(ENDLESS.format(""))
    assert codes(found) == ["endless-loop"]
    assert "400 blocks" in found.findings[0].message
    assert unproven_from(found) == len(found.motions) == 2


def test_no_call_is_cut_in_two() -> None:
    """Each G90 makes four rows after the two of the beginning: 18 rows hold four calls, 20 none
    more."""
    found = trace(ENDLESS.format("G90 X50. Z-5. F.2\n"))
    assert len(found.motions) == 18
    assert [call.number for call in found.calls] == [0, 1, 2, 3]
    assert set(found.motions.call.tolist()) == {-1, 0, 1, 2, 3}


def test_a_finding_of_a_motion_that_was_cut_off_stands_at_the_end() -> None:
    found = trace(ENDLESS.format("G01 U.1 F.1\nU-.1\nIF [#1 EQ 15] THEN #2=1\nG31 Z#2\nG01 Z5.\n"))
    assert max(f.motion for f in found.findings) <= len(found.motions)
