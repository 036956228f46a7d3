"""What is held of a job serves one blank after the other: nothing is swept twice, and every answer
is that of a job held afresh."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
from proof_shop import files_of

from standclear import hold, judge, read_job
from standclear.proof import approach, held
from standclear.proof.approach import Places, tools_there
from standclear.proof.held import reaches, reaching
from standclear.proof.prove import other_blank
from standclear.sweeps import sweep as sweeps
from standclear.sweeps.areas import union

PIN = Path(__file__).parents[2] / "examples" / "demo-pin"


def test_another_blank_is_answered_as_by_a_job_held_afresh() -> None:
    files = read_job(PIN)
    kept = hold(files)
    for bar, length in ((48.0, 83.0), (46.5, 81.0), (56.0, 90.0), (52.0, 86.5), (48.0, 83.0)):
        job = other_blank(files.job, bar=bar, length=length, face=None)
        one, other = judge(kept, job), judge(hold(replace(files, job=job)), job)
        assert one.verdict is other.verdict
        assert [(f.code, f.setup, f.motion) for f in one.findings] == [
            (f.code, f.setup, f.motion) for f in other.findings
        ]


def test_at_first_all_is_known_to_the_axis_and_as_far_as_the_next_bar_size() -> None:
    # Bar 40 x 60, its faces at Z1 and Z-59.; 4 beyond them and over its radius of 20.
    (reading,) = hold(files_of("G00 X60. Z30.")).readings[0]
    assert reading.keep.reach == pytest.approx((-63.0, 0.0, 5.0, 24.0))


@pytest.mark.parametrize("further", [(70, 0, 0), (0, 90, 0), (0, 0, 80), (30, 90, 60), (60, 5, 90)])
def test_a_blank_however_far_out_is_reached_on_every_side(further: tuple[float, ...]) -> None:
    files = files_of("G00 X60. Z30.")
    (reading,) = hold(files).readings[0]
    chuck, front, over = further
    z_min, _, z_max, r_max = reading.keep.reach
    wider = (z_min - chuck, 0.0, z_max + front, r_max + over)
    found = reaching(reading, files.job, wider)
    assert reaches(found, wider)
    # What was known stays known.
    assert reaches(found, reading.keep.reach)


def test_room_for_a_larger_blank_is_swept_once(monkeypatch: pytest.MonkeyPatch) -> None:
    files = read_job(PIN)
    (reading,) = hold(files).readings[0]
    swept: list[object] = []
    keep_out = held.keep_out

    def counted(*given: Any) -> Any:
        swept.append(given)
        return keep_out(*given)

    monkeypatch.setattr(held, "keep_out", counted)
    z_min, _, z_max, r_max = reading.keep.reach
    assert reaching(reading, files.job, reading.keep.reach) is reading and swept == []
    wider = (z_min, 0.0, z_max + 1.0, r_max + 2.0)
    found = reaching(reading, files.job, wider)
    assert reaches(found, wider) and len(swept) == 1
    # The next bar size has room too; what was reached before is reached by the first still.
    assert reaching(reading, files.job, (z_min, 0.0, z_max + 2.0, r_max + 5.0)) is found
    assert reaching(reading, files.job, reading.keep.reach) is reading
    assert len(swept) == 1
    # Another contact limit is another sweep.
    job = files.job.model_copy(update={"contact_limit": 0.02})
    assert reaching(reading, job, wider) is not found and len(swept) == 2


def test_tools_at_their_places_are_swept_once(monkeypatch: pytest.MonkeyPatch) -> None:
    (reading,) = hold(read_job(PIN)).readings[0]
    motions = reading.trace.motions
    asked: list[int] = []

    def counted(*given: Any) -> list[Any]:
        order: Sequence[tuple[int, bool]] = given[2]
        asked.append(len(order))
        return tools_there(*given)

    monkeypatch.setattr(approach, "tools_there", counted)
    places = Places(motions, reading.tools, reading.keep.reach)
    first, second = [(1, True), (4, False)], [(4, False), (6, True), (1, True)]
    places.near(first)
    found = places.near(second)
    wanted = tools_there(motions, reading.tools, second, reading.keep.reach)
    assert all(a.equals(b) for a, b in zip(found, wanted, strict=True))
    assert asked == [2, 1]
    places.whole(second)
    assert asked == [2, 1, 3]


def test_the_area_of_a_run_of_cuts_is_made_once(monkeypatch: pytest.MonkeyPatch) -> None:
    (reading,) = hold(read_job(PIN)).readings[0]
    cut = reading.keep.cut
    assert len(cut.cut) > 20
    made: list[int] = []

    def counted(areas: Any) -> Any:
        made.append(len(areas))
        return union(areas)

    monkeypatch.setattr(sweeps, "union", counted)
    monkeypatch.setattr(sweeps, "MOST_KEPT", 3)
    for begin, end in ((0, 5), (5, 20), (0, 5), (5, 20)):
        area = cut.cut_between(begin, end)
        assert area.area == pytest.approx(shapely.union_all(cut.cut[begin:end]).area, abs=1e-6)
    assert made == [5, 15]
    for end in range(6, 12):
        cut.cut_between(0, end)
    assert len(cut._areas) <= 3 and np.count_nonzero(np.array(made) == 5) == 1
