"""What a sound job becomes: millimetres, objects in place of names, hashes, questions."""

from __future__ import annotations

import hashlib
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from job_cases import fault_lines

from standclear.errors import JobError
from standclear.findings.finding import Severity
from standclear.job.models import Jaws, Machine
from standclear.job.read import read_job
from standclear.job.units import millimetres
from standclear.proof.held import hold

INCH = 25.4
"""Millimetres, exact by definition."""

IN_INCHES: dict[str, Any] = {
    "units": "inch",
    "blank": {
        "size": 1.85,
        "size_tolerance": [-0.004, 0.0],
        "length": 3.35,
        "run_out": 0.005,
    },
    "part": {
        "length": 3.3,
        "outline": [[0, 1.5], [-3.3, 1.5]],
        "sizes": [{"diameter": 1.5, "at_z": -0.5, "tolerance": [-0.002, 0.002]}],
    },
    "machine": {
        "rapid_path": "bent",
        "rapid_rates": {"x": 400.0, "z": 500.0},
        "spindle_limit": 3000.0,
        "control": {"roughing_depth": 0.08},
    },
    "tools.1": {"station": 3, "drill": {"diameter": 0.5, "length": 3.0}, "wear": 0.001},
    "jaws.profile": [[-0.5, 0.0], [0.75, 0.0], [0.75, 1.0]],
    "jaws.steps": [0.25],
    "setup.0.zero": {"way": "touch", "face_allowance": 0.025, "error": 0.001},
    "setup.0.margin": {"x": 0.1, "jaws": 0.04},
}


def test_every_length_of_an_inch_job_is_turned_into_millimetres(written: Any) -> None:
    job = read_job(written(IN_INCHES)).job
    assert job.units == "inch"
    assert job.blank.size == 46.99  # 1.85 in, exactly
    assert job.blank.size_tolerance == (-0.1016, 0.0)
    assert (job.blank.length, job.blank.run_out) == (85.09, 0.127)
    assert job.part.outline == [(0.0, 38.1), (-83.82, 38.1)]
    assert (job.part.sizes[0].at_z, job.part.sizes[0].tolerance) == (-12.7, (-0.0508, 0.0508))
    assert isinstance(job.machine, Machine) and job.machine.rapid_rates
    assert (job.machine.rapid_rates.x, job.machine.rapid_rates.z) == (10160.0, 12700.0)
    assert job.machine.control.roughing_depth == 2.032
    drill = job.tools[1].drill  # type: ignore[union-attr]
    assert (drill.diameter, drill.length, drill.point_angle) == (12.7, 76.2, 118.0)
    assert isinstance(job.jaws, Jaws)
    assert (job.jaws.profile[2], job.jaws.steps) == ((19.05, 25.4), [6.35])
    assert (job.setup[0].zero.face_allowance, job.setup[0].zero.error) == (0.635, 0.0254)
    assert (job.setup[0].margin.x, job.setup[0].margin.jaws) == (2.54, 1.016)


def test_counts_angles_and_speeds_are_left_alone(written: Any) -> None:
    job = read_job(written({**IN_INCHES, "setup.0.falls_at": [4], "setup.0.seat.step": 0})).job
    assert isinstance(job.machine, Machine)
    assert job.machine.spindle_limit == 3000.0
    assert job.setup[0].falls_at == [4]
    assert job.tools[1].station == 3  # type: ignore[union-attr]


def test_a_key_left_out_keeps_its_millimetres_and_the_increment_its_ten_thousandth(
    written: Any,
) -> None:
    """Least increments 0.001 mm and 0.0001 in: common practice, no source."""
    inch = read_job(written(IN_INCHES)).job.machine
    assert isinstance(inch, Machine)
    assert inch.increment == 0.00254
    assert inch.control.arc_disagreement == 0.01
    metric = read_job(written()).job.machine
    assert isinstance(metric, Machine)
    assert metric.increment == 0.001
    stated = read_job(written({**IN_INCHES, "machine.increment": 0.001})).job.machine
    assert isinstance(stated, Machine)
    assert stated.increment == 0.0254


@given(st.decimals(-400, 400, places=4))
def test_the_product_is_rounded_once(inches: Any) -> None:
    """The nearest float of the exact product, as exact fractions give it."""
    assert millimetres(float(inches), "inch") == float(Fraction(inches) * Fraction(254, 10))
    assert millimetres(float(inches), "mm") == float(inches)


