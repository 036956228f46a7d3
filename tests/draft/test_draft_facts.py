"""Facts and guesses of programs of our own, against sums by hand (beside each program)."""

from __future__ import annotations

import pytest
from draft_shop import BUSHING, PLAIN_UNITLESS, PLUG_INCH, SHAFT_G77, THREADED_STUD

from standclear.draft.draft import Draft, NothingToDraft, draft_job


def drafted(text: str) -> Draft:
    return draft_job(text.encode("latin-1"), "p.nc")


def control_of(draft: Draft) -> dict[str, str]:
    lines = draft.text.partition("[machine.control]")[2].partition("\n\n")[0].split("\n")
    pairs = (line.partition("#")[0].split("=") for line in lines if "=" in line)
    return {key.strip(): value.strip().strip('"') for key, value in pairs}


@pytest.mark.parametrize(
    ("text", "units", "family", "bar", "blank", "part", "faces"),
    [
        (BUSHING, "mm", "cycles-g90", 60.0, 57.0, 54.0, [1.5, 1.5]),
        (PLUG_INCH, "inch", "cycles-g90", 1.25, 1.87, 0.85, [0.02]),
        (SHAFT_G77, "mm", "cycles-g77", 42.0, 66.0, 65.0, [1.0]),
        (PLAIN_UNITLESS, "mm", "cycles-g90", 30.0, 43.5, 43.0, [0.5]),
        (THREADED_STUD, "mm", "cycles-g90", 22.0, 60.5, 60.0, [0.5]),
    ],
    ids=["bushing", "plug", "shaft", "plain", "stud"],
)
def test_unit_family_and_sizes(
    text: str,
    units: str,
    family: str,
    bar: float,
    blank: float,
    part: float,
    faces: list[float],
) -> None:
    draft = drafted(text)
    sizes = draft.sizes
    assert (draft.units.value, draft.family.value) == (units, family)
    assert (sizes.bar.value, sizes.blank_length.value, sizes.part_length.value) == (
        pytest.approx(bar),
        pytest.approx(blank),
        pytest.approx(part),
    )
    assert [each.value for each in sizes.allowances] == pytest.approx(faces)


def test_the_bar_is_told_by_the_lowest_roughing_or_facing_clearance() -> None:
    # X64. and X68., no comment: 64 - 2.5 is 61.5, and 60 and 63 are as near; the thinner is taken.
    text = BUSHING.replace(", BAR 60 X 57", "").replace("N6 G00 X64.", "N6 G00 X68.")
    text = text.replace("N8 G71", "G00 X64. Z4.\nN8 G71")
    assert drafted(text).sizes.bar.value == 60.0


def test_the_bar_is_no_thinner_than_what_is_turned_and_below_the_clearance() -> None:
    # 31 is turned from X31.6: 29.1 would be too thin, and 32 stands in the way.
    text = PLAIN_UNITLESS.replace("X33.", "X31.6").replace("G00 X28.", "G00 X31.")
    assert drafted(text).sizes.bar.value == 31.0


@pytest.mark.parametrize("said", ["BAR 70 X 57", "BAR 40 X 57"])
def test_a_comment_that_cannot_be_right_is_not_believed(said: str) -> None:
    # 70 is over X64., 40 under the 50 that is turned.
    assert drafted(BUSHING.replace("BAR 60 X 57", said)).sizes.bar.value == 60.0


def kinds(draft: Draft) -> dict[int, str]:
    return {tool.station: tool.name.partition(" (")[0] for tool in draft.tools}


def test_tools_are_told_by_what_they_do() -> None:
    assert kinds(drafted(BUSHING)) == {
        1: "roughing, outside",
        3: "drill",
        5: "boring",
        7: "grooving, outside",
    }
    assert kinds(drafted(PLUG_INCH)) == {2: "roughing, outside", 8: "parting"}
    assert kinds(drafted(THREADED_STUD)) == {1: "roughing, outside", 9: "threading, outside"}
    assert kinds(drafted(PLAIN_UNITLESS)) == {1: "finishing, outside"}


def test_sizes_of_tools_come_from_comments_and_bores() -> None:
    tables = {tool.station: tool.table for tool in drafted(BUSHING).tools}
    assert tables[3]["drill"] == {"diameter": 20.0, "length": 80.0}
    # The bar goes in at X19, which 16 wants 20 for; 12 wants 16.
    assert tables[5]["holder"] == "S12K-SCLCR06"
    # Half of 60 less 22 is 8, and 2 more; a blade is taken 10 long at least.
    assert tables[7]["grooving"] == {"width": 4.0, "reach": 10.0}


