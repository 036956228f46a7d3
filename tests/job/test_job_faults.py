"""Every fault of a job: where it is, what was found, what is accepted."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from job_cases import fault_lines, faults_of

from standclear.job.read import read_job

DRILL = {"diameter": 12.0, "length": 90.0}
TRIANGLE = {"points": [[0, 0], [5, 0], [5, 5]], "cutting": [0]}
WAYS_FIRST = 'before the part is turned round give "stop", "touch" or "rule"'
WAYS_SECOND = 'once the part is turned round give "finished-on-stop", "measured" or "nominal"'

ONE_FAULT: list[tuple[dict[str, Any], str]] = [
    ({"blank.size": -50}, "blank.size is -50: give a number greater than 0"),
    ({"blank.size": "50"}, 'blank.size is "50": give a number greater than 0'),
    ({"blank.size": True}, "blank.size is true: give a number greater than 0"),
    ({"blank.size": 20000.0}, "blank.size is 20000: give a length below 10 m"),
    ({"blank.length": None}, "blank.length is missing: give a number greater than 0"),
    ({"blank.lenght": 72.0}, "blank.lenght is not a known key: did you mean length?"),
    (
        {"blank.shape": "tube", "blank.bore": "wide"},
        'blank.bore is "wide": give a number greater than 0',
    ),
    ({"part.outline": [[0, 30], [-60, "x"]]}, 'part.outline[1][1] is "x": give a number'),
    ({"titel": "pin"}, "titel is not a known key: did you mean title?"),
    ({"units": "cm"}, 'units is "cm": give "mm" or "inch"'),
    (
        {"machine.xyzzy": 1},
        "machine.xyzzy is not a known key: known here are name, increment, rapid_path, "
        "rapid_rates, rapid_acceleration, rapid_corner, home, second_home, safe_x, safe_z, "
        "spindle_limit, spindle_power, control",
    ),
    (
        {"blank.size_tolerance": [0.1, -0.1]},
        "blank.size_tolerance is [0.1, -0.1]: give two numbers, the lower one first",
    ),
    (
        {"blank.length_tolerance": [-72.0, 0.0]},
        "blank.length_tolerance is [-72, 0]: "
        "the lower deviation must leave something of the length, 72",
    ),
    (
        {"blank.shape": "tube"},
        "blank.bore is missing: give the bore of the tube, a diameter greater than 0",
    ),
    (
        {"blank.shape": "tube", "blank.bore": 45.0},
        "blank.bore is 45: give less than the size, 45",
    ),
    (
        {"blank.shape": "tube", "blank.bore": 44.0, "blank.bore_tolerance": [0.0, 1.0]},
        "blank.bore_tolerance is [0, 1]: "
        "the largest bore, 45, must stay below the smallest size, 45",
    ),
    (
        {"blank.bore": 20.0},
        'blank.bore is 20: leave it out, or give blank.shape as "tube" to use it',
    ),
    (
        {"part.outline": [[0, 30], [-60, 30]]},
        "part.outline[1][0] is -60: give -70, the Z of the back face",
    ),
    (
        {"part.outline": [[-1, 30], [-70, 30]]},
        "part.outline[0][0] is -1: give 0, the Z of the front face",
    ),
    (
        {"part.outline": [[0, 30], [-80, 30], [-70, 40]]},
        "part.outline[1][0] is -80: give a Z on the part, from -70 to 0",
    ),
    (
        {"part.outline": [[0, 30], [-70, -3]]},
        "part.outline[1][1] is -3: give a diameter, 0 or more",
    ),
    (
        {"part.outline": [[0, 30]]},
        "part.outline is [[0, 30]]: give two or more points (z, diameter)",
    ),
    (
        {"part.outline": [[0, 30], [-40, 30], [-40, 20], [-20, 40], [-70, 40]]},
        "part.outline is an outline that crosses or touches itself near [-30, 30]: "
        "give the corners in order",
    ),
    (
        {"part.sizes": [{"diameter": 30, "length": 20, "at_z": -5}]},
        "part.sizes[0].diameter is given together with length: give either diameter or length",
    ),
    (
        {"part.sizes": [{"diameter": 30}]},
        "part.sizes[0].at_z is missing: give the Z at which the diameter is measured",
    ),
    (
        {"part.sizes": [{"diameter": 30, "at_z": 5}]},
        "part.sizes[0].at_z is 5: give a Z on the part, from -70 to 0",
    ),
    (
        {"machine.rapid_path": "bent"},
        "machine.rapid_rates is missing: "
        'give the rates x and z that bent rapids follow, or rapid_path as "unknown"',
    ),
    ({"machine": 3}, "machine is 3: give a table, or the name of a file"),
    (
        {"machine.control": {"cycle_words": "g90"}},
        'machine.control.cycle_words is "g90": give "cycles-g90", "cycles-g77" or "cycles-g20"',
    ),
    (
        {"tools.0": {"station": 1}},
        "tools.T1 is without a shape: "
        "give insert with holder, outline, grooving, threading, drill or tap",
    ),
    (
        {"tools.1": {"station": 3, "drill": DRILL, "outline": TRIANGLE}},
        "tools.T3 is given by outline and drill: "
        "give insert with holder, outline, grooving, threading, drill or tap: one of them",
    ),
    (
        {"tools.0": {"station": 1, "insert": "CNMG120408"}},
        "tools.T1.holder is missing: give it together with the insert",
    ),
    ({"tools.1.wear": -0.1}, "tools.T3.wear is -0.1: give a number, 0 or more"),
    (
        {"tools.1.drill.point_angle": 190},
        "tools.T3.drill.point_angle is 190: give a number greater than 0 and at most 180",
    ),
    (
        {"tools.1": {"station": 1, "offset": 1, "drill": DRILL}},
        "tools[1] is T1 with offset 1, as tools[0] is: give each pair of station and offset once",
    ),
    (
        {"tools.1": {"station": 3, "outline": {**TRIANGLE, "cutting": [0, 3]}}},
        "tools.T3.outline.cutting[1] is 3: give an edge from 0 to 2",
    ),
    (
        {
            "tools.1": {
                "station": 3,
                "outline": {**TRIANGLE, "points": [[0, 0], [5, 5], [5, 0], [0, 5]]},
            }
        },
        "tools.T3.outline.points is an outline that crosses or touches itself near [2.5, 2.5]: "
        "give the corners in order",
    ),
    (
        {
            "tools.1": {
                "station": 3,
                "outline": {**TRIANGLE, "points": [[0, 0], [5, 0], [5, 5], [0, 0]]},
            }
        },
        "tools.T3.outline.points[3] is the first point again: "
        "leave it out: the outline closes by itself",
    ),
    (
        {"tools.1": {"station": 3, "outline": {**TRIANGLE, "points": [[0, 0], [5, 0]]}}},
        "tools.T3.outline.points is [[0, 0], [5, 0]]: give a list of 3 or more points",
    ),
    (
        {
            "tools.1": {
                "station": 3,
                "outline": {**TRIANGLE, "corners": [{"point": 3, "radius": 1.0}]},
            }
        },
        "tools.T3.outline.corners[0].point is 3: give a point from 0 to 2",
    ),
    (
        {
            "tools.1": {
                "station": 3,
                "outline": {
                    **TRIANGLE,
                    "corners": [{"point": 1, "radius": 1.0}, {"point": 1, "radius": 0.5}],
                },
            }
        },
        "tools.T3.outline.corners[1].point is 1 a second time: give each corner once",
    ),
    (
        {"tools.1": {"station": 3, "grooving": {"width": 3, "reach": 9, "corner_radius": 2}}},
        "tools.T3.grooving.corner_radius is 2: give at most half of the width, 1.5",
    ),
    (
        {"tools.1": {"station": 3, "tap": {"diameter": 10, "hole": 10, "length": 40}}},
        "tools.T3.tap.hole is 10: give less than the diameter, 10",
    ),
    (
        {"jaws.profile": [[0, 0], [10, 10], [10, 0], [0, 10]]},
        "jaws.profile is an outline that crosses or touches itself near [5, 5]: "
        "give the corners in order",
    ),
    (
        {"jaws.profile": [[0, 0], [10, 0], [10, -5]]},
        "jaws.profile is an outline with nothing outside the gripping surface: "
        "give points with h greater than 0",
    ),
    (
        {"setup.0.zero.way": "toch"},
        'setup[0].zero.way is "toch": give "stop", "touch", "rule", '
        '"finished-on-stop", "measured" or "nominal"',
    ),
    (
        {"setup.1.zero.way": "stop", "setup.1.zero.from_stop": 70.0},
        f'setup[1].zero.way is "stop": {WAYS_SECOND}',
    ),
    ({"setup.0.zero.way": "measured"}, f'setup[0].zero.way is "measured": {WAYS_FIRST}'),
    (
        {"setup.0.zero.way": "stop"},
        "setup[0].zero.from_stop is missing: "
        'give how far part zero lies from the seat, as way "stop" needs it',
    ),
    (
        {"setup.0.zero.face_allowance": None},
        "setup[0].zero.face_allowance is missing: "
        'give how far the raw face stands out in front of part zero, as way "touch" needs it',
    ),
    (
        {"setup.0.turned": True},
        "setup[0].turned is true: leave it out: nothing comes before the first set-up",
    ),
    (
        {"setup.1.turned": False, "setup.1.zero": {"way": "touch", "face_allowance": 0.5}},
        'setup[1].zero.way is "touch": where the part is not turned round, give "stop", '
        "or repeat seat, zero and jaws of the set-up before",
    ),
    (
        {"setup.1.offset": "G60"},
        'setup[1].offset is "G60": give a work offset, "G54" to "G59" or such as "G54.1 P3"',
    ),
    (
        {"setup.1.name": "one"},
        'setup[1].name is "one", as that of setup[0]: give each set-up a name of its own',
    ),
    ({"setup.1.start": {}}, "setup[1].start is empty: give one of label, stop and offset"),
    (
        {"setup.1.start": {"stop": 1, "label": 5}},
        "setup[1].start is given by label and stop: give one of label, stop and offset",
    ),
    (
        {"setup.1.start": {"stop": 1, "reached": "search"}},
        "setup[1].start.reached is given without a label: leave it out, or start at a label",
    ),
    (
        {"variables": {"100": 1.0, "50": 2.0}},
        "variables.50 is no common variable: give common variables by number: "
        "100 to 199, 500 to 999",
    ),
    (
        {"subprograms": ["none.nc"]},
        'subprograms[0] is "none.nc", and there is no such file: give the name of a file; it is '
        "looked for beside the job file",
    ),
    (
        {"setup.0.seat": {"on": "step", "step": 1}},
        "setup[0].seat.step is 1: give a step from 0 to 0",
    ),
    (
        {"jaws": None, "setup.0.seat": {"on": "step"}},
        'setup[0].seat.on is "step": give the jaws that have the step',
    ),
    (
        {"jaws.steps": [], "setup.0.seat": {"on": "step"}},
        "setup[0].seat.step is 0: the jaws have no steps",
    ),
    (
        {"setup.0.seat": {"on": "stick-out"}},
        "setup[0].seat.stick_out is missing: give how far the blank stands out of the jaws",
    ),
    (
        {"setup.0.seat": {"on": "stick-out", "stick_out": 80.0}},
        "setup[0].seat.stick_out is 80: give less than the length of the blank, 72",
    ),
    (
        {"setup.1.seat": {"on": "stick-out", "stick_out": 40.0}},
        'setup[1].seat.on is "stick-out": way "finished-on-stop" counts from the seat: '
        'give "stop" or "step"',
    ),
    (
        {"setup.0.on_flats": True},
        "setup[0].on_flats is true: leave it out: a round blank has no flats to grip",
    ),
    ({"setup": []}, "setup is []: give a list of 1 or more tables"),
    ({"setup.1": 5}, "setup[1] is 5: give a table"),
    (
        {"setup.1.program": "three.nc"},
        'setup[1].program is "three.nc", and there is no such file: '
        "give the name of a file; it is looked for beside the job file",
    ),
    (
        {"machine": "lathe.toml"},
        'machine is "lathe.toml", and there is no such file: '
        "give the name of a file; it is looked for beside the job file",
    ),
    (
        {"allow": [{"code": "band-left", "reason": ""}]},
        'allow[0].reason is "": give text that is not empty',
    ),
]


@pytest.mark.parametrize(("changes", "line"), ONE_FAULT, ids=[line for _, line in ONE_FAULT])
def test_each_fault_alone(written: Any, changes: dict[str, Any], line: str) -> None:
    assert fault_lines(written(changes)) == [f"job.toml: {line}"]


def test_the_sound_job_has_no_fault_and_no_question(written: Any) -> None:
    assert read_job(written()).questions == ()


def test_all_faults_are_reported_at_once(written: Any) -> None:
    """Faults of keys, between keys, among set-ups, in a shared file and of a missing program."""
    folder = written(
        {
            "blank.size": -50,
            "blank.shape": "tube",
            "part.length": None,
            "machine": "lathe.toml",
            "tools.1.wear": "much",
            "tools.0.holder": None,
            "setup.0.zero.way": "nominal",
            "setup.1.program": "three.nc",
            "setup.1.seat": {"on": "step", "step": 4},
        },
        lathe_toml='rapid_path = "bent"\nspindle_limit = 0\n',
    )
    keys = {(fault.file, fault.key) for fault in faults_of(folder)}
    assert keys == {
        ("job.toml", "blank.size"),
        ("job.toml", "blank.bore"),
        ("job.toml", "part.length"),
        ("job.toml", "tools.T3.wear"),
        ("job.toml", "tools.T1.holder"),
        ("job.toml", "setup[0].zero.way"),
        ("job.toml", "setup[1].program"),
        ("job.toml", "setup[1].seat.step"),
        ("lathe.toml", "spindle_limit"),
        ("lathe.toml", "rapid_rates"),
    }


def test_a_fault_in_a_shared_file_is_told_once_and_by_that_file(written: Any) -> None:
    folder = written(
        {"jaws": "soft.toml", "setup.1.jaws": "soft.toml", "tools": "turret.toml"},
        soft_toml="profile = [[0, 0], [1, 0]]",
        turret_toml='units = "feet"\n[[tools]]\nstation = 7\ndrill = {diameter = 3, lenth = 50}',
    )
    assert fault_lines(folder) == [
        'turret.toml: units is "feet": give "mm" or "inch"',
        "turret.toml: tools.T7.drill.length is missing: give a number greater than 0",
        "turret.toml: tools.T7.drill.lenth is not a known key: did you mean length?",
        "soft.toml: profile is [[0, 0], [1, 0]]: give a list of 3 or more points",
    ]


def test_a_step_is_looked_up_in_the_jaws_of_its_own_set_up(written: Any) -> None:
    folder = written(
        {"setup.1.jaws": "soft.toml", "setup.1.seat": {"on": "step", "step": 2}},
        soft_toml="profile = [[0, 0], [10, 0], [10, 10]]\nsteps = [1, 2]",
    )
    assert fault_lines(folder) == ["job.toml: setup[1].seat.step is 2: give a step from 0 to 1"]


def test_toml_that_cannot_be_read_is_told_with_its_line(written: Any) -> None:
    folder = written()
    (folder / "job.toml").write_text('units = "mm"\n[blank]\nsize 50\n')
    (line,) = fault_lines(folder)
    assert line.startswith("job.toml: line 3, column 6 ('size 50') is not TOML, expected '='")
    (folder / "job.toml").write_text('units = "mm"\ntitle = "open')
    (line,) = fault_lines(folder)
    assert line.startswith("job.toml: line 2")


@pytest.mark.parametrize(
    ("data", "found"),
    [
        ('units = "mm"'.encode("utf-16"), "the text is UTF-16 or UTF-32"),
        ('units = "mm"'.encode("utf-16-le"), "the text is UTF-16"),
        (b"\x89PNG\x00\x00\x01", "the file is binary, not text"),
        (b'a = 1\ntitle = "\xe4"', "line 2 holds a byte that is not UTF-8"),
        (b"a = " + b"[" * 100_000, "lists or tables stand inside each other too deeply"),
        (b" " * 20_000_001, "the file is larger than 20 MB"),
    ],
    ids=["utf-16", "utf-16 without mark", "binary", "latin", "deep", "large"],
)
def test_files_that_are_no_job(written: Any, data: bytes, found: str) -> None:
    folder = written()
    (folder / "job.toml").write_bytes(data)
    (fault,) = faults_of(folder)
    assert (fault.found, fault.key) == (found, "")
    assert fault.file.endswith("job.toml")


def test_a_deep_list_is_quoted_short(written: Any) -> None:
    deep: Any = 1
    for _ in range(150):
        deep = [deep]
    (fault,) = faults_of(written({"units": deep}))
    assert fault.found == "[[[a list of 1 values]]]"


def test_programs_that_are_no_text(written: Any) -> None:
    folder = written(one_nc="G21\n".encode("utf-16"), two_nc=b"\x7fELF\x00")
    assert [(fault.key, fault.found) for fault in faults_of(folder)] == [
        ("setup[0].program", '"one.nc", and the text is UTF-16 or UTF-32'),
        ("setup[1].program", '"two.nc", and the file is binary, not text'),
    ]


def test_a_large_file_is_read_when_asked_for(written: Any) -> None:
    folder = written(one_nc=b"G01 X40. Z-1.2345 F0.2\n" * 900_000)
    (fault,) = faults_of(folder)
    assert fault.key == "setup[0].program"
    assert len(read_job(folder, large=True).programs["one.nc"]) == 20_700_000


def test_no_job_where_one_is_looked_for(tmp_path: Path) -> None:
    missing = tmp_path / "nothing"
    assert fault_lines(missing) == [f"{missing}: there is no such file: give the name of a file"]
    assert fault_lines(tmp_path) == [
        f"{tmp_path}: a directory without job.toml: "
        "give a job file, or a folder that holds job.toml"
    ]


def test_a_byte_order_mark_is_no_fault(written: Any) -> None:
    folder = written()
    data = (folder / "job.toml").read_bytes()
    (folder / "job.toml").write_bytes(b"\xef\xbb\xbf" + data.replace(b"\n", b"\r\n"))
    assert read_job(folder).job.blank.size == 45.0
