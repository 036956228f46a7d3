"""What is fuzzed: a program's text and a job file's text, each to the end of what reads it."""

from __future__ import annotations

import tempfile
from pathlib import Path

from standclear.blocks.read import bytes_of, read_program
from standclear.errors import StandclearError
from standclear.job.models import Job
from standclear.job.read import read_job
from standclear.motions.trace import trace_setup

_OPEN_JOB = Job.model_validate(
    {
        "units": "mm",
        "blank": {"size": 50.0, "length": 80.0},
        "part": {"length": 75.0},
        "machine": {"home": "beyond", "rapid_path": "unknown", "control": {}},
        "tools": [
            {"station": 1, "insert": "CNMG120408", "holder": "PCLNR2525M12"},
            {"station": 2, "grooving": {"width": 3.0, "reach": 20.0}},
            {"station": 3, "drill": {"diameter": 12.0, "length": 70.0}},
        ],
        "setup": [
            {"name": "front", "program": "p.nc", "zero": {"way": "touch"}, "end": {"stop": 1}},
            {
                "name": "back",
                "program": "p.nc",
                "zero": {"way": "measured"},
                "start": {"stop": 1},
                "offset": "G55",
            },
        ],
    }
)
_STATED_JOB = _OPEN_JOB.model_copy(
    update={
        "machine": _OPEN_JOB.machine.model_copy(  # type: ignore[union-attr]
            update={
                "control": _OPEN_JOB.machine.control.model_copy(  # type: ignore[union-attr]
                    update={
                        "cycle_words": "cycles-g90",
                        "number_without_point": "increment",
                        "cycle_number_without_point": "increment",
                        "block_delete": "off",
                    }
                )
            }
        )
    }
)


def program(data: bytes) -> None:
    """Any bytes are blocks that join to the same bytes, and are traced or reported."""
    read = read_program(data, "p.nc")
    assert bytes_of(read) == data
    for job in (_OPEN_JOB, _STATED_JOB):
        for index in range(len(job.setup)):
            for trace in trace_setup(read, job, index):
                assert all(finding.message for finding in trace.findings)


def job(data: bytes) -> None:
    """Any bytes are a job or a refusal with file and key."""
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "job.toml").write_bytes(data)
        (Path(folder) / "p.nc").write_bytes(b"G21\nM30\n")
        try:
            read_job(folder)
        except StandclearError as refusal:
            assert str(refusal)


TARGETS = {"program": program, "job": job}