def test_the_spindle_says_which_way_a_tool_cuts() -> None:
    rough, part = drafted(PLUG_INCH).tools
    assert rough.table["cuts_with"] == part.table["cuts_with"] == "M04"
    assert rough.table["holder"] == "PCLNL2525M12"
    assert "cuts_with" not in drafted(BUSHING).tools[0].table
    assert drafted(BUSHING.replace("M03", "M04")).tools[2].table["holder"] == "S12K-SCLCL06"


def test_a_part_is_turned_round_at_the_stop_with_another_offset_after_it() -> None:
    (main,) = drafted(BUSHING).mains
    first, second = main.spans
    assert (first.offset, second.offset) == ("G54", "G55")
    assert first.ends is not None and first.ends.stop == 4 and first.ends.line == 39
    assert second.begins == first.ends and second.ends is None


@pytest.mark.parametrize(
    ("instead", "stop"),
    [
        ("N36 M00 (TURN THE PART ROUND)\nN37 T0101\nN38", 4),
        ("N36 M00\nN37 T0101 (SECOND SIDE)\nN38", 4),
        ("N36 M01 (UMSPANNEN)\nN37 T0101\nN38", 4),
        ("N36 M00\nN37 T0101\nN38", 4),
        ("N36 M00 (MEASURE THE BORE)\nN37 T0101\nN38", None),
        ("N36 M01\nN37 T0101\nN38", None),
        ("N36 M00\nN37 T0505\nN38", None),
    ],
)
def test_with_one_offset_a_comment_or_the_first_tool_again_tells(
    instead: str, stop: int | None
) -> None:
    text = BUSHING.replace("N36 M00 (TURN THE PART ROUND)\nN37 T0101\nN38 G55", instead)
    (main,) = drafted(text).mains
    ends = main.spans[0].ends
    assert (ends.stop if ends is not None else None) == stop
    assert all(span.offset == "G54" for span in main.spans)


def test_another_offset_after_a_stop_tells_by_itself() -> None:
    instead = "N36 M01\nN37 T0505\nN38 G55"
    text = BUSHING.replace("N36 M00 (TURN THE PART ROUND)\nN37 T0101\nN38 G55", instead)
    (main,) = drafted(text).mains
    assert [span.offset for span in main.spans] == ["G54", "G55"]
    assert main.spans[0].ends is not None and main.spans[0].ends.stop == 4


def test_an_offset_without_a_stop_marks_the_place_itself() -> None:
    (main,) = drafted(BUSHING.replace("N36 M00 (TURN THE PART ROUND)\n", "")).mains
    assert [span.offset for span in main.spans] == ["G54", "G55"]
    assert main.spans[1].begins is not None and main.spans[1].begins.offset == "G55"


def test_rows_of_the_control_that_the_program_tells_of() -> None:
    assert control_of(drafted(BUSHING)) == {"cycle_words": "cycles-g90", "x_words": "diameter"}
    assert control_of(drafted(SHAFT_G77))["number_without_point"] == "unit"
    large = SHAFT_G77.replace("X38 Z-40", "X38000 Z-40000")
    assert control_of(drafted(large))["number_without_point"] == "increment"
    assert control_of(drafted(THREADED_STUD))["cycle_number_without_point"] == "increment"
    arc = PLAIN_UNITLESS.replace("X33.\nG00 X200.", "G02 X33. Z-20.5 I2.5 K0.\nG00 X200.")
    assert control_of(drafted(arc))["arc_centre"] == "incremental"


def test_what_a_number_without_a_point_counts_in_is_guessed_with_it() -> None:
    assert "machine.increment" in drafted(THREADED_STUD).guesses
    assert "machine.increment" not in drafted(SHAFT_G77).guesses


def test_compensation_asks_which_point_is_programmed() -> None:
    assert "controlled_point" not in control_of(drafted(BUSHING))
    draft = drafted(PLAIN_UNITLESS.replace("G01 Z-18.", "G42 G01 Z-18."))
    assert control_of(draft)["controlled_point"] == "tip"
    assert "machine.control.controlled_point" in draft.guesses
    # The bar and the depth are those of the program without compensation.
    assert draft.sizes == drafted(PLAIN_UNITLESS).sizes


