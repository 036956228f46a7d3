"""Clearance points: gaps and needs by hand, and each need held against the proof itself."""

from __future__ import annotations

from dataclasses import replace
from math import sqrt

import pytest
from setting_shop import EXAMPLES, INCH, job_of

import standclear
from standclear.findings.finding import Verdict
from standclear.job.models import Machine
from standclear.plan.setting.bent import bent_approaches
from standclear.plan.setting.clearance import ClearancePoint, clearance_points, own_word
from standclear.plan.setting.plan import plan_job
from standclear.plan.setting.rule import Rule, rules_of
from standclear.report.plan.clearance import outward

FINE = 2e-4
"""mm: rounded noses reach this little beyond their tips."""


def points_of(name: str, **blank: float) -> list[tuple[ClearancePoint, ...]]:
    held = standclear.hold(standclear.read_job(EXAMPLES / name, **blank))
    proof = standclear.judge(held, held.files.job)
    return [
        clearance_points(held.files.job, k, held.readings[k][0], setup)
        for k, setup in enumerate(proof.setups)
    ]


def at_line(points: list[tuple[ClearancePoint, ...]], line: int) -> ClearancePoint:
    return next(p for own in points for p in own if p.place.line == line)


def test_the_first_cycle_of_a_pin() -> None:
    """At X51 Z5; bar 48 and half of 0.2 run-out: 24.1 on radius, face up to 2.05. Gap in X
    25.5 - 24.1 = 1.4, in Z 5 - 2.05 = 2.95. Margin 2.5: X2(24.1 + 1.25) = X50.7, Z2.05 + 2.5."""
    points = points_of("demo-pin")
    assert [p.place.line for p in points[0]] == [11, 12, 15, 30]
    first = points[0][0]
    assert first.what == "G94" and first.keeps_margin
    assert (first.gap_x, first.gap_z) == pytest.approx((1.4, 2.95), abs=FINE)
    assert first.need_x is not None and first.need_z is not None
    assert 2 * first.need_x.at == pytest.approx(50.7, abs=FINE)
    assert first.need_z.at == pytest.approx(4.55, abs=FINE)
    assert first.need_x.where is not None and first.need_x.where.line == 11
    # G71 begins its levels 0.1 further out: its own Z may be 0.1 less than 0 + 2.5.
    rough = at_line(points, 15)
    assert rough.need_z is not None and rough.need_z.at == pytest.approx(2.4, abs=FINE)


def test_a_finishing_cut_beside_what_is_roughed_needs_less_x() -> None:
    """Back end, G70 after the collar is down to 45: 22.5 + 1.25 = 23.75, X47.5."""
    last = at_line(points_of("demo-pin"), 59)
    assert last.need_x is not None and 2 * last.need_x.at == pytest.approx(47.5, abs=FINE)
    assert last.gap_x == pytest.approx(25.5 - 22.5, abs=FINE)


def test_tools_on_the_axis_and_in_bores_stand_in_front_only() -> None:
    points = points_of("sleeve")
    drill, bore = at_line(points, 23), at_line(points, 32)
    for point in (drill, bore):
        assert point.gap_x is None and point.need_x is None and point.keeps_margin
        assert point.gap_z == pytest.approx(5.0, abs=FINE)  # the face is at 0 by then


def test_a_groove_beside_the_bar_stays_where_it_is_along() -> None:
    groove = at_line(points_of("hexagon-fitting"), 26)
    assert groove.need_z is None and groove.least[0] == groove.z == -15.0


def test_a_point_inside_the_metal_is_named_with_what_it_needs() -> None:
    """Bar 52: 26.1 on radius, X51 is 0.6 under it; needed 2(26.1 + 1.25) = X54.7. Back end: 86.5
    + 0.2 + 0.2 lean - 81 + 0.05 - 0 = 5.95 in front, Z5 is 0.95 behind; needed 8.45."""
    points = points_of("demo-pin", bar=52.0, length=86.5)
    first, back = at_line(points, 11), at_line(points, 41)
    assert not first.keeps_margin and first.gap_x == pytest.approx(-0.6, abs=FINE)
    assert back.need_x is not None and back.need_z is not None
    assert 2 * back.need_x.at == pytest.approx(54.7, abs=FINE)
    assert back.gap_z == pytest.approx(-0.95, abs=FINE)
    assert back.need_z.at == pytest.approx(8.45, abs=FINE)


