"""What the checker lets pass is true, and what is false it refuses, whoever signs the file."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from claim_points import strikes
from hand_certificate import (
    MM,
    TURNING,
    all_knowing,
    document,
    first_end,
    hand_certificate,
    knowing,
    nm,
    rows,
    signed,
)
from hypothesis import example, given, settings
from hypothesis import strategies as st

from standclear.audit.audit import audit_text, check
from standclear.audit.read import (
    ANYWHERE,
    FEED,
    RAPID,
    STRAIGHT,
    Certificate,
    Refused,
    read_certificate,
)
from standclear.certificate.write import certificate_text

MANY = settings(max_examples=250, derandomize=True)
POINTS = 250


def holds(certificate: Certificate) -> bool:
    try:
        check(certificate)
    except Refused:
        return False
    return True


def with_first(certificate: Certificate, **changed: Any) -> Certificate:
    first, *rest = certificate.stages
    return replace(certificate, stages=(replace(first, **changed), *rest))


def with_row(certificate: Certificate, number: int, **changed: Any) -> Certificate:
    motions = list(certificate.stages[0].motions)
    motions[number] = replace(motions[number], **changed)
    return with_first(certificate, motions=tuple(motions))


def with_tool(certificate: Certificate, **changed: Any) -> Certificate:
    return replace(certificate, tools=(replace(certificate.tools[0], **changed),))


def with_way(certificate: Certificate, **changed: Any) -> Certificate:
    first, second = certificate.stages
    assert second.source is not None
    return replace(
        certificate, stages=(first, replace(second, source=replace(second.source, **changed)))
    )


def test_the_certificate_by_hand_holds() -> None:
    # Ways through what was metal: passes 2 and 6 and lifts 3 and 7, of the cutting part; the way
    # back in rapid, down the shoulder in two and out along Z, and the facing cut with its mirror.
    assert check(hand_certificate()) > 5
    assert not [s for seed in range(5) for s in strikes(hand_certificate(), seed, 1000)]


def test_the_file_reads_back_as_it_was_written(tmp_path: Path) -> None:
    made = hand_certificate()
    text = certificate_text(made).encode("ascii")
    assert read_certificate(text) == made
    found = audit_text(text, tmp_path)
    assert (found.setups, found.motions) == (("front", "back"), 18)
    assert found.blank == (40.0, 41.0)


FALSE: dict[str, Callable[[Certificate], Certificate]] = {
    "the rapid back runs 0.1 under the last pass": lambda c: with_row(
        with_row(c, 9, end=nm((-20, 15.9))[0]), 10, start=nm((-20, 15.9))[0]
    ),
    "a pass is made in rapid": lambda c: with_row(c, 2, kind=RAPID),
    "a pass is made with the spindle stopped": lambda c: with_row(c, 6, spindle=0),
    "the last pass may not be made": lambda c: with_row(c, 6, counted=False),
    "the tool appears in the bar": lambda c: with_row(
        c, 0, start=nm((-9, 9))[0], end=nm((-9, 9))[0]
    ),
    "the way back is anywhere down to X34": lambda c: with_row(
        with_row(c, 4, path=1, end=nm((3, 17))[0]), 5, start=nm((3, 17))[0]
    ),
    "the tool jumps into the bar and stands there": lambda c: with_row(
        c, 3, start=nm((-9, 9))[0], end=nm((-9, 9))[0]
    ),
    "the bar is 44 across": lambda c: with_first(c, blank=(-40 * MM, 0, MM, 22 * MM)),
    "the face stands out to Z3.2": lambda c: with_first(
        c, blank=(-40 * MM, 0, round(3.2 * MM), 20 * MM)
    ),
    "the jaws reach to Z-19": lambda c: with_first(
        c, obstacles=(("jaws", nm((-60, 20), (-19, 20), (-19, 40), (-60, 40))),)
    ),
    "the part lies up to 5.2 further out": lambda c: with_way(c, most=round(-34.7 * MM)),
    "the part was not turned round": lambda c: with_way(c, sign=1, least=21 * MM, most=21 * MM),
    "the edge ahead does not cut": lambda c: with_tool(c, cuts=(True, *(False,) * 5)),
    "the tool cuts with the spindle the other way": lambda c: with_tool(c, spindle=-1),
    "the tool opens nothing": lambda c: with_tool(c, opens=False),
    "it cuts on the axis alone": lambda c: with_tool(c, on_axis=True),
    "more stays than is said": lambda c: with_first(c, stays=c.stages[0].stays[1:]),
    "the last pass is another reading of a call": lambda c: with_row(
        with_row(c, 5, choice=3, reading=0), 6, choice=3, reading=1
    ),
}


@pytest.mark.parametrize("name", FALSE)
def test_a_false_claim_is_refused_whatever_the_witness(name: str) -> None:
    altered = FALSE[name](hand_certificate())
    assert [s for seed in range(8) for s in strikes(altered, seed, 2000)], "not false"
    assert not holds(altered)
    assert not holds(all_knowing(altered))


BENT: dict[str, tuple[Callable[[Certificate], Certificate], str]] = {
    "half of the body is left out": (
        lambda c: with_tool(c, body=c.tools[0].body[:1]),
        "its body leaves out some",
    ),
    "the edges run round the other way": (
        lambda c: with_tool(c, edges=TURNING.edges[::-1], cuts=(*TURNING.cuts[-2::-1], True)),
        "no tool behind it",
    ),
    "an edge stands out of the tool": (
        lambda c: with_tool(c, edges=(nm((-1, 0))[0], *TURNING.edges[1:])),
        "a cutting edge stands out",
    ),
    "what comes later is called earlier": (
        lambda c: with_first(c, earlier={**c.stages[0].earlier, 2: (6,)}),
        "motion 6 is not earlier",
    ),
    "the metal comes from itself": (lambda c: with_way(c, stage=1), "from a later set-up"),
    "no witness": (lambda c: with_first(c, earlier={}), "does not show to be cut before"),
    "nothing took the metal": (lambda c: with_first(c, taken_by=()), "more metal is left"),
    "a tool that is not there": (lambda c: with_row(c, 3, tool=1), "there is no tool 1"),
    "arcs as coarse as the limit": (lambda c: with_row(c, 6, sagitta=5000), "no finer than"),
    "what falls is held by what stays": (
        lambda c: with_first(c, stays=c.stages[0].stays[:1], falls=c.stages[0].stays[1:]),
        "still hangs on what stays",
    ),
}


@pytest.mark.parametrize("name", BENT)
def test_a_bent_file_is_refused_with_the_reason(name: str) -> None:
    bend, reason = BENT[name]
    with pytest.raises(Refused, match=reason):
        check(bend(hand_certificate()))


def test_wear_that_reaches_what_the_passes_left_is_refused() -> None:
    # Another tool that may lie 0.2 off goes back along the surface that the first has made.
    made = hand_certificate()
    motions = list(made.stages[0].motions)
    motions[10] = replace(motions[10], tool=1)
    other = replace(TURNING, name="T2", wear=200_000)
    both = with_first(replace(made, tools=(TURNING, other)), motions=tuple(motions))
    assert [s for seed in range(20) for s in strikes(both, seed, 6000)]
    assert not holds(all_knowing(both))
    # 0.45 further out, and 0.5 off the shoulder, it is clear.
    level = nm((-19.5, 16.45))[0], nm((3, 16.45))[0]
    motions[10] = replace(motions[10], start=level[0], end=level[1])
    assert holds(with_first(both, motions=tuple(motions)))


BLADE = nm((0, 0), (3, 0), (3, 30), (0, 30))


@pytest.mark.parametrize(("wear", "clear"), [(0, True), (200_000, False)])
def test_two_tools_that_lie_off_apart_leave_metal_between_them(wear: int, clear: bool) -> None:
    # T1 turns to Z-10 at X32; T2, a blade 3 wide, plunges beside that to Z-13; T3 comes down over
    # both to X34. Where each may lie 0.2 off, a collar of up to 0.4 is left at Z-10.
    blade = replace(
        TURNING, outline=BLADE, body=(BLADE,), edges=BLADE, cuts=(True, False, False, False)
    )
    tools = (replace(TURNING, wear=wear), replace(blade, wear=wear), TURNING)
    path = [(RAPID, 3, 16), (FEED, -10, 16), (FEED, -10, 25), (RAPID, -13, 25), (FEED, -13, 16),
            (RAPID, -13, 25), (RAPID, -12, 25), (RAPID, -12, 17)]  # fmt: skip
    by = (0, 0, 0, 0, 1, 1, 1, 2, 2)
    motions = tuple(replace(r, tool=t) for r, t in zip(rows(path), by, strict=True))
    stage = replace(first_end(motions), obstacles=())
    made = all_knowing(Certificate("collar", {}, 5000, tools, (stage,)))
    assert holds(made) is clear
    assert (not any(strikes(made, seed, 3000) for seed in range(10))) is clear


@pytest.mark.parametrize(
    ("path", "within", "clear"),
    [
        # Cut short by 3, the way leads along r = 21 - z, past the corner of the metal at (1, 20);
        # by 4, along r = 20 - z, through it.
        ([(2, 22), (2, 10)], 3.0, True),
        ([(2, 22), (2, 10)], 4.0, False),
        # A way of 1.5 alone is shorter than 2: then all of a square of 2 around the corner counts.
        ([(2, 22.5), (2, 24)], 2.0, True),
        ([(2, 21.5), (2, 23)], 2.0, False),
    ],
)
def test_corners_between_rapids_may_be_cut_short(
    path: list[tuple[float, float]], within: float, clear: bool
) -> None:
    blade = replace(TURNING, outline=BLADE, body=(BLADE,), edges=BLADE, cuts=(False,) * 4)
    stage = replace(
        first_end(rows([(RAPID, z, r) for z, r in [(-30, path[0][1]), *path]])),
        corner=round(within * MM),
        obstacles=(),
    )
    made = all_knowing(Certificate("corner", {}, 5000, (blade,), (stage,)))
    assert holds(made) is clear
    assert holds(all_knowing(replace(made, stages=(replace(stage, corner=0),))))


@pytest.mark.parametrize(("path", "clear"), [(STRAIGHT, True), (ANYWHERE, False)])
def test_a_way_that_is_not_known_may_lead_anywhere_in_its_rectangle(path: int, clear: bool) -> None:
    # Straight from X32 in front to X44 behind the face the way passes the corner of the metal at
    # (1, 20) with r = 16 + 6 x 29/40 = 20.35; Z first it would not.
    blade = replace(TURNING, outline=BLADE, body=(BLADE,), edges=BLADE, cuts=(False,) * 4)
    motions = list(rows([(RAPID, 30, 16), (RAPID, -10, 22)]))
    motions[2] = replace(motions[2], path=path)
    stage = replace(first_end(tuple(motions)), obstacles=())
    made = all_knowing(Certificate("rectangle", {}, 5000, (blade,), (stage,)))
    assert holds(made) is clear
    assert (not any(strikes(made, seed, 500) for seed in range(20))) is clear


PRONGS = nm((0, 0), (2, 0), (2, 10), (4, 10), (4, 0), (6, 0), (6, 14), (0, 14))
"""Two prongs, 0 to 2 and 4 to 6 along Z, joined above."""
PRONGED = replace(
    TURNING,
    name="pronged",
    outline=PRONGS,
    edges=PRONGS,
    body=(
        nm((0, 0), (2, 0), (2, 14), (0, 14)),
        nm((4, 0), (6, 0), (6, 14), (4, 14)),
        nm((2, 10), (4, 10), (4, 14), (2, 14)),
    ),
)


@pytest.mark.parametrize(("cutting", "clear"), [(7, True), (3, False)])
def test_what_comes_before_the_edge_must_find_the_way_empty(cutting: int, clear: bool) -> None:
    # A ring 6 long, turned off from end to end at X32: edge 7 goes ahead; edge 3, on the second
    # prong, cuts all of it too, but the first prong was there before.
    tool = replace(PRONGED, cuts=tuple(k == cutting for k in range(8)))
    stage = replace(
        first_end(rows([(RAPID, 3, 25), (RAPID, 3, 16), (FEED, -20, 16), (RAPID, -20, 30)])),
        blank=(-5 * MM, 0, MM, 20 * MM),
        obstacles=(),
    )
    made = all_knowing(Certificate("ring", {}, 5000, (tool,), (stage,)))
    assert holds(made) is clear
    assert (strikes(made, 1, 500) == []) is clear


@pytest.mark.parametrize(("below", "clear"), [(0.0, True), (-3.0, False)])
def test_what_reaches_past_the_axis_meets_the_far_side(below: float, clear: bool) -> None:
    # Bored from the face to Z-4 at X20, in a blank with a bore of 16, with a bar whose back lies
    # 17 under its edge: it goes 7 past the axis, or 10, where the far side is 10 out as well.
    bar = nm((0, 0), (0, -17 + below), (60, -17 + below), (60, -1), (2, -1))
    tool = replace(
        TURNING,
        name="bar",
        outline=bar,
        edges=bar,
        body=(bar,),
        cuts=(True, False, False, False, True),
        insert=bar,
    )
    stage = replace(
        first_end(rows([(RAPID, 3, 10), (FEED, -4, 10), (RAPID, -4, 9), (RAPID, 3, 9)], (30, 10))),
        blank=(-40 * MM, 8 * MM, MM, 20 * MM),
        obstacles=(),
    )
    made = all_knowing(Certificate("bore", {}, 5000, (tool,), (stage,)))
    assert holds(made) is clear
    assert (strikes(made, 1, 2000) == []) is clear


places = st.tuples(
    st.sampled_from([RAPID, FEED, FEED]),
    st.sampled_from([-24, -20, -12, -8, -1, 0, 1, 2, 3]),
    st.sampled_from([-1, 0, 4, 8, 10, 14, 16, 18, 20, 21, 22]),
)


def random_end(path: list[tuple[int, int, int]]) -> Certificate:
    stage = knowing(first_end(rows([(RAPID, 3, 21), *path])))
    return Certificate("random", {}, 5000, (TURNING,), (stage,))


@MANY
@given(st.lists(places, min_size=1, max_size=6), st.integers(0, 1000))
def test_what_is_let_pass_strikes_no_point(path: list[tuple[int, int, int]], seed: int) -> None:
    made = random_end(path)
    if holds(made):
        assert strikes(made, seed, POINTS) == []


def test_random_ways_are_let_pass_and_refused() -> None:
    """So that the test above cannot be empty."""
    known = [
        ([(RAPID, 3, 18), (FEED, -12, 18), (FEED, -12, 21), (RAPID, 3, 21)], True),
        ([(RAPID, 3, 18), (FEED, -12, 18), (RAPID, -8, 18), (RAPID, 3, 18)], True),
        ([(RAPID, -12, 18)], False),
        ([(RAPID, 3, 18), (FEED, -12, 18), (RAPID, -20, 18)], False),
    ]
    assert [holds(random_end(path)) for path, _ in known] == [answer for _, answer in known]


def numbers_of(value: Any, at: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """The way to every number and flag of a document."""
    if isinstance(value, dict):
        return [w for k, v in value.items() for w in numbers_of(v, (*at, k))]
    if isinstance(value, list):
        return [w for k, v in enumerate(value) for w in numbers_of(v, (*at, k))]
    return [at] if isinstance(value, int) else []


DOCUMENT = document(hand_certificate())
WAYS = numbers_of({k: DOCUMENT[k] for k in ("contact_limit", "tools", "stages")})
steps = st.sampled_from([1, 100_000, MM, 3 * MM, 12 * MM]).flatmap(
    lambda by: st.sampled_from([-by, by])
)


def altered(way: tuple[Any, ...], by: int) -> dict[str, Any]:
    """The document with one number moved, or one flag turned."""
    changed: dict[str, Any] = document(hand_certificate())
    inner: Any = changed
    for key in way[:-1]:
        inner = inner[key]
    value = inner[way[-1]]
    inner[way[-1]] = not value if isinstance(value, bool) else value + by
    return changed


def test_any_altered_number_is_refused(tmp_path: Path) -> None:
    before = DOCUMENT["sha256"]
    assert len(WAYS) > 300
    for way in WAYS:
        text = json.dumps({**altered(way, 1), "sha256": before}).encode("ascii")
        with pytest.raises(Refused, match="the file was altered"):
            audit_text(text, tmp_path)


@MANY
@given(st.sampled_from(WAYS), steps, st.integers(0, 1000))
# The first pass does not count, and the feed after it leaves the place where it ended.
@example(("stages", 0, "motions", 2, 11), 1, 0)
def test_an_altered_number_that_is_signed_again_passes_only_if_harmless(
    way: tuple[Any, ...], by: int, seed: int
) -> None:
    try:
        certificate = read_certificate(signed(altered(way, by)))
    except Refused:
        return
    if holds(certificate):
        assert strikes(certificate, seed, POINTS) == []