def test_how_many_clampings_there_are_is_a_guess() -> None:
    for text in (BUSHING, PLUG_INCH):
        assert "setup" in drafted(text).guesses
    assert (
        "# guess: 2 clampings; the part is taken to stay at the stops on lines 17, 24, 31\n"
        in drafted(BUSHING).text
    )


def test_signs_that_cannot_be_printed_stay_out_of_the_file() -> None:
    draft = drafted(BUSHING.replace("(BUSHING,", '(BU\x07SH\x85ING \x7f "\\ \xd6,'))
    assert 'title = "BU SH ING \\"\\\\ \xd6, BAR 60 X 57"' in draft.text


def test_two_unit_words_are_noted() -> None:
    (note,) = drafted(BUSHING.replace("N38 G55", "N38 G20 G55")).notes
    assert "inch and for millimetre" in note
    assert drafted(BUSHING).notes == ()


def test_many_programs_in_one_file_are_no_job() -> None:
    body = PLAIN_UNITLESS
    assert len(drafted("".join(f"O{n}\n{body}" for n in range(1, 3))).mains) == 2
    with pytest.raises(NothingToDraft, match="5 programs of the file run by themselves"):
        drafted("".join(f"O{n}\n{body}" for n in range(1, 6)))


def test_a_place_of_tool_changes_away_from_home_is_guessed_safe() -> None:
    draft = drafted(PLUG_INCH)
    assert "safe_x = 6.0" in draft.text and "safe_z = 5.0" in draft.text
    assert {"machine.safe_x", "machine.safe_z"} <= set(draft.guesses)
    near = drafted(PLUG_INCH.replace("X6. Z5.", "X1.6 Z.2"))
    assert "safe_x" not in near.text and "safe_z" not in near.text


@pytest.mark.parametrize(
    ("feeds", "unit"), [("F0.006", "inch"), ("F0.2", "mm")], ids=["fine", "coarse"]
)
def test_without_a_unit_word_feeds_tell(feeds: str, unit: str) -> None:
    text = f"T0101\nG97 S900 M03\nG00 X1.35 Z.1\nG01 Z-.5 {feeds}\nG28 U0 W0\nM30\n"
    draft = drafted(text)
    assert draft.units.value == unit and not draft.units.sure
    assert "units" in draft.guesses
    assert "units" not in drafted("G20\n" + text).guesses


@pytest.mark.parametrize(
    ("word", "family"),
    [
        ("G90 X20. Z-5. F0.2", "cycles-g90"),
        ("G77 X20. Z-5. F0.2", "cycles-g77"),
        ("G20 X20. Z-5. F0.2", "cycles-g20"),
        ("G24 X20. Z-5. F0.2", "cycles-g20"),
        ("G92 S2000", "cycles-g77"),
        ("G50 S2000", "cycles-g90"),
        ("G01 Z-5. F0.2", "cycles-g90"),
    ],
)
def test_the_family_is_told_by_the_words_used(word: str, family: str) -> None:
    text = f"T0101\nG97 S900 M03\nG00 X24. Z2.\nG01 Z-1. F0.2\nG00 X24. Z2.\n{word}\nM30\n"
    assert drafted(text).family.value == family


def test_a_lone_g71_for_millimetres_stands_against_no_word_that_two_families_share() -> None:
    """G90, G95 and G92 S mean the same in the families of G77 and of G20; G71 alone in its head and
    single passes by G20 and G24 are of the one family. For a bar of 32, not of 32 inches."""
    text = (
        "G71 G40 G90 G95\nT0101\nG92 S3000\nG96 S200 M03\nG00 X36. Z4.\nG24 X-1.6 Z0. F.2\n"
        "G00 X36. Z4.\nG20 X28. Z-70. F.2\nG92 S2500\nG92 S2000\nM30\n"
    )
    draft = drafted(text)
    assert (draft.units.value, draft.family.value) == ("mm", "cycles-g20")


def test_what_is_not_followed_is_listed_with_its_word() -> None:
    text = BUSHING.replace("N32 G01 X44.", "N32 G151 X44.")
    (first, *_) = drafted(text).unfollowed
    assert (first.program, first.line, first.word) == ("p.nc", 35, "G151")
    assert drafted(BUSHING).unfollowed == ()
