"""The split of the length: sums by hand in both units, and pieces drawn at random."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from setting_shop import INCH, job_of

from standclear.plan.setting.changed import longer, zero_moved
from standclear.plan.setting.limits import Limit, length_range_at_best, shift_range
from standclear.plan.setting.split import Split, cleanup_limits, split_of

TOUCH = {"way": "touch", "face_allowance": 1.0, "error": 0.05}
ON_STOP = {"way": "finished-on-stop", "error": 0.02}
ROUNDING = 1e-9


def shares(end: object) -> dict[str, float]:
    return {e.source: pytest.approx(e.mm, abs=ROUNDING) for e in end.eaten}  # type: ignore[attr-defined]


def test_a_sum_in_millimetres() -> None:
    """63 = 1 + 60 + 2. Front, touched turning: 0.05 touching + 0.1 lean + 0.3 skin + 0.05 to cut =
    0.5. Back: 0.2 saw + 0.1 lean + 0.3 skin + 0.05 zero A + 0.02 zero B + 0.05 to cut = 0.72."""
    job = job_of(TOUCH, ON_STOP, length_tolerance=[-0.2, 0.4], out_of_square=0.1, skin=0.3)
    split = split_of(job)
    assert split.back is not None
    assert (split.front.allowance, split.back.allowance) == pytest.approx((1.0, 2.0))
    assert (split.front.need, split.back.need) == pytest.approx((0.5, 0.72))
    assert shares(split.front) == {
        "out of square": 0.1,
        "skin": 0.3,
        "zero of A": 0.05,
        "a cut": 0.05,
    }
    assert shares(split.back) == {
        "saw": 0.2,
        "out of square": 0.1,
        "skin": 0.3,
        "zero of A": 0.05,
        "zero of B": 0.02,
        "a cut": 0.05,
    }
    # Front from 0.5 (0.5 less than 1) to 3 - 0.72 = 2.28; even: (2 - 0.72 - (1 - 0.5)) / 2 = 0.39.
    assert (split.shift.lo, split.shift.hi) == pytest.approx((-0.5, 1.28))
    assert (split.proposed, split.even) == (0.0, 0.39)
    # The back takes the length: it may be 1.28 shorter. With the zero anew: 0.5 + 1.28 shorter.
    assert split.length_as_set.lo == pytest.approx(-1.28)
    assert split.length_at_best.lo == pytest.approx(-1.78)


def test_on_a_stop_the_front_allowance_follows_the_length() -> None:
    """Zero 61 in front of the stop: a blank of 63 stands out by 2, one of 66 by 5, and 1.5 less
    where part zero is moved 1.5 away from the chuck. Touched, the face stays where it is."""
    stop = split_of(job_of({"way": "stop", "from_stop": 61.0}, ON_STOP))
    assert stop.front.allowance == pytest.approx(2.0)
    assert stop.front_at(66.0, 0.0) == pytest.approx(5.0)
    assert stop.front_at(66.0, -1.5) == pytest.approx(3.5)
    touched = split_of(job_of(TOUCH, ON_STOP))
    assert touched.front_at(66.0, -0.5) == pytest.approx(0.5)


def test_a_sum_in_inches() -> None:
    """3.350 = 0.025 + 3.300 + 0.025, the trade's usual sum. Front: 0.002 + 0.002 to cut = 0.004;
    back: saw 0.010 + 0.002 + 0.002 = 0.014."""
    zero = {"way": "touch", "face_allowance": 0.025, "error": 0.002}
    job = job_of(
        zero,
        {"way": "finished-on-stop"},
        units="inch",
        finished=3.3,
        size=1.75,
        length=3.35,
        length_tolerance=[-0.01, 0.01],
    )
    split = split_of(job)
    assert split.back is not None
    assert split.front.need / INCH == pytest.approx(0.004)
    assert split.back.need / INCH == pytest.approx(0.014)
    # From 0.004 to 0.050 - 0.014 = 0.036 at the front.
    assert split.shift.lo / INCH == pytest.approx(0.004 - 0.025)
    assert split.shift.hi / INCH == pytest.approx(0.036 - 0.025)
    # Even: (0.011 - 0.021) / 2 = -0.005, a whole number of 0.0001.
    assert split.even is not None and split.even / INCH == pytest.approx(-0.005)


def test_on_a_stop_the_front_takes_the_saw() -> None:
    """Zero 61 in front of the stop, blank 63 - 0.2: the front needs 0.2 + 0.03 + 0.05, the back
    0.03 + 0.05, whatever the saw does."""
    first = {"way": "stop", "from_stop": 61.0, "error": 0.03}
    split = split_of(job_of(first, {"way": "finished-on-stop"}, length_tolerance=[-0.2, 0.2]))
    assert split.back is not None
    assert (split.front.allowance, split.back.allowance) == pytest.approx((2.0, 1.0))
    assert (split.front.need, split.back.need) == pytest.approx((0.28, 0.08))
    assert split.length_as_set.lo == pytest.approx(-(2.0 - 0.28))  # now the front gets less


def test_an_allowance_that_leaves_the_back_too_little_is_set_anew() -> None:
    """63 = 2.9 + 60 + 0.1: the back needs 0.05 + 0.05 to cut + 0.3 saw = 0.4, the front 0.1. Front
    from 0.1 to 2.6; even at (0.1 - 0.4 - 2.9 + 0.1) / 2 = -1.55, so 1.35 and 1.65."""
    first = {"way": "touch", "face_allowance": 2.9, "error": 0.05}
    split = split_of(job_of(first, {"way": "finished-on-stop"}, length_tolerance=[-0.3, 0]))
    assert split.proposed == -1.55
    assert (split.shift.lo, split.shift.hi) == pytest.approx((-2.8, -0.3))


def test_a_blank_too_short_says_by_how_much() -> None:
    """60.3 leaves 0.3; the ends need 0.1 and 0.4: 0.2 short, so 60.5 long at least."""
    first = {"way": "touch", "face_allowance": 0.1, "error": 0.05}
    job = job_of(first, {"way": "finished-on-stop"}, length=60.3, length_tolerance=[-0.3, 0])
    split = split_of(job)
    assert split.proposed is None and split.even is None
    assert split.short == pytest.approx(0.2)
    assert split.blank + split.length_at_best.lo == pytest.approx(60.5)
    kinds = [(b.kind, b.setup) for b in (split.shift.lo_limit, split.shift.hi_limit) if b]
    assert kinds == [("clean-up", "A"), ("clean-up", "B")]


def test_a_nominal_back_allowance_is_keyed_in_with_what_is_left() -> None:
    """63 = 1 + 60 + 2; moved 0.4 towards the chuck: 1.4 at the front, 1.6 keyed in at the back."""
    job = job_of(TOUCH, {"way": "nominal", "face_allowance": 2.0})
    moved = zero_moved(job, 0.4)
    assert [s.zero.face_allowance for s in moved.setup] == [1.4, 1.6]
    assert split_of(job).shift.hi == pytest.approx(2.0 - 0.05)  # touched itself: no error of A


def test_a_part_turned_at_one_end_has_one_need() -> None:
    split = split_of(job_of(TOUCH))
    assert split.back is None and split.even is None
    assert split.shift.hi == float("inf") and split.shift.lo == pytest.approx(-0.9)


FIRST = st.sampled_from(["stop", "touch", "rule"])
SECOND = st.sampled_from(["finished-on-stop", "measured", "nominal"])
SMALL = st.floats(0.0, 0.3).map(lambda x: round(x, 3))


@st.composite
def jobs(draw: st.DrawFn) -> object:
    way, back = draw(FIRST), draw(SECOND)
    f = draw(st.floats(-0.5, 3.0).map(lambda x: round(x, 3)))
    first = {"way": way, "error": draw(SMALL), "touched": draw(st.sampled_from(TOUCHED))}
    first |= {"from_stop": round(63.0 - f, 3)} if way == "stop" else {"face_allowance": f}
    second = {"way": back, "error": draw(SMALL), "touched": draw(st.sampled_from(TOUCHED))}
    if back == "nominal":
        second["face_allowance"] = round(3.0 - f, 3)
    saw = draw(SMALL)
    return job_of(
        first,
        second,
        length_tolerance=[-saw, draw(SMALL)],
        out_of_square=draw(SMALL),
        skin=draw(SMALL),
    )


TOUCHED = ["turning", "standing"]


@settings(max_examples=80)
@given(job=jobs(), at=st.floats(0.0, 1.0), out=st.floats(0.001, 2.0))
def test_every_split_in_the_range_cleans_up_and_none_outside(
    job: object, at: float, out: float
) -> None:
    split = split_of(job)  # type: ignore[arg-type]

    def least(shift: float) -> float:
        return min(limit.slack for limit in cleanup_limits(zero_moved(job, shift)))  # type: ignore[arg-type]

    if split.shift.width >= 0:
        assert least(split.shift.lo + at * split.shift.width) >= -1e-6
    assert least(split.shift.lo - out) < 0 and least(split.shift.hi + out) < 0


@settings(max_examples=60)
@given(job=jobs(), more=st.floats(-2.0, 2.0))
def test_the_shortest_blank_is_where_a_split_begins_to_be_found(job: object, more: float) -> None:
    split = split_of(job)  # type: ignore[arg-type]
    found = split_of(longer(job, round(more, 3))).shift.width >= -1e-9  # type: ignore[arg-type]
    if abs(more - split.length_at_best.lo) > 0.002:
        assert found == (more > split.length_at_best.lo)


@settings(max_examples=60)
@given(job=jobs())
def test_the_shares_of_a_need_add_up(job: object) -> None:
    split = split_of(job)  # type: ignore[arg-type]
    for end in (split.front, split.back):
        assert end is not None
        assert sum(e.mm for e in end.eaten) == pytest.approx(end.need, abs=1e-6)


NINE = [
    # first way, second way, need in front and at the back: in mm, then in inch
    ("touch", "finished-on-stop", (0.5, 0.72), (0.020, 0.029)),
    ("touch", "measured", (0.5, 0.82), (0.020, 0.033)),
    ("touch", "nominal", (0.5, 0.47), (0.020, 0.019)),
    ("rule", "finished-on-stop", (0.5, 0.82), (0.020, 0.033)),
    ("rule", "measured", (0.5, 0.92), (0.020, 0.037)),
    ("rule", "nominal", (0.5, 0.47), (0.020, 0.019)),
    ("stop", "finished-on-stop", (0.7, 0.52), (0.028, 0.021)),
    ("stop", "measured", (0.7, 0.62), (0.028, 0.025)),
    ("stop", "nominal", (0.7, 0.47), (0.028, 0.019)),
]


def both_ends(first: str, second: str, units: str) -> Split:
    """63 = 1.2 + 60 + 1.8 mm, or 3.35 = 0.05 + 3.25 + 0.05 in, with the bounds of the sums."""
    metric = units == "mm"
    saw, lean, skin, e1, e2 = (
        (0.2, 0.1, 0.3, 0.05, 0.02) if metric else (0.008, 0.004, 0.012, 0.002, 0.001)
    )
    long, finished, f, b = (63.0, 60.0, 1.2, 1.8) if metric else (3.35, 3.25, 0.05, 0.05)
    one: dict[str, object] = {"way": first, "error": e1}
    one |= {"from_stop": round(long - f, 4)} if first == "stop" else {"face_allowance": f}
    two: dict[str, object] = {"way": second, "error": e2}
    two |= {"face_allowance": b} if second == "nominal" else {}
    return split_of(
        job_of(
            one,
            two,
            units=units,
            finished=finished,
            size=40.0 if metric else 1.75,
            length=long,
            length_tolerance=[-saw, saw],
            out_of_square=lean,
            skin=skin,
        )
    )


@pytest.mark.parametrize(("first", "second", "metric", "inch"), NINE)
def test_needs_by_each_way_at_each_end(
    first: str, second: str, metric: tuple[float, float], inch: tuple[float, float]
) -> None:
    """Saw 0.2, lean 0.1, skin 0.3, zero A 0.05, zero B 0.02, and 0.05 to cut (inch: .008, .004,
    .012, .002, .001 and .002).

    Front, touched or by rule: zero A + lean + skin + cut = 0.5; on a stop the saw too: 0.7.
    Back, touched and turned onto the stop: saw + lean + skin + zero A + zero B + cut = 0.72; by
    rule the spot touched may lie a lean under the highest: 0.82; on a stop the back knows no saw:
    0.52. Measured at a spot that lies a lean lower than the one touched: 0.1 more than on the stop.
    Nominal, the back is touched itself: zero B + lean + skin + cut = 0.47."""
    for units, wanted, scale in (("mm", metric, 1.0), ("inch", inch, INCH)):
        split = both_ends(first, second, units)
        assert split.back is not None
        needs = (split.front.need / scale, split.back.need / scale)
        assert needs == pytest.approx(wanted, abs=2e-6), units


@pytest.mark.parametrize(("first", "second"), [row[:2] for row in NINE])
def test_needs_hold_over_blanks_drawn_at_random(first: str, second: str) -> None:
    """Blanks sawn, leaning, set and turned round as it happens at the machine, without the sums of
    the placing: no end ever has less than its need says, and some come near to it."""
    f, b, long, finished = 1.2, 1.8, 63.0, 60.0
    saw, lean, skin, e1, e2, cut = 0.2, 0.1, 0.3, 0.05, 0.02, 0.05
    split = both_ends(first, second, "mm")
    chance = random.Random(7)

    def either(bound: float) -> float:
        return chance.choice((-bound, bound, chance.uniform(-bound, bound)))

    fronts, backs = [], []
    for _ in range(20_000):
        # Faces as planes over the diameter: z of two opposite spots of the front, and of the back;
        # the lengths between the faces at both spots lie within the saw's tolerance.
        front = [0.0, -chance.choice((0.0, lean, chance.uniform(0, lean)))]
        length = long + either(saw)
        tilt = chance.choice((-1, 1)) * chance.choice((0.0, lean, chance.uniform(0, lean)))
        back = [-length, -length + tilt]
        if abs(front[1] - back[1] - long) > saw:
            continue
        if first == "stop":
            zero = min(back) + long - f + either(e1)  # counted from what stands on the stop
        elif first == "touch":
            zero = max(front) - f + either(e1)  # turning: the highest spot is met
        else:
            zero = chance.choice(front) - f + either(e1)  # standing: either spot
        fronts.append(min(front) - zero)
        # Turned round: how far each spot of the raw back stands out from the finished face.
        out = [zero - z for z in back]
        if second == "finished-on-stop":
            end = finished + either(e2)
        elif second == "nominal":
            end = max(out) - b + either(e2)
        else:
            end = max(out) - (chance.choice(out) - finished) + either(e2)
        backs.append(min(out) - end)
    assert split.back is not None
    least_front = split.front.allowance - (split.front.need - cut - skin)
    least_back = split.back.allowance - (split.back.need - cut - skin)
    assert min(fronts) >= least_front - ROUNDING
    assert min(backs) >= least_back - ROUNDING
    # The placing lets length and lean be at their worst at once, which one blank cannot be.
    assert min(fronts) <= least_front + lean + 0.01 and min(backs) <= least_back + 2 * lean + 0.01


def test_limits_that_no_shift_helps_leave_nothing() -> None:
    fixed = Limit("air", "A", -0.1, 1.0, 0.0)
    assert shift_range([fixed]).width < 0
    assert length_range_at_best([fixed]).lo == pytest.approx(0.1)
