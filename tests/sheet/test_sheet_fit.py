"""A set-up with four tools is put on one page: lower section, fewer places, smaller letters."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.sheet.conftest import AT
from tests.sheet.reading_back import page_texts, sizes_of

import standclear
from standclear.sheet import fit
from standclear.sheet.content import Sheet
from standclear.sheet.gather import sheet_of
from standclear.sheet.typeset import to_pdf

SLEEVE = Path(__file__).parents[2] / "examples" / "sleeve"
LEAST_POINTS = 9.0
"""Nine tenths of the ten that letters have in full."""


def sheet() -> Sheet:
    files = standclear.read_job(SLEEVE)
    held = standclear.hold(files)
    return sheet_of(held, standclear.judge(held, files.job), files.job, AT)


def test_each_set_up_has_one_page_with_all_that_counts() -> None:
    made = sheet()
    pdf = to_pdf(made, AT)
    texts = page_texts(pdf)
    assert [n for n, text in enumerate(texts) if " of 2: " in text] == [0, 1]
    assert not any("continue" in text for text in texts)
    first = made.setups[0]
    for stand in first.stands:
        assert stand.at in texts[0]
    for row in first.watch:
        assert row.block in texts[0]
    # The first approach of each of the four tools is never left out.
    assert {row.tool for row in first.watch if "first" in row.tool} == {
        f"T{n}, first" for n in (1, 3, 4, 5)
    }
    assert first.watch_more > 0 and f"and {first.watch_more} further off" in texts[0]
    assert min(min(sizes) for sizes in sizes_of(pdf)) >= LEAST_POINTS - 0.01
    # What fits is left as it is.
    assert (made.setups[1].size, made.setups[1].watch_more) == (1.0, 0)


def test_what_cannot_be_put_on_one_page_is_printed_in_full(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fit, "STEPS", ((0.99, 14, 1.0),))
    made = sheet()
    texts = page_texts(to_pdf(made, AT))
    assert "continues on the next page" in texts[0] and "continued" in texts[1]
    assert (made.setups[0].size, made.setups[0].watch_more) == (1.0, 0)
