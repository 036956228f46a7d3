"""What to key in after a first part: hand sums in both units, and parts cut with offsets off."""

from __future__ import annotations

import json
import random
import shutil
from pathlib import Path

import pytest
from typer.testing import CliRunner

import standclear
from standclear.cli import app
from standclear.errors import JobError
from standclear.plan.first_part.causes import Measured, causes_of
from standclear.plan.first_part.correct import correct
from standclear.plan.first_part.correction import Correction, Gauge
from standclear.plan.first_part.effects import Knob, effects_of
from standclear.plan.first_part.makers import front_and_back, sizes_made
from standclear.plan.first_part.moved import with_offsets
from standclear.plan.first_part.solve import followed, solve
from standclear.report.lines import plain
from standclear.report.plan.first_part import correction_lines

EXAMPLES = Path(__file__).parents[3] / "examples"
FINE = 2e-3
"""mm: sections are known within 0.001 a side."""
INCH = 25.4


class Bench:
    """A job held and judged once."""

    def __init__(self, name: str) -> None:
        self.held = standclear.hold(standclear.read_job(EXAMPLES / name))
        self.job = self.held.files.job
        self.proof = standclear.judge(self.held, self.job)

    def measured(self, doubt: float = 0.002, **sizes: float) -> Correction:
        gauges = [Gauge(name.replace("_", " "), value, doubt) for name, value in sizes.items()]
        return correct(self.held, self.job, self.proof, gauges)


@pytest.fixture(scope="module")
def pin() -> Bench:
    return Bench("demo-pin")


@pytest.fixture(scope="module")
def flange() -> Bench:
    return Bench("inch-flange")


def keyed(found: Correction) -> dict[tuple[str, str], float]:
    return {(k.kind, k.word): k.change for k in found.keyed}


def test_all_lengths_of_one_end_alike_are_its_zero(pin: Bench) -> None:
    """Back shoulder 52.12 - 52.00 = whole part 79.12 - 79.00 = 0.12 long, front shoulder right:
    G55 goes back by 0.12. The raw back face then stands out 0.12 further: 2.45 + 0.12 = 2.57."""
    found = pin.measured(front_shoulder=22.0, back_shoulder=52.12, whole_part=79.12)
    assert keyed(found) == {("zero", "G55"): pytest.approx(-0.12, abs=FINE)}
    assert found.keyed[0].setups == ("back end",)
    # It stood 0.12 too far out when the part was cut.
    assert found.keyed[0].was_off == pytest.approx(0.12, abs=FINE)
    assert [error for _, error, _ in found.keyed[0].because] == pytest.approx([0.12] * 2, abs=FINE)
    assert found.settled
    back = found.moves[1]
    assert back.face_before == pytest.approx(2.45, abs=FINE)
    assert back.face_after == pytest.approx(2.57, abs=2 * FINE)
    assert found.moves[0].face_after == pytest.approx(found.moves[0].face_before)
    assert any(after < before for _, _, before, after in back.gaps)


def test_sizes_of_one_tool_are_its_offset(pin: Bench) -> None:
    """T2 cuts all three diameters: 0.06, 0.06, 0.06 large. Its Z 0.05 short of the face: the front
    shoulder 0.05 long, counted from T1's face; the back shoulder 0.05 short, from the stop."""
    found = pin.measured(
        front_journal=30.06,
        collar=45.06,
        back_journal=36.06,
        front_shoulder=22.05,
        back_shoulder=51.95,
        whole_part=79.0,
    )
    assert keyed(found) == {
        ("x", "2"): pytest.approx(-0.06, abs=FINE),
        ("z", "2"): pytest.approx(0.05, abs=FINE),
    }
    assert found.settled
    assert [s.after for s in found.sizes] == pytest.approx([30, 45, 36, 22, 52, 79], abs=FINE)


def test_overall_length_alone_goes_by_the_way_of_the_second_zero(pin: Bench) -> None:
    found = pin.measured(whole_part=79.15)
    assert keyed(found) == {("zero", "G55"): pytest.approx(-0.15, abs=FINE)}
    assert found.keyed[0].way == "finished-on-stop"
    assert found.keyed[0].also == ("Z of offset 1",)
    text = plain(correction_lines(found, "mm"))
    assert "G55, Z: -0.15 mm (set-up back end)" in text
    assert "holds for every part" in text


