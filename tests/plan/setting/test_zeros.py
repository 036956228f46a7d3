"""Values to key in: signs and sums by hand, displays against set-ups drawn at random."""

from __future__ import annotations

import random

import pytest
from setting_shop import INCH, job_of

from standclear.job.models import Job
from standclear.plan.setting.changed import longer, zero_moved
from standclear.plan.setting.zeros import SetupZero, WayToSet, zeros_of
from standclear.report.lines import plain
from standclear.report.plan.zeros import signed_z, zero_lines

TOUCH = {"way": "touch", "face_allowance": 1.0, "error": 0.05}
ON_STOP = {"way": "finished-on-stop"}


def with_offset(job: Job, value: float) -> Job:
    first = job.setup[0].model_copy(update={"offset_z": value})
    return job.model_copy(update={"setup": [first, *job.setup[1:]]})


def by_way(zero: SetupZero) -> dict[str, WayToSet]:
    return {way.way: way for way in zero.ways}


def reads(way: WayToSet) -> dict[str, float]:
    return {reading.place: reading.z for reading in way.readings}


def test_moved_towards_the_chuck_the_offset_gets_smaller_and_the_face_reads_more() -> None:
    """Allowance 1.0 to 1.4: part zero goes 0.4 towards the chuck, which is -Z. Old -312.45, so
    -312.85. The raw face then reads +1.4, the jaws' front, 20 from the stop under a blank of 63,
    1.4 - (63 - 20) = -41.6."""
    before = with_offset(job_of(TOUCH, ON_STOP), -312.45)
    first, second = zeros_of(before, zero_moved(before, 0.4))
    assert (first.old, first.change, first.new) == (-312.45, -0.4, -312.85)
    assert first.in_use.keyed == 1.4
    assert reads(first.in_use) == {"raw face": 1.4, "jaws": -41.6}
    # The back gets what is left: 63 - 60 - 1.4.
    assert (second.change, second.measured) == (0.0, 61.6)
    assert reads(second.in_use) == {"stop": -60.0, "raw face": 1.6}


def test_the_display_that_proves_the_sign() -> None:
    assert signed_z(0.4, "mm") == "Z+0.400" and signed_z(-0.4, "mm") == "Z-0.400"
    assert signed_z(0.025 * INCH, "inch") == "Z+0.0250" and signed_z(-1e-9, "mm") == "Z+0.000"
    lines = plain(tuple(zero_lines(zeros_of(*[job_of(TOUCH, ON_STOP)] * 2), 60.0, "mm")))
    assert "Tip on the raw face, display must read Z+1.000;" in lines
    assert "Tip on the stop, display must read Z-60.000;" in lines


def test_the_three_ways_of_each_end_put_zero_in_the_same_place() -> None:
    """63 long, 1 in front: zero stands 62 in front of the stop; turned round 60, M = 62 - 0 and
    62 - 60 = 2."""
    first, second = zeros_of(*[job_of(TOUCH, ON_STOP)] * 2)
    assert {k: w.keyed for k, w in by_way(first).items()} == {
        "stop": 62.0,
        "touch": 1.0,
        "rule": 1.0,
    }
    assert {k: w.keyed for k, w in by_way(second).items()} == {
        "finished-on-stop": 60.0,
        "measured": 2.0,
        "nominal": 2.0,
    }
    assert second.measured == 62.0
    assert {tuple(reads(w).items())[-1] for w in first.ways if "jaws" in reads(w)} == {
        ("jaws", -42.0)
    }


def test_the_trades_sum_in_inches() -> None:
    """3.350 sawn for 3.300: 0.025 a side; after the first end it measures 3.325, and the raw back
    stands at Z+.025."""
    zero = {"way": "touch", "face_allowance": 0.025}
    job = job_of(
        zero, {"way": "measured"}, units="inch", finished=3.3, size=1.75, length=3.35, jaws=None
    )
    first, second = zeros_of(job, job)
    assert second.measured is not None and second.in_use.keyed is not None
    assert second.measured / INCH == pytest.approx(3.325)
    assert second.in_use.keyed / INCH == pytest.approx(0.025)
    assert first.in_use.readings[0].z / INCH == pytest.approx(0.025)


def test_values_stand_on_the_controls_increment() -> None:
    zero = {"way": "touch", "face_allowance": 1.00049}
    first = zeros_of(*[job_of(zero, length=63.00021)] * 2)[0]
    assert [w.keyed for w in first.ways] == [62.0, 1.0, 1.0]  # 61.99972 and 1.00049, to 0.001


