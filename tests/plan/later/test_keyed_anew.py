"""What is to be keyed in anew where set-ups, jaws, zeros or tools are others than they were."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from standclear.job.models import Job, Tool
from standclear.job.read import read_job
from standclear.plan.later.keyed_anew import key_in

PIN = Path(__file__).parents[3] / "examples" / "demo-pin"


@pytest.fixture
def pin() -> Job:
    return read_job(PIN).job


def with_setup(job: Job, index: int, **changes: Any) -> Job:
    setups = list(job.setup)
    setups[index] = setups[index].model_copy(update=changes)
    return job.model_copy(update={"setup": setups})


def with_tools(job: Job, *tools: Tool) -> Job:
    return job.model_copy(update={"tools": list(tools)})


def test_other_set_ups_ask_for_every_zero_anew(pin: Job) -> None:
    """Of set-ups that are others nothing is counted from what was keyed in: no zero, no jaws."""
    other = with_setup(with_setup(pin, 0, name="long end"), 1, grip_diameter=44.0)
    found = key_in(pin, other)
    assert found.other_setups
    assert found.zeros == () and found.values == ()
    same = key_in(pin, with_setup(pin, 1, grip_diameter=44.0))
    assert not same.other_setups
    assert [each.zero.setup for each in same.zeros] == ["front end", "back end"]
    assert [(v.old, v.new) for v in same.values] == [(45.0, 44.0)]


def test_a_zero_set_by_another_way_is_told_with_the_way_before(pin: Job) -> None:
    """Finished face on the stop before, measured now: 81 - 79 is keyed in, and would have been."""
    zero = pin.setup[1].zero.model_copy(update={"way": "measured"})
    back = key_in(pin, with_setup(pin, 1, zero=zero)).zeros[1]
    assert back.way_before == "finished-on-stop" and back.zero.in_use.way == "measured"
    assert back.keyed_before == pytest.approx(2.0)
    again = key_in(with_setup(pin, 1, zero=zero), pin).zeros[1]
    assert again.way_before == "measured"


@pytest.mark.parametrize("which", ["before", "now"])
@pytest.mark.parametrize("gone", ["jaws", "chuck"])
def test_jaws_whose_stop_is_not_known_leave_the_offset_open(
    pin: Job, which: str, gone: str
) -> None:
    """Without jaws, or without their chuck, nobody can tell how far the stop has moved, whichever
    of the two jobs lacks them; the old value of the offset is told all the same."""
    known = with_setup(pin, 1, offset_z=-400.0)
    jaws = known.setup[1].jaws
    assert not isinstance(jaws, str) and jaws is not None
    bare = None if gone == "jaws" else jaws.model_copy(update={"chuck": None})
    lacking = with_setup(known, 1, jaws=bare)
    before, now = (lacking, known) if which == "before" else (known, lacking)
    back = key_in(before, now).zeros[1]
    assert (back.moved, back.old, back.new) == (None, -400.0, None)


def test_tools_are_told_station_by_station_and_offset_by_offset(pin: Job) -> None:
    """Two tools of one station are told apart by their offsets; a station without is told too."""
    one, two = pin.tools
    assert isinstance(one, Tool) and isinstance(two, Tool)
    left = one.model_copy(update={"station": 3, "offset": 3, "name": "left"})
    right = left.model_copy(update={"offset": 13, "name": "right"})
    worn = right.model_copy(update={"greatest_depth": 0.5})
    bare = two.model_copy(update={"station": 3, "offset": None, "name": "bare"})
    fresh = two.model_copy(update={"offset": 20})
    before = with_tools(pin, right, bare, left)
    now = with_tools(pin, worn, left.model_copy(update={"greatest_depth": 0.6}), bare, fresh)
    found = [(t.station, t.name, t.state, t.what) for t in key_in(before, now).tools]
    assert found == [
        (2, two.name, "new", ()),
        (3, "left", "changed", ("greatest_depth",)),
        (3, "right", "changed", ("greatest_depth",)),
    ]
    assert [(t.station, t.state) for t in key_in(now, before).tools] == [
        (2, "gone"),
        (3, "changed"),
        (3, "changed"),
    ]
    everything = [(t.station, t.state) for t in key_in(with_tools(pin, one), with_tools(pin)).tools]
    assert everything == [(1, "gone")]
