"""Stepping through a cycle that can be read in several ways: one reading, and its own cuts."""

from __future__ import annotations

import re
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest
import shapely
from starlette.testclient import TestClient

import standclear
from standclear.motions.table import Motions
from standclear.page.moments import moment_of
from standclear.page.stepping import beside, shown_rows, stepped
from standclear.proof.held import hold
from standclear.proof.prove import judge

PIN = "/job/demo-pin"
OPEN = ("levels_from", "last_level", "level_end")
ROUGHING_LINE = 15


def table(*rows: tuple[int, int, int]) -> Motions:
    """Rows of (block, call, variant)."""

    class _Rows(SimpleNamespace):
        def __len__(self) -> int:
            return len(self.block)

    block, call, variant = (np.array(column) for column in zip(*rows, strict=True))
    return cast(Motions, _Rows(block=block, call=call, variant=variant))


# A rapid, a call with readings of two, three and two motions, and a block of two motions.
THREE = table(
    (0, -1, 0),
    *[(1, 0, 0)] * 2,
    *[(1, 0, 1)] * 3,
    *[(1, 0, 2)] * 2,
    *[(2, -1, 0)] * 2,
)  # fmt: skip


def test_the_first_reading_is_stepped_through_and_that_of_a_motion_picked() -> None:
    assert shown_rows(THREE, -1).tolist() == [0, 1, 2, 8, 9]
    assert shown_rows(THREE, 9).tolist() == [0, 1, 2, 8, 9]
    assert shown_rows(THREE, 4).tolist() == [0, 3, 4, 5, 8, 9]


@pytest.mark.parametrize(
    ("start", "steps", "end"),
    [
        (-1, ["on"], 0),
        (-1, ["back"], 9),
        (2, ["on"], 8),
        (8, ["back"], 2),
        (5, ["on"], 8),
        (3, ["back"], 0),
        (0, ["on"] * 4, 9),
        (9, ["on"], 9),
        (0, ["back"], 0),
        (2, ["block-on"], 8),
        (9, ["block-back"], 1),
        (4, ["block-back"], 0),
        (8, ["block-on"], 8),
        (0, ["block-on", "on", "on", "back"], 2),
        (2, ["reading"], 4),
        (5, ["reading"], 7),
        (7, ["reading"], 2),
        (0, ["reading"], 0),
        (-1, ["reading"], -1),
    ],
)
def test_steps_are_made_one_after_another(start: int, steps: list[str], end: int) -> None:
    assert stepped(THREE, start, steps) == end


def test_the_reading_that_strikes_is_gone_through_where_none_is_picked() -> None:
    assert shown_rows(THREE, -1, [6]).tolist() == [0, 6, 7, 8, 9]
    assert shown_rows(THREE, 4, [6]).tolist() == [0, 3, 4, 5, 8, 9]
    assert shown_rows(THREE, -1, [6, 3]).tolist() == [0, 6, 7, 8, 9]
    assert stepped(THREE, 0, ["on"], [6]) == 6
    assert beside(THREE, 0, [3]) == (None, 3)


def test_the_blocks_beside_a_motion() -> None:
    assert beside(THREE, 0) == (None, 1)
    assert beside(THREE, 2) == (0, 8)
    assert beside(THREE, 9) == (1, None)


@pytest.fixture
def opened(shop: Path) -> Path:
    """The pin on a machine of which three behaviours of roughing are not known."""
    path = shop / "demo-pin" / "machine.toml"
    lines = path.read_text().splitlines(keepends=True)
    kept = [line for line in lines if not line.startswith(OPEN)]
    assert len(kept) == len(lines) - len(OPEN)
    path.write_text("".join(kept))
    return shop / "demo-pin"


def look(client: TestClient, **body: object) -> dict[str, Any]:
    answer = client.post(f"{PIN}/look", json=body)
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()
    return found


def test_every_step_through_the_roughing_says_that_it_is_one_reading(
    client: TestClient, opened: Path
) -> None:
    whole = look(client)["setups"][0]
    assert "leaves a cycle several readings" in whole["at"]
    answer = look(client, setup=0, steps=["on"])
    places = []
    while True:
        end = answer["setups"][0]
        places.append(answer["motion"])
        assert ("Reading 1 of 12 of this cycle" in end["at"]) is (end["line"] == ROUGHING_LINE)
        assert (end["readings"] > 1) is (end["line"] == ROUGHING_LINE)
        assert f"motion {len(places)} of {whole['motions']}" in end["at"]
        after = look(client, setup=0, motion=answer["motion"], steps=["on"])
        if after["motion"] == answer["motion"]:
            break
        answer = after
    assert len(places) == whole["motions"] and places == sorted(set(places))


