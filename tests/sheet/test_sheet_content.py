"""The sheet as data, against sums by hand."""

from __future__ import annotations

import hashlib
import re
import shutil
from pathlib import Path

import pytest
from tests.plan.tiny_job import write_tiny
from tests.sheet.conftest import EXAMPLES, sheet_for

import standclear
from standclear.plan.setting.split import split_of
from standclear.plan.setting.zeros import zeros_of
from standclear.sheet.content import Sheet, Sum
from standclear.sheet.keying import key_sums


def result(sums: tuple[Sum, ...], what: str) -> str:
    return next(each.result for each in sums if each.what == what)


def total(each: Sum) -> float:
    return sum(float(f"{t.sign}{re.sub('[XZ]', '', t.figure)}") for t in each.terms)


def test_what_to_key_in_by_hand(pin: Sheet) -> None:
    """Blank 83 sawn, part 79, 2 at the front: 2 are left. Jaws 24 deep from the stop, the raw face
    at 2: 2 - 83 + 24 = -57. Turned round, the finished face on the stop: zero 79 before it."""
    front, back = (page.sums for page in pin.setups)
    assert result(front, "Left for the back end") == "2.000"
    assert result(front, "Touch the raw face, key in for G54") == "Z+2.000"
    assert result(front, "Tip on the jaws' front, display must read") == "Z-57.000"
    assert result(back, "Measure the part: at the back") == "2.000"
    assert result(back, "Part zero in front of the stop") == "79.000"
    assert result(back, "Tip on the stop, display must read") == "Z-79.000"


def test_every_sum_with_terms_adds_up(pin: Sheet, tiny: Sheet) -> None:
    for sheet in (pin, tiny):
        for page in sheet.setups:
            gaps = [gap.sum for stand in page.stands for gap in stand.gaps]
            for each in (*page.sums, *gaps):
                if each.terms and each.result:
                    assert abs(total(each) - float(each.result.strip("XZ"))) < 5e-4, each


def test_gaps_by_hand(pin: Sheet) -> None:
    """At the front: face touched at 2, tool at Z5: 3. Bar 48 h11 in mid tolerance 47.92, run-out
    0.2 puts its high spot 0.1 further out: it touches at 47.92/2 + 0.1 = 24.06... on diameter 48.12
    at most; with half of the run-out's share in the middle of what may be, 48.02."""
    face, across = pin.setups[0].stands[0].gaps
    assert (face.sum.result, face.between) == ("3.000", "")
    assert (across.sum.result, across.between) == ("2.980", "1.490")
    assert [float(face.passes), float(face.refused)] == [2.9, 3.1]


def test_old_change_and_new_of_a_shifted_zero() -> None:
    """Another face allowance at the front: 0.5 more comes off the face, so zero lies 0.5 nearer the
    chuck."""
    files = standclear.read_job(EXAMPLES / "demo-pin", face=2.5)
    filed = standclear.read_job(EXAMPLES / "demo-pin").job
    setups = [s.model_copy(update={"offset_z": -412.35}) for s in filed.setup]
    filed = filed.model_copy(update={"setup": setups})
    moved = files.job.model_copy(
        update={"setup": [s.model_copy(update={"offset_z": -412.35}) for s in files.job.setup]}
    )
    zeros = zeros_of(filed, moved)
    offset = key_sums(moved, 0, zeros[0], split_of(moved))[-1]
    assert [(t.name, t.sign, t.figure) for t in offset.terms] == [
        ("old", "", "-412.350"),
        ("change", "-", "0.500"),
    ]
    assert offset.result == "-412.850"


def test_tools_sizes_and_files(pin: Sheet) -> None:
    tools = pin.setups[0].tools
    assert [tool.station for tool in tools] == ["T1", "T2"]
    assert tools[0].shape == "CNMG120408 in PCLNR2525M12, holder measured; M03"
    rows = {row.name: (row.least, row.greatest, row.comes_out) for row in pin.part.sizes}
    assert rows["whole part length"] == ("78.900", "79.100", "79.000")
    folder = EXAMPLES / "demo-pin"
    for name, digest in pin.files[:-1]:
        assert hashlib.sha256((folder / name).read_bytes()).hexdigest() == digest
    assert {"job.toml", "pin.nc"} <= {name for name, _ in pin.files}
    assert {"job.toml", "pin.nc"} <= {name for name, _ in pin.identity}


