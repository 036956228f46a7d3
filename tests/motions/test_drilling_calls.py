"""Drilling calls in whole programs: levels, repeats, returns, and what is not followed."""

from __future__ import annotations

import pytest
from lathe_shop import BEGIN, codes, trace, traces, unproven_from, ways

G77 = {"cycle_words": "cycles-g77", "drilling_r": "absolute", "drilling_return": "initial"}
STATED = {"drilling_r": "incremental", "drilling_return": "initial"}


def path(text: str, **control: str | None) -> list[tuple[str, float, float]]:
    """(kind, z, r) of each motion after the way to the point of call, rows stated unless given."""
    found = trace(BEGIN + text, control={**STATED, **control})
    assert not [f for f in found.findings if f.unproven]
    return [(kind, *end) for kind, _, end in ways(found.motions)[2:]]


def test_hole_from_the_initial_level_and_back_to_it() -> None:
    # from Z5: R level 2. Pecks of 8 reach -6, -14 and -18.
    assert path("G83 X0. Z-18. R-3. Q8000 P500 F.1\nG80\nG00 Z50.\n") == [
        ("rapid", 5, 0), ("rapid", 2, 0),
        ("feed", -6, 0), ("rapid", 2, 0), ("rapid", -6, 0),
        ("feed", -14, 0), ("rapid", 2, 0), ("rapid", -14, 0),
        ("feed", -18, 0), ("rapid", 5, 0),
        ("rapid", 50, 0),
    ]  # fmt: skip


def test_only_a_hole_with_p_waits_at_its_bottom() -> None:
    """P in thousandths of a second; it lasts for the repeats, as the levels do."""
    holes = "G83 X0. Z-8. R-3. F.1{}\nX10.\nG80\nG83 X20. Z-8. R-3. F.1\n"
    assert trace(BEGIN + holes.format(""), control=STATED).dwells == ()
    waits = trace(BEGIN + holes.format(" P500"), control=STATED).dwells
    assert [each.seconds for each in waits] == [(0.5, 0.5)] * 2


def test_a_hole_less_than_a_millimetre_deep() -> None:
    # from Z5.: the R level at 4.5, the bottom at 4: on one side, and the drop is 0.5 * 1.
    assert path("G83 X0. Z4. R-0.5 F.1\n")[1:] == [
        ("rapid", 4.5, 0), ("feed", 4, 0), ("rapid", 5, 0),
    ]  # fmt: skip


def test_r_as_a_coordinate() -> None:
    assert path("G83 X0. Z-18. R2. F.1\n", drilling_r="absolute")[1:] == [
        ("rapid", 2, 0), ("feed", -18, 0), ("rapid", 5, 0),
    ]  # fmt: skip


def test_both_meanings_of_r_are_proved_where_it_is_open() -> None:
    found = traces(BEGIN + "G83 X0. Z-18. R-3. F.1\n", control={**STATED, "drilling_r": None})
    levels = {t.reading: ways(t.motions)[3][2] for t in found}
    assert levels == {
        ("drilling_r=incremental",): (2.0, 0.0),
        ("drilling_r=absolute",): (-3.0, 0.0),
    }


def test_both_levels_to_return_to_are_proved_where_it_is_open() -> None:
    text = BEGIN + "G83 X0. Z-18. R-3. F.1\nG80\nG00 X20.\n"
    found = traces(text, control={**STATED, "drilling_return": None})
    assert {t.reading: ways(t.motions)[-1][2] for t in found} == {
        ("drilling_return=initial",): (5.0, 10.0),
        ("drilling_return=r-level",): (2.0, 10.0),
    }


@pytest.mark.parametrize(("word", "z"), [("G98", 5.0), ("G99", 2.0)])
def test_return_words_of_the_families_that_have_them(word: str, z: float) -> None:
    found = trace(BEGIN + f"G90 {word} G83 X0. Z-18. R2. F.1\n", control=G77)
    assert not found.findings
    assert ways(found.motions)[-1][2] == (z, 0.0)


def test_repeats_keep_what_they_leave_out_until_cancelled() -> None:
    # The hole deeper, then beside it from the R level that stays at 2; G80 ends it.
    text = "G83 X0. Z-8. R2. F.1\nZ-12.\nX10.\nG80\nG01 Z20.\n"
    rows = path(text, drilling_r="absolute", drilling_return="r-level")
    assert rows == [
        ("rapid", 5, 0), ("rapid", 2, 0), ("feed", -8, 0), ("rapid", 2, 0),
        ("feed", -12, 0), ("rapid", 2, 0),
        ("rapid", 2, 5), ("feed", -12, 5), ("rapid", 2, 5),
        ("feed", 20, 5),
    ]  # fmt: skip


@pytest.mark.parametrize(("word", "cycle"), [("G84", "G84"), ("G85", "G85")])
def test_tapping_and_boring_go_in_and_come_out(word: str, cycle: str) -> None:
    found = trace(BEGIN + f"{word} X0. Z-15. R-3. F1.25\n", control=STATED)
    assert [(row[0], row[2]) for row in ways(found.motions)[4:]] == [
        ("feed", (-15.0, 0.0)),
        ("feed", (2.0, 0.0)),
        ("rapid", (5.0, 0.0)),
    ]
    assert found.calls[0].cycle == cycle
    assert found.motions.feed[4] == 1.25


def test_the_same_hole_counted_is_one_hole() -> None:
    assert path("G83 X0. Z-8. R-3. K2 F.1\n") == path("G83 X0. Z-8. R-3. F.1\n")


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("G83 X0. R-3. F.1\n", "cannot-follow"),
        ("G83 X0. Z-8. R3. F.1\n", "cannot-follow"),
        ("G83 X0. W-8. R-3. F.1\n", "cannot-follow"),
        ("G83 U-4. Z-8. R-3. K3 F.1\n", "cannot-follow"),
        ("G83 X0. Z-8. R-3. K0 F.1\n", "cannot-follow"),
        ("G83 X0. Z5. F.1\n", "profile-stands-still"),
        ("G84 X0. Z-8. Q3. F.1\n", "cannot-follow"),
        ("G83 X0. Z-8. C90. F.1\n", "cannot-follow"),
        ("G83 X0. Z-8. R-3. F.1\nG83 Z-9. R-3.\n", "cannot-follow"),
    ],
)
def test_what_is_not_followed(text: str, code: str) -> None:
    found = trace(BEGIN + text, control={**STATED, "drilling_return": "r-level"})
    assert code in codes(found)
    assert (unproven_from(found) or 0) >= 2