def test_a_taper_is_helped_by_no_offset(pin: Bench) -> None:
    """0.02 and 0.08 large, 38 - 12 = 26 apart."""
    found = pin.measured(front_journal=30.02, collar=45.08)
    assert found.keyed == ()
    (taper,) = found.tapers
    assert (taper.grows, taper.over) == pytest.approx((0.06, 26.0), abs=FINE)
    assert not found.settled


def test_a_measurement_that_no_wear_explains_is_said_to_be_one(pin: Bench) -> None:
    """Two diameters of T2 agree on 0.05; the third, 0.1 small, stands alone and is left out."""
    found = pin.measured(front_journal=30.05, collar=45.05, back_journal=35.9)
    assert keyed(found) == {("x", "2"): pytest.approx(-0.05, abs=FINE)}
    assert [s.name for s in found.sizes if s.unexplained] == ["back journal"]
    assert not found.settled


def test_right_sizes_ask_for_nothing(pin: Bench) -> None:
    found = pin.measured(front_journal=30.004, whole_part=78.998)
    assert found.keyed == ()
    assert found.settled
    assert "collar" in found.not_measured


def test_the_tightest_size_keeps_as_much_room_below_as_above(pin: Bench) -> None:
    """29.9 to 30.1 and 44.9 to 45.1, gauge 0.002: 30.056 leaves -0.154 to 0.042, 45.060 leaves
    -0.158 to 0.038; both -0.154 to 0.038, middle -0.058."""
    found = pin.measured(front_journal=30.056, collar=45.060)
    assert keyed(found) == {("x", "2"): pytest.approx(-0.058, abs=1e-9)}


def test_a_gauge_too_coarse_leaves_it_open(pin: Bench) -> None:
    """+/-0.15 on a tolerance of +/-0.1 proves nothing."""
    found = pin.measured(doubt=0.15, whole_part=79.0)
    assert not found.settled
    assert not found.sizes[0].right_after


def test_a_flange_in_inches(flange: Bench) -> None:
    """Whole part 1.254 for 1.250: G55 back by .004. Hub 1.502 for 1.500: X of T2 -.002."""
    found = flange.measured(hub=1.502 * INCH, whole_part=1.254 * INCH)
    changes = {k: v / INCH for k, v in keyed(found).items()}
    assert changes == {
        ("zero", "G55"): pytest.approx(-0.004, abs=1e-4),
        ("x", "2"): pytest.approx(-0.002, abs=1e-4),
    }
    text = plain(correction_lines(found, "inch"))
    assert "G55, Z: -0.004 in" in text


SECOND_ZEROS = (
    '{ way = "finished-on-stop" }',
    '{ way = "measured", error = 0.05 }',
    '{ way = "nominal", face_allowance = 2.0, error = 0.05 }',
)


def variant(tmp_path: Path, name: str, *changes: tuple[str, str]) -> Bench:
    folder = tmp_path / name
    shutil.copytree(EXAMPLES / name, folder)
    text = (folder / "job.toml").read_text()
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    (folder / "job.toml").write_text(text)
    return Bench(str(folder))


def inches(found: Correction) -> dict[tuple[str, str], float]:
    return {k: v / INCH for k, v in keyed(found).items()}


TENTH = 1e-4
"""inch"""


def test_lengths_of_one_end_alike_in_inches(tmp_path: Path) -> None:
    """Flange end made with its own offset; a groove of the flange would follow it. Whole part
    1.256 and hub length 0.750: G55 back by .006. The raw face stands out that much further:
    1.350 + .005 - (1.350 - .050 + ...): .052 + .006 with the sizes of the example."""
    bench = variant(tmp_path, "inch-flange")
    found = bench.measured(hub_length=0.75 * INCH, whole_part=1.256 * INCH)
    assert inches(found) == {("zero", "G55"): pytest.approx(-0.006, abs=TENTH)}
    moves = found.moves[1]
    assert (moves.face_after - moves.face_before) / INCH == pytest.approx(0.006, abs=TENTH)
    assert found.moves[0].face_after == pytest.approx(found.moves[0].face_before)


def test_one_tools_sizes_in_inches(flange: Bench) -> None:
    """T2 cuts hub and shoulder, T1 the face before it: hub .003 large, shoulder .004 too shallow
    (.746). X of T2 -.003, Z of T2 -.004: deeper makes the hub longer, 1 for 1 the other way."""
    found = flange.measured(hub=1.503 * INCH, hub_length=0.746 * INCH, whole_part=1.25 * INCH)
    assert inches(found) == {
        ("x", "2"): pytest.approx(-0.003, abs=TENTH),
        ("z", "2"): pytest.approx(-0.004, abs=TENTH),
    }
    assert found.settled
    assert [s.after / INCH for s in found.sizes] == pytest.approx([1.5, 0.75, 1.25], abs=TENTH)