def test_what_the_verdict_leans_on_is_told_with_the_place(pin: Sheet) -> None:
    """Bar 50.82 is struck on the way down at X51 (51 - 0.2 run-out + 2 x 0.005 is 50.81)."""
    leans = {row.what: row for row in pin.part.leans}
    size = leans["Size of the blank, at its largest"]
    assert (size.stated, size.clear_to, size.fails_at) == ("48.0", "50.81", "50.82")
    assert size.meets == "contact: front end, line 11"


def test_time_load_and_cost_of_the_pin(pin: Sheet) -> None:
    """What the columns say is what the commands say: one tool a row, the bar in hand first, then
    the usual bars of 45 and 50 beside it."""
    effort = pin.effort
    ends = [(setup, tool) for setup in ("front end", "back end") for tool in ("T0101", "T0202")]
    assert [(row.setup, row.tool) for row in effort.tools] == ends
    assert effort.cost.titles == ("bar 48.0, in hand", "bar 45.0", "bar 50.0")
    assert effort.cost.money == "EUR"
    rows = dict(effort.cost.rows)
    # A bar of 45 leaves nothing for the collar of 45: clear, and not right.
    assert rows["verdict"][0] == "clear"
    assert "to mend" in rows["verdict"][1]
    prices = [float(value) for value in rows["material"]]
    # All three give as many blanks a bar, so that material goes by the square of the size.
    assert len(set(rows["blanks a bar"])) == 1
    assert prices[1] / prices[0] == pytest.approx((45 / 48) ** 2, abs=0.005)
    assert prices[2] / prices[0] == pytest.approx((50 / 48) ** 2, abs=0.005)
    assert not effort.limits
    assert any("grip wanted" in said for said in effort.grips)
    assert effort.left_out


def test_a_limit_that_is_reached_stands_on_the_sheet(tmp_path: Path) -> None:
    """A spindle of 0.2 kW: any cut of steel asks for more."""
    folder = tmp_path / "pin"
    shutil.copytree(EXAMPLES / "demo-pin", folder)
    machine = folder / "machine.toml"
    machine.write_text(machine.read_text().replace("spindle_power = 7.5", "spindle_power = 0.2"))
    effort = sheet_for(folder, quick=True).effort
    assert len(effort.limits) == 4
    assert "set-up front end, line 15, T01: spindle power" in effort.limits[0]


def test_inches_stay_inches() -> None:
    """1.350 sawn, 1.250 long, 0.050 at the front."""
    sheet = sheet_for(EXAMPLES / "inch-flange", quick=True)
    assert sheet.units == "in"
    first = sheet.setups[0].sums[0]
    assert [t.figure for t in first.terms] == ["1.3500", "1.2500", "0.0500"]
    assert first.result == "0.0500"
    assert "mm" not in " ".join(fact.value for page in sheet.setups for fact in page.bench)


def test_a_job_that_strikes_says_so(thick: Sheet) -> None:
    assert (thick.verdict, thick.clear) == ("NOT PROVEN", False)
    assert "nothing leans on anything yet" in thick.part.lean_note
    codes = {row.code for row in thick.setups[0].findings}
    assert "rapid-into-metal" in codes


def test_an_allowed_finding_stands_there_with_its_reason(tiny: Sheet) -> None:
    allowed = {row.code: row.reason for row in tiny.part.findings if row.reason}
    assert allowed["diameter-left-raw"] == "the bar's own surface is wanted"
    assert tiny.verdict == "CLEAR"


def test_a_finding_that_is_not_allowed_takes_the_plain_clear_away(tmp_path: Path) -> None:
    sheet = sheet_for(write_tiny(tmp_path / "job"), face=0.8)
    assert (sheet.verdict, sheet.clear) == ("CLEAR, BUT", True)
    assert {row.code for row in sheet.setups[0].findings} == {"size-wrong"}


def test_the_same_proof_and_time_give_the_same_content(tiny: Sheet, tmp_path: Path) -> None:
    assert sheet_for(write_tiny(tmp_path / "job")) == tiny
