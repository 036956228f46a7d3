"""A hand-made proof: a stepped pin of our own, front end in contact, back end clear.

Blank 52 x 86.5, finished 82.5 long; the front's raw face stands 2.5 out, the back's 1.5. The first
rapid of the front goes to X50.8 Z1.5: 0.6 under the bar (radial), 1.0 behind its face.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from shapely import affinity
from shapely.geometry import Polygon, box
from shapely.ops import unary_union

from standclear.blocks.program import Block, Program
from standclear.findings.finding import Finding, Measure, Place, Quantity, Severity, Verdict
from standclear.motions.table import FAR, Kind, Motions, ToolUse, Trace
from standclear.proof.result import Approach, JobProof, Part, SetupProof, SizeFound, Strike

FRONT_TEXT = (
    "%",
    "O0101",
    "G21 G18",
    "G54",
    "T0101",
    "G50 S2500",
    "G96 S180 M03",
    "G00 X50.8 Z1.5",
    "G01 X40. F0.2",
    "Z-45.",
    "X54.",
    "G00 X200. Z150.",
    "M01",
)
CLEAR_TEXT = tuple("G00 X57.2 Z5." if "X50.8" in line else line for line in FRONT_TEXT)
BACK_TEXT = (
    "%",
    "O0102",
    "G21 G18",
    "G55",
    "T0101",
    "G50 S2500",
    "G96 S180 M03",
    "G00 X57.2 Z4.",
    "G01 X44. F0.2",
    "X48. Z-2.",
    "Z-37.5",
    "G00 X200. Z150.",
    "M30",
)


def program(name: str, text: tuple[str, ...]) -> Program:
    blocks = tuple(
        Block(index=i, line=i + 1, raw=f"{line}\n".encode(), words=())
        for i, line in enumerate(text)
    )
    return Program(name=name, blocks=blocks, sha256="0" * 64)


def motions(points: list[tuple[float, float, Kind, int]]) -> Motions:
    """Rows from (z, r, kind, block), each starting where the one before ended."""
    n = len(points)
    end = np.array([(z, r) for z, r, _, _ in points], dtype=np.float64)
    start = np.vstack([[(FAR, FAR)], end[:-1]])
    zeros = np.zeros(n)
    return Motions(
        kind=np.array([k for _, _, k, _ in points], dtype=np.int8),
        path=np.zeros(n, dtype=np.int8),
        start=start,
        end=end,
        sagitta=zeros,
        tool=np.zeros(n, dtype=np.int16),
        block=np.array([b for _, _, _, b in points], dtype=np.int32),
        profile=np.full(n, -1, dtype=np.int32),
        call=np.full(n, -1, dtype=np.int32),
        variant=np.zeros(n, dtype=np.int16),
        credited=np.ones(n, dtype=np.bool_),
        crest=zeros,
        compensated=np.zeros(n, dtype=np.bool_),
        spindle=np.ones(n, dtype=np.int8),
        feed=zeros,
        feed_mode=np.zeros(n, dtype=np.int8),
        speed=zeros,
        speed_mode=np.zeros(n, dtype=np.int8),
        clamp=np.full(n, np.inf),
        coolant=np.zeros(n, dtype=np.bool_),
    )


def trace(rows: list[tuple[float, float, Kind, int]]) -> Trace:
    return Trace(
        motions=motions(rows),
        tools=(ToolUse(tool=0, station=1, offset=1),),
        calls=(),
        findings=(),
        trusted=(),
    )


def tool() -> Polygon:
    """An 80-degree insert at 95 degrees under a 25 mm shank."""
    a, b = np.deg2rad(85.0), np.deg2rad(5.0)
    up, out = 12.9 * np.array([np.cos(a), np.sin(a)]), 12.9 * np.array([np.cos(b), np.sin(b)])
    insert = Polygon([(0, 0), tuple(out), tuple(out + up), tuple(up)])
    return unary_union([insert, Polygon([(1.3, 11), (14, 6), (26, 14), (26, 120), (1.3, 120)])])


def steps(*corners: tuple[float, float], back: float) -> Polygon:
    """A turned section from (z, r) corners of its outside, closed along the axis."""
    return Polygon([(corners[0][0], 0.0), *corners, (back, 0.0)])


def front() -> SetupProof:
    raw = box(-84.0, 0.0, 2.5, 26.0)
    after = steps((0, 15), (-30, 15), (-30, 20), (-45, 20), (-45, 26), (-84, 26), back=-84)
    rows = [
        (1.5, 25.4, Kind.RAPID, 7),
        (1.5, 20, Kind.FEED, 8),
        (-45, 20, Kind.FEED, 9),
        (-45, 27, Kind.FEED, 10),
        (FAR, FAR, Kind.RAPID, 11),
    ]
    overlap = affinity.translate(tool(), 1.5, 25.4).intersection(raw)
    jaws = Polygon([(-84, 26), (-55, 26), (-55, 40), (-70, 40), (-70, 54), (-84, 54)])
    return SetupProof(
        name="front",
        verdict=Verdict.CONTACT,
        program=program("pin.nc", FRONT_TEXT),
        trace=trace(rows),
        raw=raw,
        metal_before=raw,
        metal_after=after,
        metal_after_least=after,
        finished=steps(
            (0, 15), (-30, 15), (-30, 20), (-45, 20), (-45, 24), (-82.5, 24), back=-82.5
        ),
        obstacles={"jaws": jaws, "chuck": box(-140, 0, -88, 100), "stop": box(-88, 0, -84, 12)},
        keep_areas=(box(1.5, 25.4, 60, 90),),
        reach=(-140.0, 0.0, 60.0, 90.0),
        strikes=(
            Strike(motion=0, part=Part.TOOL_IN_RAPID, overlap=overlap, depth_x=0.6, depth_z=1.0),
        ),
        approaches=(),
        tool_outlines=(tool(),),
    )


def back() -> SetupProof:
    outside = [(-37.5, 26), (-37.5, 20), (-52.5, 20), (-52.5, 15), (-82.5, 15)]
    before = steps((1.5, 26), *outside, back=-82.5)
    after = steps((0, 22), (-2, 24), (-37.5, 24), *outside[1:], back=-82.5)
    rows = [
        (4.0, 28.6, Kind.RAPID, 7),
        (4.0, 22, Kind.FEED, 8),
        (-2, 24, Kind.FEED, 9),
        (-37.5, 24, Kind.FEED, 10),
        (FAR, FAR, Kind.RAPID, 11),
    ]
    jaws = Polygon([(-82.5, 15), (-54, 15), (-54, 30), (-68, 30), (-68, 44), (-82.5, 44)])
    name = "back"
    return SetupProof(
        name=name,
        verdict=Verdict.CLEAR,
        program=program("pin-back.nc", BACK_TEXT),
        trace=trace(rows),
        raw=box(-85.0, 0.0, 1.5, 26.0),
        metal_before=before,
        metal_after=after,
        metal_after_least=after,
        finished=after,
        obstacles={"jaws": jaws, "chuck": box(-140, 0, -86, 100), "stop": box(-86, 0, -82.5, 12)},
        keep_areas=(box(4.0, 28.6, 60, 90),),
        reach=(-140.0, 0.0, 60.0, 90.0),
        strikes=(),
        approaches=(
            Approach(
                motion=0,
                place=place("pin-back.nc", BACK_TEXT, 8),
                tool="T0101",
                position=(4.0, 28.6),
                gap=3.607,
                gap_radial=2.6,
                gap_z=2.5,
                against="metal",
                first_of_tool=True,
            ),
            Approach(
                motion=3,
                place=place("pin-back.nc", BACK_TEXT, 11),
                tool="T0101",
                position=(-37.5, 24.0),
                gap=16.5,
                gap_radial=None,
                gap_z=16.5,
                against="jaws",
                first_of_tool=False,
            ),
        ),
        tool_outlines=(tool(),),
    )


def place(name: str, text: tuple[str, ...], line: int) -> Place:
    return Place(program=name, block=line - 1, line=line, column=1, words=text[line - 1])


def rapid_into_metal() -> Finding:
    return Finding(
        code="rapid-into-metal",
        severity=Severity.STOP,
        setup="front",
        message="the rapid runs {depth_z} behind the raw face and {depth_x} under the bar",
        cure="write X{x_need} Z{z_need}",
        place=place("pin.nc", FRONT_TEXT, 8),
        related=(place("pin.nc", FRONT_TEXT, 9),),
        motion=0,
        measures=(
            Measure("depth_z", 1.0),
            Measure("depth_x", 0.6),
            Measure("x_need", 54.5, Quantity.POSITION_X),
            Measure("z_need", 5.0, Quantity.POSITION_Z),
        ),
    )


def sizes() -> tuple[SizeFound, ...]:
    tol = (-0.1, 0.1)
    return (
        SizeFound("", "diameter", -37.5, -2.0, 48.0, 48.0, tol, True),
        SizeFound("", "diameter", -52.5, -37.5, 40.0, 40.0, (-0.016, 0.0), True),
        SizeFound("seat", "diameter", -82.5, -52.5, 30.0, 29.98, (-0.013, 0.0), False),
        SizeFound("shoulder", "length", -82.5, -52.5, 30.0, 30.0, tol, True),
        SizeFound("", "length", -82.5, -37.5, 45.0, 45.0, tol, True),
        SizeFound("whole", "length", -82.5, 0.0, 82.5, 82.5, tol, True),
    )


def pin() -> JobProof:
    return JobProof(
        title="stepped pin, demonstration",
        units="mm",
        verdict=Verdict.CONTACT,
        setups=(front(), back()),
        findings=(rapid_into_metal(),),
        sizes=sizes(),
        largest_size=52.0,
        largest_length=86.5,
        trusted=("exact stop between rapids",),
        not_examined=("run-out of the blank: not given",),
        files={"job.toml": "a" * 64, "pin.nc": "b" * 64},
    )


def clear_pin() -> JobProof:
    """The same job with the clearance point moved out to X57.2 Z5."""
    first = front()
    rows = [
        (5.0, 28.6, Kind.RAPID, 7),
        (5.0, 20, Kind.FEED, 8),
        (-45, 20, Kind.FEED, 9),
        (-45, 28.6, Kind.FEED, 10),
        (FAR, FAR, Kind.RAPID, 11),
    ]
    near = Approach(
        motion=0,
        place=place("pin.nc", CLEAR_TEXT, 8),
        tool="T0101",
        position=(5.0, 28.6),
        gap=3.607,
        gap_radial=2.6,
        gap_z=2.5,
        against="metal",
        first_of_tool=True,
    )
    cleared = replace(
        first,
        verdict=Verdict.CLEAR,
        strikes=(),
        trace=trace(rows),
        program=program("pin.nc", CLEAR_TEXT),
        approaches=(near,),
    )
    job = pin()
    right = tuple(replace(s, right=True) for s in job.sizes)
    return replace(job, verdict=Verdict.CLEAR, setups=(cleared, back()), findings=(), sizes=right)
