"""A run along its time: nothing is lost or counted twice, and joining spans keeps the whole."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.proof.proof_shop import files_of

import standclear
from standclear.estimate.along import Along, Doing, along_run, merged
from standclear.estimate.clock import clock_of
from standclear.estimate.cuts import cuts_of
from standclear.estimate.job_time import job_time
from standclear.estimate.materials import material_of
from standclear.estimate.taken import all_taken


def test_spans_add_up_to_the_time_of_each_kind() -> None:
    files = files_of(
        "G00 X36. Z3.\nG01 Z-20. F0.25\nG00 X44.\nZ3.\nX32.\nG01 Z-10.\nG00 X44.\nG28 U0 W0\n",
        blank='size = 40.0\nlength = 60.0\nmaterial = "C45"',
        machine='home = "beyond"\nrapid_path = "straight"\n'
        "rapid_rates = { x = 6000.0, z = 12000.0 }\n",
    )
    held = standclear.hold(files)
    proof = standclear.judge(held, files.job)
    taken = all_taken(held, files.job, proof)
    (tool,) = job_time(files.job, taken).setups[0].tools
    one = taken[0][0]
    cuts = cuts_of(one, proof.setups[0], material_of("C45"))
    along = along_run(one, cuts, clock_of(files.job))
    span = along.end - along.begin
    assert span[along.doing == Doing.METAL].sum() == pytest.approx(tool.metal.hi)
    assert span[along.doing == Doing.AIR].sum() == pytest.approx(tool.air.hi)
    assert span[along.doing == Doing.RAPID].sum() == pytest.approx(tool.rapid.hi)
    assert along.begin[1:] == pytest.approx(along.end[:-1])
    assert np.nanmax(along.power[1]) == pytest.approx(float(np.nanmax(cuts.power[1])))
    assert np.isnan(along.power[1][along.doing != Doing.METAL]).all()


@given(
    st.lists(
        st.tuples(
            st.floats(0.01, 5), st.sampled_from(list(Doing)), st.integers(0, 2), st.floats(0.1, 9)
        ),
        min_size=1,
        max_size=40,
    ),
    st.floats(0.001, 3),
)
def test_joined_spans_cover_the_same_time_and_keep_the_most_power(
    spans: list[tuple[float, Doing, int, float]], least: float
) -> None:
    end = np.cumsum([s for s, *_ in spans])
    begin = np.append(0.0, end[:-1])
    power = np.array([p if d == Doing.METAL else np.nan for _, d, _, p in spans])
    along = Along(
        begin,
        end,
        np.array([d for _, d, *_ in spans]),
        np.array([t for _, _, t, _ in spans]),
        (power / 2, power),
    )
    joined = merged(along, least)
    assert joined.begin[0] == 0.0
    assert joined.end[-1] == pytest.approx(end[-1])
    assert joined.begin[1:] == pytest.approx(joined.end[:-1])
    if np.isfinite(power).any():
        assert np.nanmax(joined.power[1]) == np.nanmax(power)
    for tool in range(3):
        assert (joined.tool == tool).any() == (along.tool == tool).any()