def test_a_metric_file_may_serve_an_inch_job_and_the_other_way_round(written: Any) -> None:
    shared = {
        "tools_toml": 'units = "mm"\n[[tools]]\nstation = 2\nwear = 0.05\n'
        "drill = {diameter = 12, length = 80}",
        "soft_toml": 'units = "inch"\nprofile = [[0, 0], [1, 0], [1, 1]]',
        "lathe_toml": "safe_x = 8.0",
    }
    names = {"tools": "tools.toml", "jaws": "soft.toml", "machine": "lathe.toml"}
    job = read_job(written(_without(IN_INCHES, names) | names, **shared)).job
    assert job.tools[0].drill.diameter == 12.0  # type: ignore[union-attr]
    assert job.tools[0].wear == 0.05  # type: ignore[union-attr]
    assert type(job.jaws) is Jaws and job.jaws.profile[1] == (25.4, 0.0)
    assert type(job.machine) is Machine and job.machine.safe_x == pytest.approx(8 * INCH)
    assert job.machine.increment == 0.00254


def _without(changes: dict[str, Any], names: dict[str, str]) -> dict[str, Any]:
    return {key: value for key, value in changes.items() if key.split(".")[0] not in names}


def test_inline_and_shared_give_the_same_job(written: Any) -> None:
    inline = read_job(written()).job
    shared = read_job(
        written(
            {"jaws": "soft.toml", "setup.0.jaws": "soft.toml"},
            soft_toml="profile = [[-12, 0], [18, 0], [18, 20], [-12, 36]]\nsteps = [6]",
        )
    ).job
    assert shared == inline


@pytest.mark.parametrize(
    "shape",
    [
        {"drill": {"diameter": 12.0, "length": 90.0}},
        {"grooving": {"width": 3.0, "reach": 20.0}},
        {"outline": {"points": [[0, 0], [5, 0], [5, 5]], "cutting": [0]}},
        {"insert": "CNMG120408", "holder": "PCLNR2525M12"},
    ],
)
def test_every_kind_of_tool_may_bring_its_measured_holder(
    written: Any, shape: dict[str, Any]
) -> None:
    holder = [[0.2, 2.0], [2.8, 2.0], [2.8, 60.0]]
    folder = written({"tools.1": {"station": 3, **shape, "holder_outline": holder}})
    assert read_job(folder).job.tools[1].holder_outline == [tuple(point) for point in holder]


def test_set_ups_carry_their_own_jaws_or_the_jobs(written: Any) -> None:
    job = read_job(written({"setup.1.jaws": {"profile": [[0, 0], [9, 0], [9, 9]]}})).job
    assert job.setup[0].jaws == job.jaws
    assert isinstance(job.setup[1].jaws, Jaws) and job.setup[1].jaws.profile[1] == (9.0, 0.0)


def test_every_file_is_kept_with_its_hash(written: Any) -> None:
    folder = written(
        {"machine": "lathe.toml", "setup.1.program": "one.nc"}, lathe_toml="", one_nc=b"O1\r\n%\x80"
    )
    files = read_job(folder)
    assert files.programs == {"one.nc": b"O1\r\n%\x80"}
    assert set(files.files) == {"job.toml", "lathe.toml", "one.nc"}
    for name, digest in files.files.items():
        assert digest == hashlib.sha256((folder / name).read_bytes()).hexdigest()
    assert read_job(folder / "job.toml").job == files.job
    assert (files.folder, files.path) == (folder, folder / "job.toml")


def test_values_given_beside_the_job_stand_in_for_its_own_and_leave_the_file_alone(
    written: Any,
) -> None:
    folder = written(IN_INCHES)
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    job = read_job(folder, bar=2.0, length=3.4, face=0.1).job
    assert (job.blank.size, job.blank.length) == (50.8, 86.36)
    assert job.setup[0].zero.face_allowance == 2.54
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before


def test_a_face_allowance_on_a_stop_moves_the_zero(written: Any) -> None:
    folder = written({"setup.0.zero": {"way": "stop", "from_stop": 71.0}})
    assert read_job(folder, face=1.6).job.setup[0].zero.from_stop == 70.4  # 72.0 - 1.6
    longer = read_job(folder, length=75.0, face=1.6).job.setup[0].zero
    assert longer.from_stop == 73.4
    assert read_job(folder, length=75.0).job.setup[0].zero.from_stop == 71.0