def ways_of(svg: str, line: int) -> set[int]:
    """Numbers of the motions that are drawn of a line."""
    drawn = [dict(re.findall(r'data-([a-z]+)="([^"]*)"', tag)) for tag in svg.split("<g ")]
    return {int(d["motion"]) for d in drawn if d.get("part") == "way" and d["line"] == str(line)}


def test_one_reading_is_drawn_and_a_step_shows_the_next(client: TestClient, opened: Path) -> None:
    setup = standclear.prove(standclear.read_job(opened)).setups[0]
    motions = setup.trace.motions
    block = next(b.index for b in setup.program.blocks if b.line == ROUGHING_LINE)
    roughing = int(np.flatnonzero(motions.block == block)[0])
    end = look(client, setup=0, motion=roughing)["setups"][0]
    assert end["line"] == ROUGHING_LINE
    first = ways_of(end["svg"], ROUGHING_LINE)
    assert {int(motions.variant[motion]) for motion in first} == {0}
    other = look(client, setup=0, motion=roughing, steps=["reading"])
    end = other["setups"][0]
    shown = ways_of(end["svg"], ROUGHING_LINE)
    assert {int(motions.variant[motion]) for motion in shown} == {1} and not shown & first
    assert "Reading 2 of 12 of this cycle. Where does a roughing cycle count" in end["at"]
    # Of the whole run as much as of a step: once a reading, not all of them over one another.
    whole = look(client)["setups"][0]
    assert ways_of(whole["svg"], ROUGHING_LINE) == first


def test_four_steps_in_one_question_go_as_far_as_four_questions(client: TestClient) -> None:
    one = -1
    for _ in range(4):
        one = look(client, setup=0, motion=one, steps=["on"])["motion"]
    assert look(client, setup=0, steps=["on"] * 4)["motion"] == one
    assert look(client, setup=0, motion=one, steps=["back"] * 2)["motion"] != one


def test_steps_that_are_none_are_refused(client: TestClient) -> None:
    for steps in (["over"], "on", [1], [["on"]], ["on"] * 501):
        assert client.post(f"{PIN}/look", json={"setup": 0, "steps": steps}).status_code == 400


def test_the_stock_is_cut_by_the_readings_own_passes(opened: Path) -> None:
    """Profile X30 with 0.5 left on diameter: 15.25 on radius at Z-10 when the cycle's last motion
    begins, whichever the reading; the bar has 24.1 with half its run-out of 0.1 before. The first
    pass stands 1.6 in from the cycle's start at X51."""
    held = hold(standclear.read_job(opened))
    setup = judge(held, held.files.job).setups[0]
    motions = setup.trace.motions
    block = next(b.index for b in setup.program.blocks if b.line == ROUGHING_LINE)
    calls = np.unique(motions.call[(motions.block == block) & (motions.call >= 0)])
    own = motions.call == calls[-1]
    assert motions.variant[own].max() > 0
    for variant in np.unique(motions.variant[own]):
        rows = np.flatnonzero(own & (motions.variant == variant))
        tops = []
        for motion in (rows[0], rows[-1]):
            moment = moment_of(held, setup, 0, int(motion))
            assert moment is not None
            tops.append(shapely.clip_by_rect(moment.metal, -10.1, 0.0, -9.9, 40.0).bounds[3])
        assert tops[0] > 23.9
        assert tops[1] == pytest.approx(15.25, abs=0.03)
    # What is drawn as the sweep of a pass is the pass, though no other reading may make it.
    feed = next(int(m) for m in np.flatnonzero(own & (motions.kind == 1)) if motions.variant[m] > 0)
    moment = moment_of(held, setup, 0, feed)
    assert moment is not None and moment.swept.area > 0


def test_a_finding_says_when_it_holds_and_where_that_is_answered(
    client: TestClient, opened: Path
) -> None:
    """The guess of a bar goes by the form's own name of it, and leads to the form."""
    path = opened / "job.toml"
    path.write_text('guesses = ["blank.size"]\n' + path.read_text())
    answer = look(client)
    assert answer["headline"].startswith("unproven: 'Diameter of the bar', 48.0 mm, is a guess")
    guess = next(f for f in answer["findings"] if f["code"] == "guess-not-confirmed")
    assert (guess["step"], guess["doing"]) == ("guesses", "Confirm the guesses")
    assert guess["cure"] == ""
