"""A job spoilt anywhere is a job or a list of faults, never a traceback."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from job_cases import SOUND

from standclear.errors import JobError
from standclear.job.read import read_job
from standclear.job.toml_text import parse_toml

plain = st.one_of(
    st.integers(),
    st.floats(),
    st.booleans(),
    st.text(max_size=5),
    st.dates(),
    st.sampled_from(["job.toml", "one.nc", "step", "stop", "stick-out", "touch", 10**400]),
)
values = st.recursive(
    plain,
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(
            st.sampled_from(["station", "drill", "outline", "points", "cutting", "way", "on", "x"]),
            inner,
            max_size=3,
        )
    ),
    max_leaves=8,
)
places = st.sampled_from(
    [
        "units",
        "blank",
        "blank.size",
        "blank.bore",
        "blank.shape",
        "blank.size_tolerance",
        "part",
        "part.outline",
        "part.sizes",
        "machine",
        "machine.control",
        "tools",
        "tools.0",
        "tools.1",
        "tools.0.outline",
        "jaws",
        "jaws.profile",
        "jaws.steps",
        "setup",
        "setup.0",
        "setup.1.zero",
        "setup.1.zero.way",
        "setup.0.seat",
        "setup.0.jaws",
        "setup.0.program",
        "setup.1.name",
    ]
)


@settings(max_examples=200, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(place=places, value=values, other=places, bar=st.none() | st.floats() | st.integers())
def test_no_value_anywhere_brings_more_than_faults(
    written: Any, monkeypatch: pytest.MonkeyPatch, place: str, value: Any, other: str, bar: Any
) -> None:
    """Raw tables spoilt in two places, as TOML would give them: a job or a JobError."""
    folder = written()
    raw = copy.deepcopy(SOUND)
    for path in (place, other):
        *way, last = path.split(".")
        table: Any = raw
        for part in way:
            step = int(part) if part.isdigit() else part
            try:
                table = table[step]
            except (KeyError, IndexError, TypeError):
                table = {}
        if isinstance(table, dict):
            table[last] = copy.deepcopy(value)
        elif isinstance(table, list) and last.isdigit() and int(last) < len(table):
            table[int(last)] = copy.deepcopy(value)
    monkeypatch.setattr("standclear.job.read.parse_toml", lambda data, file: raw)
    try:
        read_job(folder, bar=bar, face=bar)
    except JobError as error:
        assert all(fault.file and fault.found and fault.accepted for fault in error.faults)
    finally:
        monkeypatch.setattr("standclear.job.read.parse_toml", parse_toml)