def test_gaps_in_inches() -> None:
    """Flange, bar 3.000: X3.12 leaves 0.120, 0.060 real; face 0.050 + 0.002, Z.16 leaves 0.108."""
    first = points_of("inch-flange")[0][0]
    assert first.gap_x is not None and first.gap_x / INCH == pytest.approx(0.06, abs=1e-4)
    assert first.gap_z / INCH == pytest.approx(0.108, abs=1e-4)
    assert 2 * first.least[1] / INCH == pytest.approx(3.1, abs=1e-4)
    assert first.least[0] / INCH == pytest.approx(0.152, abs=1e-4)


@pytest.mark.parametrize(
    ("old", "least", "less", "line"),
    [
        ("G00 X51. Z5. M08\nG94 X-1.6 Z1.", "X50.7 Z4.55", "X50.69 Z4.55", 11),
        ("G00 X51. Z5.\nG70 P100", "X50.7 Z2.501", "X50.7 Z2.49", 30),
    ],
)
def test_the_least_point_keeps_the_margin_and_a_hundredth_less_does_not(
    old: str, least: str, less: str, line: int
) -> None:
    """The need is what the proof itself asks for: X beside the bar, Z in front of the face."""
    files = standclear.read_job(EXAMPLES / "demo-pin")
    text = files.programs["pin.nc"].decode()
    assert old in text

    def mend(place: str) -> set[tuple[str, int]]:
        new = text.replace(old, old.replace("X51. Z5.", place), 1)
        proof = standclear.prove(replace(files, programs={"pin.nc": new.encode()}))
        assert proof.verdict is Verdict.CLEAR
        return {(f.code, f.place.line) for f in proof.findings if f.place and f.severity > 1}

    assert mend(least) == set()
    assert ("approach-too-near", line) in mend(less)


@pytest.mark.parametrize(
    "name", ["demo-pin", "inch-flange", "sleeve", "hexagon-fitting", "parted-collar"]
)
def test_all_points_at_their_least_are_proved_together(name: str) -> None:
    files = standclear.read_job(EXAMPLES / name)
    plan = plan_job(standclear.hold(files), files.job, files.job)
    assert plan.least.words and plan.least.proved
    assert plan.least.proof is not None and plan.least.proof.verdict is Verdict.CLEAR


def rule(rules: tuple[Rule, ...], axis: str) -> Rule:
    return next(r for r in rules if r.axis == axis)


def test_the_usual_rule_on_a_plain_bar_is_enough() -> None:
    job = job_of({"way": "touch", "face_allowance": 1.0})
    for each in rules_of(job):
        assert each.enough and each.eaten == ()
    assert 2 * rule(rules_of(job), "X").point == 42.5 and rule(rules_of(job), "Z").point == 3.5


def test_hot_rolled_bar_eats_the_rule() -> None:
    """Raw 1.750, rule X1.850: 0.050 real. Hot-rolled +1/64: 0.050 - 0.0078 = 0.0422 is left
    (ASTM A29 for sizes over 1.5 to 2 in, from memory)."""
    zero = {"way": "touch", "face_allowance": 0.025}
    job = job_of(
        zero, units="inch", finished=3.3, size=1.75, length=3.35, size_tolerance=[-1 / 64, 1 / 64]
    )
    x = rule(rules_of(job), "X")
    assert 2 * x.point / INCH == pytest.approx(1.85)
    assert x.left / INCH == pytest.approx(0.05 - 1 / 128)
    assert not x.enough and [e.source for e in x.eaten] == ["tolerance of the bar"]
    assert 2 * x.needed / INCH == pytest.approx(1.85 + 1 / 64)


def test_the_corners_of_a_hexagon_strike_where_the_rule_stands() -> None:
    """30 across flats is 34.641 over corners: X32.5 is 1.07 inside on radius."""
    job = job_of({"way": "touch", "face_allowance": 1.0}, shape="hexagon", size=30.0)
    x = rule(rules_of(job), "X")
    assert x.left == pytest.approx(16.25 - 30 / sqrt(3)) and x.left < 0
    assert [e.source for e in x.eaten] == ["corners"]
    assert 2 * x.needed == pytest.approx(60 / sqrt(3) + 2.5)