@pytest.mark.parametrize(
    "zero",
    [
        '{ way = "finished-on-stop" }',
        '{ way = "measured" }',
        '{ way = "nominal", face_allowance = 0.05 }',
    ],
)
def test_overall_length_alone_by_each_way_in_inches(tmp_path: Path, zero: str) -> None:
    """1.256 measured for 1.250; by each way the zero moves .006 to the chuck."""
    bench = variant(tmp_path, "inch-flange", ('{ way = "finished-on-stop" }', zero))
    found = bench.measured(whole_part=1.256 * INCH)
    assert inches(found) == {("zero", "G55"): pytest.approx(-0.006, abs=TENTH)}
    assert found.keyed[0].way in zero
    text = plain(correction_lines(found, "inch"))
    said = {
        "finished-on-stop": "holds for every part",
        "measured": "look for the error in measuring and touching first",
        "nominal": "the saw goes into the length",
    }
    assert said[found.keyed[0].way] in text


@pytest.mark.parametrize("zero", SECOND_ZEROS)
def test_overall_length_alone_by_each_way(tmp_path: Path, zero: str) -> None:
    """79.15 measured: 0.15 to the chuck, whichever way the second zero is set."""
    found = variant(tmp_path, "demo-pin", (SECOND_ZEROS[0], zero)).measured(whole_part=79.15)
    assert keyed(found) == {("zero", "G55"): pytest.approx(-0.15, abs=FINE)}
    assert found.keyed[0].way in zero


def test_a_taper_in_inches(tmp_path: Path) -> None:
    """.0008 and .0040 large, .7 - .2 = .5 apart along the hub."""
    hub = '{ name = "hub", diameter = 1.5, at_z = -0.4, tolerance = [-0.004, 0.004] },'
    near, far = (
        hub.replace('"hub"', f'"{name}"').replace("-0.4,", f"{z},")
        for name, z in (("near", -0.2), ("far", -0.7))
    )
    bench = variant(tmp_path, "inch-flange", (hub, f"{near}\n  {far}"))
    found = bench.measured(near=1.5008 * INCH, far=1.504 * INCH)
    assert found.keyed == ()
    (taper,) = found.tapers
    assert (taper.grows / INCH, taper.over / INCH) == pytest.approx((0.0032, 0.5), abs=TENTH)
    assert "No offset helps" in plain(correction_lines(found, "inch"))


def test_a_measurement_that_no_wear_explains_in_inches(tmp_path: Path) -> None:
    """Two places of the hub agree on .0020; the third, .006 small, is left out and said so."""
    hub = '{ name = "hub", diameter = 1.5, at_z = -0.4, tolerance = [-0.004, 0.004] },'
    three = "\n  ".join(
        hub.replace('"hub"', f'"{name}"').replace("-0.4,", f"{z},")
        for name, z in (("one", -0.2), ("two", -0.4), ("three", -0.6))
    )
    bench = variant(tmp_path, "inch-flange", (hub, three))
    found = bench.measured(one=1.502 * INCH, two=1.502 * INCH, three=1.494 * INCH)
    assert inches(found) == {("x", "2"): pytest.approx(-0.002, abs=TENTH)}
    assert [s.name for s in found.sizes if s.unexplained] == ["three"]


DOUBTS = (0.002, 0.02)
"""Of a micrometer and of calipers, mm: made up."""


