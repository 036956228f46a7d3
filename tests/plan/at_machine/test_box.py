"""A box of measured blanks: ranges by hand in both units, fewest groups, each blank proved."""

from __future__ import annotations

import json
from itertools import combinations
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

import standclear
from standclear.cli import app
from standclear.plan.at_machine.box import BlankMeasured, Box, sort_box
from standclear.plan.at_machine.grouping import fewest_groups, handy
from standclear.proof.held import Held

EXAMPLES = Path(__file__).parents[3] / "examples"
FINE = 2e-3
INCH = 25.4


@pytest.fixture(scope="module")
def pin() -> Held:
    return standclear.hold(standclear.read_job(EXAMPLES / "demo-pin"))


def box(held: Held, *blanks: tuple[float, float]) -> Box:
    named = [BlankMeasured(str(k), d, length, 0.0) for k, (d, length) in enumerate(blanks, 1)]
    return sort_box(held, held.files.job, named)


def names(found: Box) -> list[list[str]]:
    return [[blank.name for blank in group.blanks] for group in found.groups]


def test_ranges_of_a_pin_by_hand(pin: Held) -> None:
    """Front 2 +/- 0.05, leaning by 0.2; facing cuts 3 deep at most, the first to Z1.

    85.2: back at most 85.2 + 0.2 - 1.95 - 79 = 4.45, 3.45 to cut off at once: s at least 0.45.
    Front at most 2.05 + s, 1.05 + s to cut: s at most 1.95.
    81.5: back at least 81.5 - 2.05 - 79 - 0.2 = 0.25 to clean up: s at most 0.25.
    """
    long, short = box(pin, (48.0, 85.2)).groups[0], box(pin, (48.0, 81.5)).groups[0]
    assert long.lowest == pytest.approx(0.45, abs=FINE)
    assert long.highest == pytest.approx(1.95, abs=FINE)
    assert short.highest == pytest.approx(0.25, abs=FINE)
    assert short.lowest == pytest.approx(-1.75, abs=FINE)
    assert long.shift == pytest.approx(1.0)
    assert short.shift == 0.0
    assert long.zeros[0].in_use.keyed == pytest.approx(3.0)


def test_what_the_gauge_may_be_wrong_by_comes_off_both_ends(pin: Held) -> None:
    """As above with the lengths known to 0.1: 85.2 may be 85.3, 0.55 at least; 81.5 may be 81.4,
    0.15 at most. The front was touched: its bounds stay."""
    ends = []
    for length in (85.2, 81.5):
        found = sort_box(pin, pin.files.job, [BlankMeasured("1", 47.5, length, 0.1)])
        ends.append((found.groups[0].lowest, found.groups[0].highest))
    assert ends[0] == pytest.approx((0.55, 1.95), abs=FINE)
    assert ends[1] == pytest.approx((-1.75, 0.15), abs=FINE)


def test_the_fewest_groups_and_as_they_are_where_that_costs_none(pin: Held) -> None:
    """85.2 asks for 0.45 at least, 81.5 allows 0.25: two groups. 83 goes with either, and stays as
    it is."""
    found = box(pin, (48.0, 85.2), (47.9, 83.0), (48.0, 81.5))
    assert sorted(names(found)) == [["1"], ["2", "3"]]
    assert found.scrap == ()


def test_one_shift_for_all_rather_than_two_groups(pin: Held) -> None:
    """85.2 from 0.45, 83 up to 83 - 2.05 - 79 - 0.2 = 1.75: one shift between serves both."""
    found = box(pin, (48.0, 83.0), (48.0, 85.2))
    assert names(found) == [["1", "2"]]
    assert 0.45 - FINE <= found.groups[0].shift <= 1.75 + FINE


def test_scrap_names_the_bounds_that_disagree(pin: Held) -> None:
    """79.4: the back allows 79.4 - 81.25 = -1.85, the front asks for 0.25 - 2 = -1.75."""
    (scrap,) = box(pin, (48.0, 79.4)).scrap
    assert scrap.lower is not None
    assert scrap.upper is not None
    assert (scrap.lower.setup, scrap.upper.setup) == ("front end", "back end")
    assert scrap.need == pytest.approx(-1.75, abs=FINE)
    assert scrap.allowed == pytest.approx(-1.85, abs=FINE)


def test_too_thin_and_too_thick_are_scrap(pin: Held) -> None:
    """Under the collar of 45 raw skin stays; bar 52 stands over X51., whatever the length."""
    thin, thick = box(pin, (44.8, 83.0), (52.0, 83.0)).scrap
    assert {thin.blank.name, thick.blank.name} == {"1", "2"}
    found = {s.blank.name: s for s in (thin, thick)}
    assert found["1"].finding is not None
    assert found["1"].finding.code in ("band-left", "diameter-left-raw")
    assert found["2"].verdict is standclear.Verdict.CONTACT