LONGER = {
    # face, jaws, finished length, for a millimetre more of blank
    "stop": (1.0, 0.0, 0.0),
    "touch": (0.0, -1.0, 0.0),
    "rule": (0.0, -1.0, 0.0),
    "finished-on-stop": (1.0, 0.0, 0.0),
    "measured": (1.0, 0.0, 0.0),
    "nominal": (0.0, -1.0, 1.0),
}


def test_what_a_longer_blank_does_under_each_way() -> None:
    """As the design says: on a stop the front takes it, touched the back does; at the second end a
    nominal allowance lets it into the part."""
    for zero in zeros_of(*[job_of(TOUCH, ON_STOP)] * 2):
        for way in zero.ways:
            assert way.longer is not None
            found = (
                way.longer.face_by_length,
                way.longer.jaws_by_length,
                way.longer.finished_by_length,
            )
            assert found == LONGER[way.way], way.way


def test_a_longer_blank_on_the_bench_moves_a_touched_zero_out() -> None:
    job = job_of(TOUCH, ON_STOP)
    first, second = zeros_of(job, longer(job, 3.5))
    assert (first.change, second.change) == (3.5, 0.0)
    assert second.measured == 65.5


def test_without_a_stop_the_ways_that_count_from_it_cannot_be_had() -> None:
    job = job_of(TOUCH)
    seat = job.setup[0].seat.model_copy(update={"on": "stick-out", "stick_out": 40.0})
    job = job.model_copy(update={"setup": [job.setup[0].model_copy(update={"seat": seat})]})
    (first,) = zeros_of(job, job)
    assert by_way(first)["stop"].keyed is None
    # The raw face stands 40 in front of the jaws and 1 in front of zero.
    assert reads(by_way(first)["touch"]) == {"raw face": 1.0, "jaws": -39.0}


@pytest.mark.parametrize("way", ["stop", "touch"])
def test_displays_stay_in_their_range_over_set_ups_drawn_at_random(way: str) -> None:
    saw, lean, error = 0.3, 0.1, 0.05
    zero = {"way": way, "error": error}
    zero |= {"face_allowance": 1.0} if way == "touch" else {"from_stop": 62.0}  # type: ignore[dict-item]
    job = job_of(zero, length_tolerance=[-saw, saw], out_of_square=lean)
    ranges = {r.place: r.range for r in zeros_of(job, job)[0].in_use.readings}
    chance = random.Random(3)
    seen: dict[str, list[float]] = {place: [] for place in ranges}
    for _ in range(5000):
        length = 63 + chance.uniform(-saw, saw)
        off = chance.choice((-error, error, chance.uniform(-error, error)))
        lying = chance.uniform(0, lean)  # how far the touched spot of the face lies below its top
        top = length + chance.uniform(0, lean)  # from the stop
        zero_at = 62.0 + off if way == "stop" else top - 1.0 + off
        seen["raw face"].append(top - lying - zero_at)
        if "stop" in seen:
            seen["stop"].append(-zero_at)
        if "jaws" in seen:
            seen["jaws"].append(20.0 - zero_at)
    for place, values in seen.items():
        assert ranges[place].lo - 1e-9 <= min(values) <= ranges[place].lo + 0.12, place
        assert ranges[place].hi - 0.12 <= max(values) <= ranges[place].hi + 1e-9, place


def test_a_nominal_allowance_that_makes_another_length_is_told_and_the_other_ways_do_not() -> None:
    """Zero 5.060 in front of the stop, so the raw back lies 5.060 behind the finished face; .065
    keyed in at the back makes 4.995, and .060 would make 5.000. Measured, 5.060 - 5.000 = .060; on
    the stop 5.000."""
    job = job_of(
        {"way": "stop", "from_stop": 5.06},
        {"way": "nominal", "face_allowance": 0.065},
        units="inch",
        finished=5.0,
        size=1.25,
        length=5.125,
        jaws=None,
    )
    second = by_way(zeros_of(job, job)[1])
    found = {name: (way.keyed, way.right) for name, way in second.items()}
    assert {k: [v / INCH for v in pair if v] for k, pair in found.items()} == {
        "nominal": pytest.approx([0.065, 0.06]),
        "measured": pytest.approx([0.06, 0.06]),
        "finished-on-stop": pytest.approx([5.0, 5.0]),
    }
    assert reads(second["finished-on-stop"])["raw face"] / INCH == pytest.approx(0.06)
    text = plain(tuple(zero_lines(zeros_of(job, job), job.part.length, "inch")))
    assert "0.06 in would be right." in text and text.count("would be right") == 1