def test_a_fault_in_a_value_given_beside_the_job_says_so(written: Any) -> None:
    assert fault_lines(written(), bar=-52.0) == [
        "job.toml: blank.size is -52 (bar given in place of the file's value): "
        "give a number greater than 0"
    ]


ODD: list[tuple[dict[str, Any], str]] = [
    ({"blank.size": 1.5}, "The bar measures {size}: is that the size?"),
    ({"blank.length": 5000.0}, "The blank is {length} long: is that the length?"),
    (
        {"blank.size_tolerance": [0.0, 60.0]},
        "The tolerance of the size spans {spread} on {value}: is that meant?",
    ),
    ({"blank.run_out": 5.0}, "blank.run_out is {bound}, more than a tenth of the bar"),
    ({"blank.length": 69.0}, "The part is {part} long and the blank only {blank}."),
    (
        {"part.outline": [[0, 50], [-70, 50]]},
        "The part measures {part} at its thickest and the bar only {bar}.",
    ),
    ({"part.least_neck": 46.0}, "The least neck, {neck}, is thicker than the bar."),
    ({"contact_limit": 0.5}, "The contact limit is {limit}"),
    ({"tools.1.wear": 3.0}, "The wear bound of T3 is {wear}"),
    ({"setup.0.zero.face_allowance": 80.0}, "The face allowance, {face}, is more than the whole"),
    ({"setup.0.zero.face_allowance": 11.0}, "The face allowance is {face}: is that much"),
    ({"setup.0.zero.face_allowance": -1.0}, "The face allowance is {face}: part zero lies in"),
    (
        {"setup.0.zero": {"way": "stop", "from_stop": 73.0}},
        "Part zero lies {zero} from the seat, and the blank is {blank} long.",
    ),
    ({"setup.1.zero.error": 2.5}, "The error of the zero is {error} either way"),
    ({"setup.0.zero.from_stop": 71.0}, "setup[0].zero.from_stop is given and the way touch does"),
    (
        {"setup.1.program": "one.nc", "setup.1.start": {"stop": 1}},
        "one runs to the end of one.nc, and two starts in the middle of it",
    ),
]


@pytest.mark.parametrize(("changes", "asked"), ODD, ids=[asked for _, asked in ODD])
def test_odd_values_are_asked_about_and_not_refused(
    written: Any, changes: dict[str, Any], asked: str
) -> None:
    (question,) = read_job(written(changes)).questions
    assert question.message.startswith(asked)
    assert (question.code, question.severity) == ("blank-odd", Severity.NOTE)
    names = {measure.name: measure.value for measure in question.measures}
    assert question.message.format(**names)


def test_questions_measure_in_millimetres_whatever_the_unit(written: Any) -> None:
    folder: Path = written(IN_INCHES)
    (question,) = read_job(folder, length=60.0).questions
    assert question.measures[0].value == pytest.approx(60 * INCH)


def test_a_job_to_plan_may_lack_what_a_proof_needs(tmp_path: Path) -> None:
    file = tmp_path / "job.toml"
    file.write_text(
        'units = "inch"\nblank = { size = 1.75, length = 3.35 }\npart = { length = 3.3 }\n'
    )
    with pytest.raises(JobError) as caught:
        read_job(file)
    assert [fault.key for fault in caught.value.faults] == ["machine", "tools", "setup"]
    files = read_job(file, to_plan=True)
    assert (files.job.setup, files.job.tools, files.programs) == ([], [], {})
    with pytest.raises(JobError, match="setup is missing: a proof needs it"):
        hold(files)


def test_a_set_up_without_a_program_is_refused_but_to_plan(written: Any) -> None:
    folder = written({"setup.1": {"name": "two", "zero": {"way": "finished-on-stop"}}})
    with pytest.raises(JobError) as caught:
        read_job(folder)
    assert [str(fault) for fault in caught.value.faults] == [
        "job.toml: setup[1].program is missing: give text that is not empty"
    ]
    files = read_job(folder, to_plan=True)
    assert list(files.programs) == ["one.nc"]
    with pytest.raises(JobError, match=r"setup\[1\]\.program is missing"):
        hold(files)


def test_an_empty_name_of_a_program_is_no_way_to_leave_it_out(written: Any) -> None:
    with pytest.raises(JobError, match=r'setup\[1\]\.program is ""'):
        read_job(written({"setup.1.program": ""}), to_plan=True)