def test_bar_that_no_shift_helps_is_scrap_and_says_why() -> None:
    # Finished 2.875 in: bar of 2.85 cannot become that. X3.12 passes bar of 3.06 by 0.03 a side.
    held = standclear.hold(standclear.read_job(EXAMPLES / "inch-flange"))
    thick, thin = (BlankMeasured(str(d), d * 25.4, 1.35 * 25.4, 0.0) for d in (3.06, 2.85))
    found = sort_box(held, held.files.job, [thick, thin])
    assert found.groups == ()
    reasons = {s.blank.name: s.finding and s.finding.code for s in found.scrap}
    assert reasons == {"3.06": "approach-too-near", "2.85": "size-wrong"}


def test_a_flange_in_inches() -> None:
    """Allowance .050 +/- .002, first cut .120 deep at most, to Z0. Front: s from -.048 (clean-up)
    to .120 - .052 = .068. 1.440 long: back at most 1.440 - .048 - 1.250 = .142: s from .022. 1.350
    long: back at least 1.350 - .052 - 1.250 = .048: s up to .048. One shift for both."""
    held = standclear.hold(standclear.read_job(EXAMPLES / "inch-flange"))
    found = box(held, (2.998 * INCH, 1.440 * INCH), (2.999 * INCH, 1.350 * INCH))
    (group,) = found.groups
    assert group.lowest / INCH == pytest.approx(0.022, abs=1.1e-4)
    assert group.highest / INCH == pytest.approx(0.048, abs=1.1e-4)
    assert group.shift / INCH == pytest.approx(0.04, abs=1e-9)


ranges = st.lists(
    st.tuples(st.integers(-9, 9), st.integers(0, 6)).map(lambda p: (p[0], p[0] + p[1])),
    max_size=7,
).map(lambda found: dict(enumerate(found)))


@given(ranges)
@settings(max_examples=200)
def test_no_fewer_groups_would_do(found: dict[int, tuple[int, int]]) -> None:
    """Against every set of shifts from -15 to 15, the smallest first."""
    groups = fewest_groups(found)
    assert sorted(k for members, _ in groups for k in members) == sorted(found)
    for members, (low, high) in groups:
        assert low <= high
        assert all(found[k][0] <= s <= found[k][1] for k in members for s in (low, high))
    for fewer in range(len(groups)):
        for shifts in combinations(range(-9, 16), fewer):
            assert not all(any(lo <= s <= hi for s in shifts) for lo, hi in found.values())


@given(st.integers(-3000, 3000), st.integers(0, 400))
def test_a_handy_shift_lies_inside(low: int, width: int) -> None:
    assert low <= handy(low, low + width) <= low + width


def test_handy_shifts() -> None:
    assert handy(-350, 250) == 0
    assert handy(450, 1950) == 1000
    assert handy(452, 457) == 455
    assert handy(-1950, -450) == -1000


def test_the_command_reads_a_table(tmp_path: Path) -> None:
    table = tmp_path / "box.csv"
    table.write_text("name;diameter;length;uncertainty\nA;48;83;0.02\nB;48;85.2;\nC;52;83;\n")
    call = ["box", str(EXAMPLES / "demo-pin"), str(table)]
    done = CliRunner().invoke(app, call)
    assert done.exit_code == 1
    assert done.stdout.startswith("2 of 3 blanks run, in 1 group\n")
    assert "C: 52.0 x 83.0 mm" in done.stdout
    answer = json.loads(CliRunner().invoke(app, [*call, "--json"]).stdout)
    assert [b["name"] for b in answer["groups"][0]["blanks"]] == ["A", "B"]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("name,diameter,length\nA,48,0\n", "line 2, length is 0: give a length greater than 0"),
        ("name,diameter,length\nA,48,83\nA,48,83\n", 'line 3, name is "A", a second time'),
        ("name,diameter,length\nA,48,-83\n", 'line 2, length is "-83"'),
        ("name,diameter,length,uncertainty\nA,48,83,50\n", "uncertainty is no less than"),
    ],
)
def test_bad_tables_are_named(tmp_path: Path, text: str, said: str) -> None:
    table = tmp_path / "box.csv"
    table.write_text(text)
    done = CliRunner().invoke(app, ["box", str(EXAMPLES / "demo-pin"), str(table)])
    assert done.exit_code == 2
    assert said in done.stderr
