from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from standclear.findings.finding import Measure, Quantity
from standclear.motions.table import FAR
from standclear.report.sizes import fill, fixed, in_unit, length, number, x_gap


def test_inch_is_25_4_mm_exactly() -> None:
    # International yard and pound agreement of 1959: 1 in = 25.4 mm.
    assert in_unit(25.4, "inch") == 1.0
    assert length(2.54, "inch") == "0.1 in"
    assert fixed(52.0, "inch") == "2.0472"


@pytest.mark.parametrize(
    ("mm", "said"),
    [(52.0, "52.0"), (1.42, "1.42"), (-18.3, "-18.3"), (0.005, "0.005"), (0.0, "0.0")],
)
def test_needless_zeros_go_and_the_point_stays(mm: float, said: str) -> None:
    assert number(mm, "mm") == said


def test_a_size_that_is_not_nothing_never_reads_as_nothing() -> None:
    assert number(0.0004, "mm") == "under 0.001"
    assert number(0.0004, "inch") == "under 0.0001"
    assert number(-1e-15, "mm") == "under 0.001"
    assert fixed(-0.0001, "mm") == "0.000"


def test_a_gap_in_x_is_given_on_diameter_and_to_the_metal() -> None:
    # Common practice, no source: 0.100 in over the diameter is 0.050 in between tool and metal.
    said = x_gap(1.27, "inch")
    assert said == "X 0.1 in on diameter, 0.05 in between tool and metal"


def test_places_in_a_sentence_are_filled_in_the_jobs_unit() -> None:
    measures = (
        Measure("depth", 1.42),
        Measure("x", 57.2, Quantity.POSITION_X),
        Measure("z", -18.3, Quantity.POSITION_Z),
        Measure("turns", 3.0, Quantity.COUNT),
        Measure("lean", 95.0, Quantity.ANGLE),
        Measure("who", "the holder", Quantity.TEXT),
    )
    sentence = "{who} strikes by {depth} at {x} {z}, {turns} times, at {lean}"
    assert fill(sentence, measures, "mm") == (
        "the holder strikes by 1.42 mm at X57.2 Z-18.3, 3 times, at 95°"
    )
    assert "0.0559 in" in fill(sentence, measures, "inch")


def test_position_x_is_programmed_x_and_is_not_doubled() -> None:
    # Quantity.POSITION_X is already on diameter.
    assert fill("{x}", (Measure("x", 50.8, Quantity.POSITION_X),), "inch") == "X2.0"


def test_what_the_sentence_already_says_is_not_said_twice() -> None:
    measures = (Measure("a", 2.5), Measure("x", 57.2, Quantity.POSITION_X))
    assert fill("write X{x}, gap {a} mm", measures, "mm") == "write X57.2, gap 2.5 mm"


def test_the_word_in_is_not_taken_for_the_unit() -> None:
    # "3.1 in one pass" would read as inches.
    depth = (Measure("depth", 3.1),)
    assert fill("takes {depth} in one pass", depth, "mm") == "takes 3.1 mm in one pass"


@given(st.text(alphabet="ab{} ", max_size=30))
def test_nothing_of_a_sentence_is_lost(sentence: str) -> None:
    assert fill(sentence, (), "mm") == sentence


def test_home_is_a_word_and_not_ten_metres() -> None:
    beyond = (Measure("x", 2 * FAR, Quantity.POSITION_X), Measure("z", FAR, Quantity.POSITION_Z))
    assert fill("to X{x} {z}", beyond, "inch") == "to X(home) Z(home)"
