"""The stock maps and the length budget of a job as it is dragged, with where to take hold of them.

Paper is in millimetres as the drawing's own, y up; values are in the job's unit.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from standclear.drawing.labels import Board
from standclear.drawing.maps.length_budget import Stations, budget_height, draw_budget
from standclear.drawing.maps.stock_map import HEIGHT, WIDTH, draw_map
from standclear.drawing.shapes import Drawing
from standclear.drawing.writers.svg import inline_svg
from standclear.job.models import Job
from standclear.job.placing import place_setups
from standclear.page.bench import OpenJob
from standclear.page.handles import dragged
from standclear.page.working import moved
from standclear.plan.grip.grip import grip_of
from standclear.plan.rack.check import Row, check_rack
from standclear.plan.rack.rack_file import read_rack
from standclear.plan.setting.split import split_of
from standclear.plan.windows.frames import Across
from standclear.plan.windows.stock import Window, stock_windows
from standclear.proof.result import JobProof
from standclear.report.sizes import MM_PER_INCH

RACK = "rack.toml"
"""Beside the job: its bars are points on the map of the whole job."""
BUDGET_WIDTH = 240.0
AS_FILED = "as filed"
"""What a map says of its blank: it stays where it is while another one is dragged."""
OF_BLANK = frozenset({"bar", "length", "face"})
"""Handles that move the blank in the windows, which stay where they are."""


def maps_data(job: OpenJob, values: Mapping[str, float]) -> dict[str, Any]:
    """Every stock map: its picture, what it shows, and which handles its two ways are."""
    of_job, judged, windows = _windows(job, values)
    now = dragged(job.ready[0].job, values) if values else of_job
    return {
        "maps": [_map(window, n, of_job, judged, now) for n, window in enumerate(windows)],
        "rack": (job.place.folder / RACK).is_file(),
    }


def rack_data(job: OpenJob, values: Mapping[str, float]) -> dict[str, Any]:
    """The map of the whole job with the bars of the rack beside it as points. Raises JobError or
    FileError where the rack cannot be read."""
    held = job.ready[1]
    of_job, judged, windows = _windows(job, values)
    now = dragged(job.ready[0].job, values) if values else of_job
    rack = read_rack(job.place.folder / RACK)
    rows = check_rack(held, of_job, rack, windows[-1])
    return _map(windows[-1], len(windows) - 1, of_job, judged, now, rows)


def _windows(job: OpenJob, values: Mapping[str, float]) -> tuple[Job, JobProof, tuple[Window, ...]]:
    """The windows with zeros and jaws as dragged, and the job and proof that they are of; worked
    out once for each place of those."""
    of_job = {key: value for key, value in values.items() if key not in OF_BLANK}
    known = job.memo.setdefault("maps", {})
    key = tuple(sorted(of_job.items()))
    if key not in known:
        there, judged = moved(job, of_job)
        known[key] = (there, judged, stock_windows(job.ready[1], there, judged))
    found: tuple[Job, JobProof, tuple[Window, ...]] = known[key]
    return found


def _map(
    window: Window, number: int, job: Job, proof: JobProof, now: Job, rack: tuple[Row, ...] = ()
) -> dict[str, Any]:
    board = Board()
    axes = draw_map(board, window, job, proof, rack, (0.0, 0.0, WIDTH, HEIGHT), AS_FILED)
    whole = window.across is Across.LENGTH
    name = "the whole job" if not window.setup else window.setup
    drawing = Drawing(WIDTH, HEIGHT, f"Stock map of {name}", name, board.finished())
    unit = MM_PER_INCH if job.units == "inch" else 1.0
    first = bool(job.setup) and window.setup == job.setup[0].name
    return {
        "name": name,
        "svg": inline_svg(drawing, f"map-{number}"),
        "paper": list(axes.paper),
        "height": HEIGHT,
        "values": [value / unit for value in axes.values],
        "across": "length" if whole else "face" if first else "",
        "up": "bar",
        "at": _at(window, job, now),
        "filed": _at(window, job, job),
    }


def _at(window: Window, of_job: Job, now: Job) -> list[float]:
    """Where the blank of `now` stands in a window of `of_job`, in the job's unit. A raw face in
    front of a part zero stands out by as much more as its place has moved."""
    unit = MM_PER_INCH if now.units == "inch" else 1.0
    across, _ = window.stated
    if window.across is Across.LENGTH:
        return [now.blank.length / unit, now.blank.size / unit]
    k = next(i for i, setup in enumerate(now.setup) if setup.name == window.setup)
    further = place_setups(now)[k].raw_face.lo - place_setups(of_job)[k].raw_face.lo
    return [(across + further) / unit, now.blank.size / unit]


def budget_data(job: OpenJob, values: Mapping[str, float]) -> dict[str, Any]:
    """The length budget with the borders in it that are dragged, and where the blank stands in each
    stock map."""
    held = job.ready[1]
    now, judged = moved(job, values)
    of_job, _, windows = _windows(job, values)
    split, grips = split_of(now), grip_of(held, now, judged)
    board = Board()
    height = budget_height(grips)
    stations = draw_budget(board, now, split, grips, None, (0.0, 0.0, BUDGET_WIDTH, height))
    drawing = Drawing(BUDGET_WIDTH, height, "Length budget", "", board.finished())
    return {
        "svg": inline_svg(drawing, "budget"),
        "height": height,
        "grips": _grips(stations, now),
        "at": [_at(window, of_job, now) for window in windows],
    }


def _grips(stations: Stations, job: Job) -> list[dict[str, Any]]:
    """The border between front allowance and part moves the face allowance, the end the length;
    `per` is the job's unit for a millimetre of paper."""
    unit = MM_PER_INCH if job.units == "inch" else 1.0
    found = []
    for key, n, way in (("face", 1, -1.0), ("length", 3, 1.0)):
        paper = stations.paper[n] - stations.paper[n - 1]
        real = stations.lengths[n] - stations.lengths[n - 1]
        if paper > 0 and real > 0:
            at = stations.paper[0] if key == "face" else stations.paper[n]
            found.append({"key": key, "x": at, "per": way * real / paper / unit})
    return found