@pytest.mark.parametrize("zero", SECOND_ZEROS)
def test_what_is_called_right_is_right_for_parts_drawn_at_random(tmp_path: Path, zero: str) -> None:
    """Parts cut with zeros and tools off by up to 0.15, measured with a gauge that is wrong by up
    to its uncertainty, at its ends more often than not. The next part, cut with what is keyed in,
    is added up from the offsets that were really off: each size that is called right lies within
    its limits, +/-0.012, whatever the gauge said; some lie near them."""
    tight = [
        (size, f"{size.removesuffix(' },')}, tolerance = [-0.012, 0.012] }},")
        for size in (EXAMPLES / "demo-pin" / "job.toml").read_text().splitlines()
        if size.startswith("  { name = ")
    ]
    bench = variant(tmp_path, "demo-pin", (SECOND_ZEROS[0], zero), *tight)
    known = followed(bench.held, bench.job, bench.proof)
    effects, made = known.effects, known.made.values()
    knobs = sorted({knob for each in effects.values() for knob in each})
    chance = random.Random(11)

    def either(bound: float) -> float:
        return chance.choice((-bound, bound, chance.uniform(-bound, bound)))

    called = edges = 0
    for _ in range(150):
        off = {knob: either(0.15) for knob in chance.sample(knobs, chance.choice((0, 1, 1, 2)))}
        true = {
            each.size.name: each.size.found
            + sum(effects[each.size.name].get(k, 0.0) * v for k, v in off.items())
            for each in made
        }
        doubts = {name: chance.choice(DOUBTS) for name in true}
        gauges = [Gauge(n, size + either(doubts[n]), doubts[n]) for n, size in true.items()]
        solved = solve(bench.job, bench.proof, known, gauges)
        for size in solved.sums:
            change = sum(effects[size.name].get(k, 0.0) * v for k, v in solved.keyed.items())
            following = true[size.name] + change
            if size.right_after:
                called += 1
                assert size.low - 1e-6 <= following <= size.high + 1e-6, (off, size)
                edges += min(following - size.low, size.high - following) < 0.004
    assert called > 100 and edges > 0


@pytest.mark.parametrize(
    ("name", "zero"),
    [*(("demo-pin", zero) for zero in SECOND_ZEROS), ("sleeve", ""), ("parted-collar", "")],
)
def test_the_sums_are_what_the_proof_sees(name: str, zero: str, tmp_path: Path) -> None:
    """Each offset moved by 0.04 mm alone, swept and judged again: every size moves as its sum
    says. (0.04 is less than any finishing cut takes.)"""
    folder = tmp_path / name
    shutil.copytree(EXAMPLES / name, folder)
    if zero:
        text = (folder / "job.toml").read_text()
        (folder / "job.toml").write_text(text.replace(SECOND_ZEROS[0], zero))
    bench = Bench(str(folder))
    ends = front_and_back(bench.held, bench.job, bench.proof)
    made = sizes_made(bench.held, bench.job, bench.proof)
    sums = [effects_of(bench.job, each, *ends) or {} for each in made]
    knobs = {knob for each in sums for knob in each}
    assert {"zero", "x", "z"} <= {knob.kind for knob in knobs}
    for knob in sorted(knobs):
        moved = standclear.judge(with_offsets(bench.held, bench.job, {knob: 0.04}), bench.job)
        for old, new, effects in zip(bench.proof.sizes, moved.sizes, sums, strict=True):
            expected = 0.04 * effects.get(knob, 0.0)
            assert new.found - old.found == pytest.approx(expected, abs=FINE), (knob, old.name)


def test_a_part_cut_with_offsets_off_asks_them_back(pin: Bench) -> None:
    """Zero of the back end off by 0.07, T2 by -0.03 in Z and 0.04 in X. Three lengths cannot tell
    T2's Z from T1's with another zero; whichever is keyed in beside what is off, every size comes
    out as programmed."""
    off = {Knob("zero", 1): 0.07, Knob("z", 2): -0.03, Knob("x", 2): 0.04}
    cut = standclear.judge(with_offsets(pin.held, pin.job, off), pin.job)
    found = pin.measured(**{s.name.replace(" ", "_"): s.found for s in cut.sizes})
    assert found.settled
    number = {"G55": 1}
    for change in found.keyed:
        knob = Knob(change.kind, number.get(change.word) or int(change.word))
        off[knob] = off.get(knob, 0.0) + change.change
        assert change.also or change.kind == "x"
    after = standclear.judge(with_offsets(pin.held, pin.job, off), pin.job)
    for size, wanted in zip(after.sizes, pin.proof.sizes, strict=True):
        assert size.found == pytest.approx(wanted.found, abs=2 * FINE)


def test_a_change_that_would_strike_is_not_to_be_keyed_in(pin: Bench) -> None:
    """Whole part 12 long: with G55 back by 12 the passes to Z-28 end at -40, the jaws at -39."""
    found = pin.measured(whole_part=91.0)
    assert found.proved is standclear.Verdict.CONTACT
    assert not found.settled
    assert plain(correction_lines(found, "mm")).startswith("do not key in")


