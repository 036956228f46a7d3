"""A set-up that starts at a label: reached by running the program, or by a search for it."""

from __future__ import annotations

import pytest
from lathe_shop import codes, traces, ways

TEXT = (
    "G21 G55\nT0101\nG97 S1000 M03\nG00 X60. Z5.\nG28 U0. W0.\n{end}"
    "N200 G21\nT0202\nG97 S1000 M03\nG00 X50. Z2.\nM30\n"
)
WHOLE = [{"start": {"label": 200}, "turned": False}]


def test_both_ways_are_proved_where_the_job_leaves_it_open() -> None:
    both = traces(TEXT.format(end=""), setups=WHOLE)
    assert [t.reading for t in both] == [("reached=running",), ("reached=search",)]
    # Run to, G55 is still selected; after a search G54 is.
    running, search = both
    assert [f.code for f in search.findings] == []
    assert ways(running.motions) != ways(search.motions) or codes(running) != codes(search)


@pytest.mark.parametrize("way", ["running", "search"])
def test_one_way_where_the_job_says_which(way: str) -> None:
    setups = [{"start": {"label": 200, "reached": way}, "turned": False}]
    assert len(traces(TEXT.format(end=""), setups=setups)) == 1


def test_what_no_running_comes_to_is_searched() -> None:
    (only,) = traces(TEXT.format(end="M30\n"), setups=WHOLE)
    assert codes(only) == []
    assert any("searched" in sentence for sentence in only.trusted)


def test_a_search_for_a_label_that_stands_twice_is_unproven() -> None:
    setups = [{"start": {"label": 200, "reached": "search"}, "turned": False}]
    (only,) = traces(TEXT.format(end="N200 M01\n"), setups=setups)
    assert "label-doubled" in codes(only)


def test_a_label_of_a_subprogram_is_no_mark() -> None:
    text = "G21 G54\nT0101\nM98 P77\nN9 G00 X50. Z2.\nM30\nO77\nN200 G04 X1.\nM99\n"
    (only,) = traces(text, setups=[{"start": {"label": 200}, "turned": False}])
    assert codes(only) == ["mark-missing"]


def test_alike_readings_are_one() -> None:
    text = "G21 G54\nG28 U0. W0.\nN200 G21\nT0202\nG97 S1000 M03\nG00 X50. Z2.\nM30\n"
    (only,) = traces(text, setups=WHOLE)
    assert only.reading == ()