def test_run_out_bow_and_lean_eat_the_rule() -> None:
    """Run-out 0.4 takes half of it, bow 0.1 all; standing, the touched spot may lie 0.3 low."""
    zero = {"way": "touch", "face_allowance": 1.0, "error": 0.05, "touched": "standing"}
    job = job_of(zero, run_out=0.4, bow=0.1, out_of_square=0.3)
    x, z = rule(rules_of(job), "X"), rule(rules_of(job), "Z")
    assert {e.source: round(e.mm, 6) for e in x.eaten} == {"run-out": 0.2, "bow": 0.1}
    assert x.left == pytest.approx(1.25 - 0.3) and z.left == pytest.approx(2.5 - 0.35)


def test_a_bent_rapid_that_passes_nearer_than_it_ends_is_named() -> None:
    """The groove's way back, from X63 Z-47 to X44 Z5, goes through the collar on a machine whose
    rapids bend, and keeps off on one whose rapids run straight (sums in the example)."""
    lines = {}
    for job in ("job.toml", "straight.toml"):
        held = standclear.hold(standclear.read_job(EXAMPLES / "bent-rapid" / job))
        proof = standclear.judge(held, held.files.job)
        found = [
            b
            for k, setup in enumerate(proof.setups)
            for b in bent_approaches(held.readings[k][0], setup)
        ]
        lines[job] = [(b.place.words, b.known) for b in found]
    assert lines["straight.toml"] == []
    assert ("G00 X44. Z5.", True) in lines["job.toml"]


def test_a_coordinate_to_reach_is_rounded_outward() -> None:
    assert outward(50.6999999, "mm") == "50.7" and outward(2.50005, "mm") == "2.501"
    assert outward(0.15201 * INCH, "inch") == "0.1521"


def points_with(old: str, new: str) -> list[ClearancePoint]:
    """Of the front end of the pin with a change in its program."""
    files = standclear.read_job(EXAMPLES / "demo-pin")
    text = files.programs["pin.nc"].decode()
    assert old in text
    changed = {"pin.nc": text.replace(old, new, 1).encode()}
    held = standclear.hold(replace(files, programs=changed))
    setup = standclear.judge(held, files.job).setups[0]
    return list(clearance_points(files.job, 0, held.readings[0][0], setup))


def test_a_feed_in_front_of_the_face_keeps_the_x_that_it_cuts_at() -> None:
    """G00 X27. Z5., then the feed to Z0.: moved out in X it would cut something else. The rapid to
    X27. passes in front of the face, at 0 by then: Z2.5 is enough."""
    points = points_with("G00 X51. Z5.\nG70 P100", "G00 X51. Z5.\nX27.\nG01 Z0. F0.1\nG70 P100")
    feed = next(p for p in points if p.what == "feed")
    assert feed.keeps_margin and feed.need_x is None and feed.free == (True, False)
    assert feed.least == pytest.approx((2.5, 13.5), abs=2e-3)


def test_a_slanting_feed_stays_where_it_begins() -> None:
    points = points_with("G00 X51. Z5.\nG70", "G00 X51. Z5.\nG01 X49. Z3. F0.1\nG70")
    feed = next(p for p in points if p.what == "feed")
    assert feed.free == (False, False) and feed.least == (5.0, 25.5)


def test_a_thread_keeps_its_run_in_and_its_way_behind_a_wider_collar() -> None:
    """X30. Z6. over the crest of 24, collar 36 behind it: the way back at X30. lies in what is cut
    free; the body over the insert, 12 further out, is beside nothing."""
    point = next(p for p in points_of("threaded-stud")[1] if p.what == "G76")
    assert point.keeps_margin and point.need_x is None
    assert point.least[0] == point.z == 6.0
    assert point.gap_z == pytest.approx(4.0, abs=0.01)  # half the insert's width of 4 before 6


@pytest.mark.parametrize(
    ("family", "cycle", "own"),
    [
        (None, "G94", "G94"),
        ("cycles-g77", "G94", "G79"),
        ("cycles-g77", "G71", "G71"),
        ("cycles-g20", "G90", "G20"),
        ("cycles-g20", "G71", "G73"),
        ("cycles-g20", "G83", "G83"),
    ],
)
def test_cycles_are_called_by_the_words_of_the_control(
    family: str | None, cycle: str, own: str
) -> None:
    job = job_of({"way": "touch", "face_allowance": 1.0})
    assert isinstance(job.machine, Machine)
    control = job.machine.control.model_copy(update={"cycle_words": family})
    machine = job.machine.model_copy(update={"control": control})
    assert own_word(cycle, job.model_copy(update={"machine": machine})) == own