def test_command(tmp_path: Path) -> None:
    table = tmp_path / "first.csv"
    table.write_text("name,measured,uncertainty\n# by hand\nWhole part,79.15,0.02\n")
    call = ["correct", str(EXAMPLES / "demo-pin"), str(table)]
    done = CliRunner().invoke(app, [*call, "--json"])
    assert done.exit_code == 0
    assert json.loads(done.stdout)["keyed"][0]["change"] == pytest.approx(-0.15, abs=FINE)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "first.csv: the table is empty"),
        ("name,size\nwhole part,79\n", 'first.csv: line 1 is "name,size": give a heading line'),
        ("name,measured\nwhole,79\n", 'line 2, name is "whole": give one of: front journal'),
        ("name,measured\nwhole part,long\n", 'line 2, measured is "long": give a length in mm'),
        ("name,measured\nwhole part,79\nwhole part,79\n", "line 3, name is"),
        ("name;measured\nwhole part;79;1;2\n", "line 2 is 4 cells: give 2"),
        ("name,measured\n", "no line below its heading"),
    ],
)
def test_bad_tables_are_named(tmp_path: Path, text: str, said: str) -> None:
    table = tmp_path / "first.csv"
    table.write_text(text)
    done = CliRunner().invoke(app, ["correct", str(EXAMPLES / "demo-pin"), str(table)])
    assert done.exit_code == 2
    assert said in done.stderr


def off(name: str, by: float, **effects: float) -> Measured:
    """A size that came out `by` too large, +/-0.02 allowed, gauge 0.002; `x1=2.0`: X of tool
    offset 1 moves it 2 for 1."""
    knobs = {Knob(each[0], int(each[1:])): rate for each, rate in effects.items()}
    return Measured(name, knobs, by, 0.002, -by, (-by - 0.018, -by + 0.018))


def test_sizes_that_share_no_offset_are_explained_apart() -> None:
    """Two offsets here and two there: four together, more than explain anything, two and two
    apart."""
    causes = causes_of(
        [
            off("a", 0.1, x1=1.0),
            off("b", 0.3, x1=1.0, z1=1.0),
            off("c", -0.2, x2=1.0),
            off("d", 0.4, x2=1.0, z2=1.0),
        ]
    )
    was_off = {knob: value for cause in causes for knob, value in cause.was_off.items()}
    assert was_off == {
        Knob("x", 1): pytest.approx(0.1),
        Knob("z", 1): pytest.approx(0.2),
        Knob("x", 2): pytest.approx(-0.2),
        Knob("z", 2): pytest.approx(0.6),
    }
    assert len(causes) == 2


def test_sizes_that_hang_together_by_a_third_are_one_group() -> None:
    """X of 1 and X of 3 meet in the first, X of 1 and X of 2 in the second; the third has X of 3
    alone and says that it is off by 0.2, so the first, 0.3, leaves 0.1 for X of 1."""
    (cause,) = causes_of(
        [
            off("a", 0.3, x1=1.0, x3=1.0),
            off("b", 0.1, x1=1.0, x2=1.0),
            off("c", 0.2, x3=1.0),
        ]
    )
    assert cause.was_off == {Knob("x", 1): pytest.approx(0.1), Knob("x", 3): pytest.approx(0.2)}
    assert cause.unexplained == ()


def test_a_job_that_strikes_has_no_sizes_to_correct() -> None:
    held = standclear.hold(standclear.read_job(EXAMPLES / "demo-pin", bar=52.0))
    proof = standclear.judge(held, held.files.job)
    with pytest.raises(JobError, match="the job is contact, so what its program makes is not"):
        correct(held, held.files.job, proof, [Gauge("whole part", 79.0, 0.002)])


def test_what_was_off_and_what_is_keyed_in_are_proved_together(tmp_path: Path) -> None:
    """Wanted 65 to 69 of a program that makes 79, and 71 measured: the zero stood 8 too near the
    chuck and has to go 4 nearer, 67. Four alone leave the last pass, Z-28, 7 in front of the jaws
    at Z-39; with the 8 that it was off it ends at Z-40, 1 inside them."""
    asked = '{ name = "whole part", length = 79.0'
    tight = asked + ", tolerance = [-14.0, -10.0]"
    found = variant(tmp_path, "demo-pin", (asked, tight)).measured(whole_part=71.0)
    assert keyed(found) == {("zero", "G55"): pytest.approx(-4.0, abs=FINE)}
    assert found.keyed[0].was_off == pytest.approx(-8.0, abs=FINE)
    assert found.proved is standclear.Verdict.CONTACT
