"""Programs compared: what a difference does is known from how it was made."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from standclear.cli import app
from standclear.job.read import read_job
from standclear.plan.later.compare import Comparison, Kept, compare
from standclear.plan.later.same_motions import Matter
from standclear.proof.held import hold

PIN = Path(__file__).parents[3] / "examples" / "demo-pin"
FILES = read_job(PIN)
HELD = hold(FILES)
TEXT = FILES.programs["pin.nc"]


def compared(*changes: tuple[bytes, bytes]) -> Comparison:
    new = TEXT
    for old, put in changes:
        assert old in new
        new = new.replace(old, put, 1)
    return compare(HELD, FILES.job, "pin.nc", new)


@pytest.mark.parametrize(
    ("old", "new", "matter"),
    [
        (b"N130 Z-22.", b"N130 Z-22.5", Matter.MOTION),
        (b"U0.5 W0.1 F0.25", b"U0.5 W0.1 F0.3", Matter.FEED),
        (b"G96 S180", b"G96 S200", Matter.SPEED),
        (b"G50 S2500", b"G50 S2000", Matter.SPEED),
        (b"Z5. M08", b"Z5.", Matter.COOLANT),
        (b"N130 Z-22.", b"N130 Z-22.0", Kept.WORDS),
        (b"N130 Z-22.", b"N131 Z-22.", Kept.WORDS),
        (b"(FRONT END, ROUGH)", b"(FRONT)", Kept.SPACING),
        (b"G21 G40 G99", b"G21  G40 G99", Kept.SPACING),
        (b"G21 G40 G99\n", b"G21 G40 G99\r\n", Kept.SPACING),
    ],
)
def test_what_a_difference_does(old: bytes, new: bytes, matter: Matter | Kept) -> None:
    found = compared((old, new))
    assert [each.matter for each in found.differences] == [matter]
    assert found.moves_alike is isinstance(matter, Kept)


def test_differences_in_motion_come_first() -> None:
    found = compared(
        (b"(FRONT END, ROUGH)", b"(FRONT)"), (b"G96 S180", b"G96 S200"), (b"Z-22.", b"Z-22.5")
    )
    assert [each.matter for each in found.differences] == [
        Matter.MOTION,
        Matter.SPEED,
        Kept.SPACING,
    ]
    # N130 is the line 19 of the file, counted by hand.
    first = found.differences[0]
    assert (first.old_line, first.new_line, first.old, first.new) == (19, 19, "Z-22.", "Z-22.5")


def test_the_same_program_differs_in_nothing() -> None:
    found = compared()
    assert found.moves_alike and not found.differences


def test_the_command(tmp_path: Path) -> None:
    back = tmp_path / "back.nc"
    back.write_bytes(TEXT.replace(b"Z-22.", b"Z-22.5", 1))
    answer = CliRunner().invoke(app, ["compare", str(PIN), str(back)])
    assert answer.exit_code == 1
    assert "motion, line 19 -> 19: Z-22. -> Z-22.5" in answer.output
    back.write_bytes(TEXT)
    assert CliRunner().invoke(app, ["compare", str(PIN), str(back)]).exit_code == 0


def test_differences_beyond_a_hundred_are_followed_together_and_counted(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Three alone, two together: the feed among the last two names both of them."""
    monkeypatch.setattr("standclear.plan.later.compare.MOST_TRIED", 3)
    found = compared(
        (b"G50 S2500", b"G50 S2000"),
        (b"G96 S180", b"G96 S200"),
        (b"G28 U0. W0.", b"G28 U0.0 W0."),
        (b"F0.12", b"F0.1"),
        (b"N120 X30.", b"N120 X30.0"),
    )
    assert [(d.matter, d.alone) for d in found.differences] == [
        (Matter.FEED, False),
        (Matter.FEED, False),
        (Matter.SPEED, True),
        (Matter.SPEED, True),
        (Kept.WORDS, True),
    ]


def test_words_that_move_something_only_together_are_suspect() -> None:
    """A variable that nobody reads moves nothing, nor does reading one that nobody has set, which
    counts as 0; together the shoulder lies 1 mm further in."""
    set_it = (b"G71 U1.6", b"#1=1.\nG71 U1.6")
    read_it = (b"N130 Z-22.", b"N130 Z[-22.-#1*1.]")
    for alone in (set_it, read_it):
        assert compared(alone).moves_alike
    found = compared(set_it, read_it)
    assert [d.matter for d in found.differences] == [Matter.MOTION, Matter.MOTION]


def test_what_is_not_shown_is_counted() -> None:
    from standclear.plan.later.compare import Difference
    from standclear.report.plan.comparing import difference_lines

    many = [Difference(Matter.FEED, n, n, "F1", "F2", n <= 100) for n in range(1, 131)]
    said = [line.text for line in difference_lines(many, 2)]
    assert len(said) == 102
    assert said[100] == "and 30 more (30 feed); --json lists them all"
    assert said[101].startswith("30 of them lie beyond the first 100")
