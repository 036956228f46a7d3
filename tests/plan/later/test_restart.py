"""Restarts: where, what to key in first, and both bounds of the metal; sums by hand beside them."""

from __future__ import annotations

from functools import cache
from math import sqrt
from pathlib import Path

import pytest
from typer.testing import CliRunner

from standclear.cli import app
from standclear.errors import JobError
from standclear.findings.finding import Finding, Severity, Verdict
from standclear.job.read import JobFiles, read_job
from standclear.plan.later.other_tools import tool_from_words
from standclear.plan.later.replacement import Replaced, Stretch
from standclear.plan.later.restart import Bound, Restart, restarts
from standclear.proof.held import Held, HeldReading, hold
from standclear.proof.prove import judge

EXAMPLES = Path(__file__).parents[3] / "examples"


@cache
def held_of(name: str, bar: float | None = None) -> tuple[JobFiles, Held]:
    files = read_job(EXAMPLES / name, bar=bar)
    return files, hold(files)


def found_in(name: str, *tools: str, bar: float | None = None) -> tuple[Restart, ...]:
    files, held = held_of(name, bar)
    others = [tool_from_words(words, files.job) for words in tools]
    return restarts(held, files.job, judge(held, files.job), others)


def test_every_tool_call_of_the_pin_with_what_its_text_does_not_say_again() -> None:
    # Lines counted in the program by hand. The finishing sections give clamp, speed and direction
    # anew and no M08: the roughing before them has switched the coolant on.
    told = [(r.line, r.from_line, r.key_in, r.is_good) for r in found_in("demo-pin")]
    assert told == [
        (6, 6, ("G21 G40 G99 G54 G00",), True),
        (26, 26, ("G21 G40 G99 G54 G00", "M08"), True),
        (36, 36, ("G21 G40 G99 G55 G00",), True),
        (55, 55, ("G21 G40 G99 G55 G00", "M08"), True),
    ]


def test_variables_that_the_text_before_has_set_are_keyed_in() -> None:
    thread = next(r for r in found_in("threaded-stud") if r.tool.startswith("T4"))
    # 24 - 2 * 0.6134 * 2 = 21.5464; the drill-like feed words stand in the section itself.
    assert thread.key_in[-3:] == ("#101=24.", "#102=2.", "#103=21.5464")
    assert "G50 S2800" in thread.key_in


def test_a_part_that_has_fallen_is_not_taken_up() -> None:
    parting = next(r for r in found_in("parted-collar") if r.tool.startswith("T9"))
    assert parting.is_good


def test_a_larger_nose_leaves_what_it_cannot_reach() -> None:
    # Without compensation a nose of radius R leaves R (sqrt 2 - 1) over a chamfer of 45 degrees
    # and in a square corner: (0.8 - 0.4) * 0.41421 = 0.16569 more than the nose of the job.
    finish = found_in("demo-pin", "2=DNMG150408/PDJNR2525M15")
    assert [r.line for r in finish] == [26, 55]
    replaced = finish[0].replaced
    assert replaced is not None
    assert (replaced.old_nose, replaced.new_nose) == pytest.approx((0.4, 0.8))
    worst = max(each.thickness for each in replaced.leaves)
    assert worst == pytest.approx(0.4 * (sqrt(2) - 1), abs=0.002)
    assert not replaced.cuts_more


def test_a_smaller_nose_cuts_what_the_job_leaves() -> None:
    finish = found_in("demo-pin", "2=DNMG150402/PDJNR2525M15")
    replaced = finish[0].replaced
    assert replaced is not None and replaced.cuts_more
    # (0.4 - 0.2) * 0.41421 = 0.08284.
    worst = max(each.thickness for each in replaced.cuts_more)
    assert worst == pytest.approx(0.2 * (sqrt(2) - 1), abs=0.002)
    assert not finish[0].is_good


def test_a_job_that_strikes_is_no_better_taken_up() -> None:
    # Bar 52 stands at 26.1 on radius; the tool comes down at X51, 25.5.
    first = found_in("demo-pin", bar=52.0)[0]
    assert first.verdict is Verdict.CONTACT


def test_a_modal_motion_is_followed_or_refused(tmp_path: Path) -> None:
    # With the motion word of the line after the call taken out the section relies on the G01 or
    # cycle word in force; the text before leaves G00 from the profile's last word doubtful.
    for file in (EXAMPLES / "demo-pin").iterdir():
        (tmp_path / file.name).write_bytes(file.read_bytes())
    text = (tmp_path / "pin.nc").read_text()
    # A shift set once at the head is gone after a search that begins behind it.
    (tmp_path / "pin.nc").write_text(text.replace("G54\n", "G54\nG52 Z0.1\n", 1))
    files = read_job(tmp_path)
    held = hold(files)
    found = restarts(held, files.job, judge(held, files.job))
    assert (found[1].line, found[1].from_line) in ((27, 6), (27, 0))


