"""Stock windows of random jobs against the judge's own replays; `make windows` runs many more."""

from __future__ import annotations

from pathlib import Path

import pytest
from judge.other_blanks import Asked, is_good, other_job, read_ways
from judge.rays import Levels, Outcome, Ray, _not_looked_for, held_against
from judge.windows import Tally, main

from standclear.plan.windows.edges import Edge

PIN = """%
O1
G21 G40
T0101
G97 S1000 M03
G00 X42. Z5.
G00 Z0.
G01 X-1. F0.2
G00 Z5.
G00 X36.
G01 Z-30. F0.2
G01 X42.
G00 X60.
G28 U0 W0
M30
%
"""
BACK = PIN.replace("O1", "O2").replace("Z-30.", "Z-31.")
JOB = """title = "Pin by hand"
units = "mm"
[blank]
size = 40.0
length = 64.0
[part]
length = 60.0
[machine]
rapid_path = "straight"
home = "beyond"
control = { cycle_words = "cycles-g90", x_words = "diameter" }
[[tools]]
station = 1
cuts_with = "M03"
outline = { points = [[0.0, 0.0], [20.0, 3.0], [20.0, 60.0], [1.0, 60.0]], cutting = [0, 3] }
[[setup]]
name = "first"
program = "first.nc"
zero = { way = "touch", face_allowance = 2.0 }
[[setup]]
name = "second"
program = "second.nc"
zero = { way = "finished-on-stop" }
"""
FILES = {"first.nc": PIN, "second.nc": BACK, "job.toml": JOB}
PIXEL = 0.2
NEAR = 1.5 * PIXEL


@pytest.mark.parametrize("seed", range(1, 11))
def test_no_window_of_a_random_job_is_wider_than_the_judge_has_it(seed: int) -> None:
    outcome = held_against(seed, rays=2)
    wrong = [ray for ray in outcome.rays if ray.kind in ("wider", "narrower")]
    assert wrong == []
    assert outcome.note or any(ray.kind.startswith("agree") for ray in outcome.rays)


def test_other_sizes_by_hand() -> None:
    """The rapid to Z0 runs at X42 beside a face at Z2: bar of 42 touches it, and is struck beyond
    by what pixels may be off. The length turned at X36 cleans up down to 36."""
    ways = read_ways(FILES, PIXEL)
    asked = Asked("face", 0, True, (True, True))
    assert is_good(ways, asked, 2.0, 42.0 - NEAR)
    assert not is_good(ways, asked, 2.0, 42.0 + 2 * NEAR)
    assert is_good(ways, asked, 2.0, 36.0 + 2 * NEAR)
    assert not is_good(ways, asked, 2.0, 36.0 - NEAR)


def test_other_faces_by_hand() -> None:
    """Blank 64 less 60 and 2 leaves 2 at the back; the first face is cut at Z0 and the second too,
    so the front allowance may go from 0 to 4."""
    ways = read_ways(FILES, PIXEL)
    assert ways.stated_face == pytest.approx((2.0, 2.0))
    both = Asked("face", 0, False, (True, True))
    assert not is_good(ways, both, -NEAR, 40.0)
    assert is_good(ways, both, NEAR, 40.0)
    assert is_good(ways, both, 4.0 - NEAR, 40.0)
    assert not is_good(ways, both, 4.0 + NEAR, 40.0)
    longer = other_job(ways, Asked("length", 0, False, (True, True)), 66.0, 40.0)
    assert longer.blank.lengths == (66.0,)


def test_a_run_is_taken_up_from_its_log(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A job that the log holds is counted and not run again."""
    log = tmp_path / "windows.jsonl"
    words = ["--n", "1", "--seed", "2", "--rays", "1", "--log", str(log)]
    assert main(words) == 0
    first, told = log.read_bytes(), capsys.readouterr().out
    assert main(words) == 0
    assert log.read_bytes() == first
    assert capsys.readouterr().out == told


def test_a_wider_window_fails_a_run() -> None:
    tally = Tally()
    good = Ray("first", "agree", "strikes", (2.0, 40.0), 0.1)
    tally.add(Outcome(1, (good,), "", (), 0.0, 0.0))
    assert tally.passed and tally.jobs["agree"] == 1
    tally.add(Outcome(2, (good, Ray("job", "wider", "", (2.0, 40.0), 0.5)), "", (), 0.0, 0.0))
    assert not tally.passed and tally.jobs["wider"] == 1
    assert "wider" in tally.table()


def test_a_blank_shorter_than_the_part_is_never_good() -> None:
    # Where no face is asked for, nothing else would say so.
    ways = read_ways(FILES, PIXEL)
    asked = Asked("length", 0, True, (False, False))
    assert is_good(ways, asked, 60.0 + NEAR, 40.0)
    assert not is_good(ways, asked, 60.0 - NEAR, 40.0)


@pytest.mark.parametrize(
    ("side", "against", "setup", "asked", "looked_for"),
    [
        ("does not clean up", "diameter", "first", (True, (True, True)), True),
        ("does not clean up", "diameter", "first", (False, (True, True)), False),
        ("does not clean up", "face", "first", (True, (True, False)), True),
        ("does not clean up", "face", "second", (True, (True, False)), False),
        ("does not clean up", "out of reach", "first", (True, (True, True)), False),
        ("comes loose", "metal", "first", (True, (True, True)), False),
        ("strikes", "metal", "second", (False, (False, False)), True),
    ],
)
def test_an_edge_counts_where_the_judge_looks_for_it(
    side: str, against: str, setup: str, asked: tuple[bool, tuple[bool, bool]], looked_for: bool
) -> None:
    edge = Edge((0.0, 0.0), (1.0, 0.0), side, against, setup, 0)
    question = Asked("length", 0, *asked)
    assert _not_looked_for(Levels(read_ways(FILES, PIXEL)), question, edge) is not looked_for
