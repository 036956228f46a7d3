from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reading import EXAMPLES, proved_example, stumbles

from standclear.drawing.maps.length_budget import Stations, held_along, length_budget
from standclear.drawing.shapes import Drawing, Group, Line, Text
from standclear.job.models import Job
from standclear.plan.grip.grip import Grip, grip_of
from standclear.plan.setting.split import Split, split_of


@pytest.fixture(scope="module")
def pin() -> tuple[Job, Split, tuple[Grip, ...]]:
    held, proof = proved_example("demo-pin")
    job = held.files.job
    return job, split_of(job), grip_of(held, job, proof)


def words(drawing: Drawing) -> list[str]:
    return [s.string for s in drawing.leaves if isinstance(s, Text)]


def test_every_part_of_the_length_is_dimensioned(
    pin: tuple[Job, Split, tuple[Grip, ...]],
) -> None:
    # 83 = 2 + 79 + 2. Front: leaning 0.2, touching 0.05, a cut 0.05; back: saw 0.2 besides.
    said = words(length_budget(*pin, kerf=2.5))
    wanted = {"front 2.0", "finished 79.0", "back 2.0", "saw 2.5", "blank 83.0"}
    assert wanted <= set(said)
    assert {"needs 0.3", "to spare 1.7", "needs 0.5", "to spare 1.5"} <= set(said)
    assert not any(w.startswith("saw") for w in words(length_budget(*pin)))


def test_the_spans_stand_in_order_and_at_their_scales(
    pin: tuple[Job, Split, tuple[Grip, ...]],
) -> None:
    drawing = length_budget(*pin, kerf=2.5)
    spans = {}
    for shape in drawing.shapes:
        for group in getattr(shape, "shapes", ()):
            if isinstance(group, Group) and group.part == "span":
                (line,) = group.shapes
                assert isinstance(line, Line)
                xs = [x for x, _ in line.points]
                spans[dict(group.data)["name"]] = (min(xs), max(xs))
    assert list(spans) == ["front", "finished", "back", "saw"]
    assert all(a[1] == pytest.approx(b[0]) for a, b in pairwise(spans.values()))
    wide = {name: high - low for name, (low, high) in spans.items()}
    assert wide["front"] / 2.0 == pytest.approx(wide["back"] / 2.0)
    assert wide["saw"] / 2.5 == pytest.approx(wide["front"] / 2.0)
    said = next(w for w in words(drawing) if w.startswith("(allowances"))
    assert said == f"(allowances {wide['front'] / 2.0:g}:1, part {wide['finished'] / 79.0:g}:1)"


def test_the_jaws_stand_where_they_hold(pin: tuple[Job, Split, tuple[Grip, ...]]) -> None:
    # Front end: the jaws' front lies at Z-57, so 59 behind the raw face; the stop is 83 behind it
    # and the blank may be 0.2 short. Back end: their front lies at Z-39, the back's finished face
    # 81 behind the front's raw one: they hold from 42 towards the front.
    job, split, (front, back) = pin
    low, high = held_along(job, split, front)
    assert low == pytest.approx(59.0, abs=0.3)
    assert high <= 83.0
    low, high = held_along(job, split, back)
    assert high == pytest.approx(42.0, abs=0.3)
    assert high - low == pytest.approx(back.length.lo)


def test_what_an_end_lacks_is_said(pin: tuple[Job, Split, tuple[Grip, ...]]) -> None:
    job, _, grips = pin
    # 81.3 long, the front as stated: the back has 0.3 and needs 0.5.
    short = job.model_copy(update={"blank": job.blank.model_copy(update={"length": 81.3})})
    drawing = length_budget(short, split_of(short), grips)
    assert "short by 0.2" in words(drawing)
    assert stumbles(drawing) == []


def test_bounds_that_disagree_are_said(pin: tuple[Job, Split, tuple[Grip, ...]]) -> None:
    job, split, grips = pin
    none = replace(split, shift=replace(split.shift, lo=0.4, hi=0.1))
    said = words(length_budget(job, none, grips))
    assert "No front allowance serves both ends: they disagree by 0.3 mm." in said


@given(st.lists(st.floats(0.0, 50.0), min_size=2, max_size=5), st.floats(0, 1))
def test_a_length_lies_between_its_stations_in_proportion(steps: list[float], share: float) -> None:
    lengths = [0.0]
    for step in steps:
        lengths.append(lengths[-1] + step)
    paper = [10.0 + 3.0 * length for length in lengths]
    stations = Stations(tuple(lengths), tuple(paper))
    at = share * lengths[-1]
    assert stations.at(at) == pytest.approx(10.0 + 3.0 * at)


@pytest.mark.parametrize("name", ["parted-collar", "inch-flange"])
def test_a_parted_job_and_one_in_inches_read_well(name: str) -> None:
    assert name in EXAMPLES
    held, proof = proved_example(name)
    job = held.files.job
    drawing = length_budget(job, split_of(job), grip_of(held, job, proof), kerf=2.0)
    assert stumbles(drawing) == []
    word = "rest of the bar" if name == "parted-collar" else "back"
    assert any(w.startswith(word) for w in words(drawing))