@pytest.mark.parametrize("words", ["2", "x=CNMG120408", "2=", "2=DNMG150408", "7=CNMG120408/A"])
def test_odd_words_for_a_tool_are_refused(words: str) -> None:
    files, _ = held_of("demo-pin")
    with pytest.raises(JobError, match="--tool"):
        tool_from_words(words, files.job)


def test_the_command() -> None:
    answer = CliRunner().invoke(app, ["restart", str(EXAMPLES / "demo-pin")])
    assert answer.exit_code == 0
    assert "key in first: G21 G40 G99 G54 G00; M08" in answer.output
    as_json = CliRunner().invoke(app, ["restart", str(EXAMPLES / "demo-pin"), "--json"])
    assert '"from_line": 26' in as_json.output


def test_both_bounds_are_proved_from_what_the_tool_had_cut(monkeypatch: pytest.MonkeyPatch) -> None:
    """For each call of the front end, what had run before the edge broke: all up to the call, as
    if the tool had cut nothing, and all up to the next one, or to the end; then the run from the
    call on."""
    from standclear.plan.later import restart as module

    files, held = held_of("demo-pin")
    own = held.readings[0][0]
    asked: list[tuple[int, int | None]] = []
    plain = module.held_part

    def noted(reading: HeldReading, first: int, end: int | None = None) -> HeldReading:
        if reading is own:
            asked.append((first, end))
        return plain(reading, first, end)

    monkeypatch.setattr(module, "held_part", noted)
    module.restarts(held, files.job, judge(held, files.job))
    rough, finish = (change.row for change in own.trace.changes)
    assert rough < finish
    assert asked == [
        *((0, rough), (rough, None)),
        *((0, finish), (rough, None)),
        *((0, finish), (finish, None)),
        *((0, None), (finish, None)),
    ]


def taken_up(
    nothing: Verdict | None, everything: Verdict | None, *, mend: bool = False, more: bool = False
) -> Restart:
    """A restart with these two bounds; `mend`: one of them has a finding; `more`: another tool
    cuts what the job leaves."""
    finding = Finding("cut-too-deep", Severity.MEND, "It cuts too deep.")
    bounds = [
        None if verdict is None else Bound(verdict, (finding,) if mend and k else ())
        for k, verdict in enumerate((nothing, everything))
    ]
    worn = Stretch(0.0, -1.0, 20.0, 20.1, 0.05)
    other = Replaced((), (worn,), 0.4, 0.2, None) if more else None
    return Restart("A", "T1", 6, "T0101", 6, "T0101", None, (), bounds[0], bounds[1], "", other)


@pytest.mark.parametrize(
    ("nothing", "everything", "verdict"),
    [
        (Verdict.CLEAR, Verdict.CLEAR, Verdict.CLEAR),
        (Verdict.CLEAR, Verdict.CONTACT, Verdict.CONTACT),
        (Verdict.CONTACT, Verdict.CLEAR, Verdict.CONTACT),
        (Verdict.CLEAR, Verdict.UNPROVEN, Verdict.UNPROVEN),
        (Verdict.UNPROVEN, Verdict.CLEAR, Verdict.UNPROVEN),
        (None, Verdict.CLEAR, Verdict.UNPROVEN),
        (Verdict.CLEAR, None, Verdict.UNPROVEN),
    ],
)
def test_a_restart_is_no_better_than_the_worse_of_its_two_bounds(
    nothing: Verdict | None, everything: Verdict | None, verdict: Verdict
) -> None:
    found = taken_up(nothing, everything)
    assert found.verdict is verdict
    assert found.is_good == (verdict is Verdict.CLEAR)


def test_a_clear_restart_is_not_good_with_something_to_mend_or_cut_too_much() -> None:
    assert taken_up(Verdict.CLEAR, Verdict.CLEAR).is_good
    assert not taken_up(Verdict.CLEAR, Verdict.CLEAR, mend=True).is_good
    assert not taken_up(Verdict.CLEAR, Verdict.CLEAR, more=True).is_good


def test_the_nearest_call_that_can_be_searched_for_is_taken() -> None:
    """Every call of the pin can be: none is taken up at an earlier one."""
    assert all(each.line == each.from_line for each in found_in("demo-pin"))


def test_only_the_stations_of_other_tools_are_answered() -> None:
    assert {r.tool.split(" ")[0] for r in found_in("demo-pin", "1=CNMG120404")} == {"T1"}
