"""What must hold of any job: a larger blank never fares better, a shifted zero with shifted words
changes nothing, an inch job answers like its metric twin.

Lengths are whole hundredths of an inch, so that they are exact in inches and in millimetres.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from proof_shop import codes, files_of, proof_of, weighed

import standclear
from standclear import JobFiles, JobProof, Verdict

Block = tuple[str, int, int]
"""(G word, diameter, Z)."""
BAR, LENGTH, FACE = 150, 240, 5
EDGE = [(0, 0), (24, 2), (90, 16), (90, 360), (6, 360), (6, 48)]
JAW = [(0, 0), (60, 0), (60, 80), (0, 80)]

blocks = st.tuples(
    st.sampled_from(["G00", "G01", "G01"]),
    st.one_of(st.integers(151, 190), st.integers(110, 190), st.integers(0, 190)),
    st.integers(-120, 25),
)
paths = st.lists(blocks, min_size=2, max_size=6)
FEW = settings(max_examples=40, derandomize=True)


def written(hundredths: int, inch: bool) -> str:
    exact = Decimal(hundredths) * (Decimal("0.01") if inch else Decimal("0.254"))
    return f"{exact:.3f}"


def program(path: Sequence[Block], *, inch: bool = False, shift: int = 0) -> str:
    unit = "G20" if inch else "G21"
    lines = [unit, f"G00 X{written(200, inch)} Z{written(40 + shift, inch)}"]
    for word, x, z in path:
        feed = " F0.01" if word == "G01" else ""
        lines.append(f"{word} X{written(x, inch)} Z{written(z + shift, inch)}{feed}")
    return "\n".join(lines) + "\n"


def job_of(*, inch: bool = False, bar: int = BAR, length: int = LENGTH, face: int = FACE) -> Any:
    """The rest of the job, as `job_text` takes it."""

    def points(outline: list[tuple[int, int]]) -> str:
        return ", ".join(f"[{written(z, inch)}, {written(r, inch)}]" for z, r in outline)

    return {
        "units": "inch" if inch else "mm",
        "blank": f"size = {written(bar, inch)}\nlength = {written(length, inch)}",
        "part": f"length = {written(length - 10, inch)}",
        "tools": {1: f"outline = {{ points = [{points(EDGE)}], cutting = [0, 5] }}"},
        "zero": f'way = "touch", face_allowance = {written(face, inch)}',
        "jaws": f"{{ profile = [{points(JAW)}] }}",
        "margin": ", ".join(
            f"{k} = {written(v, inch)}" for k, v in (("x", 9), ("z", 9), ("jaws", 4))
        ),
    }


def held_of(path: Sequence[Block], **job: int) -> JobFiles:
    return files_of(program(path), **job_of(**job))


def strikes(proof: JobProof) -> list[tuple[int, str, str]]:
    return [(s.motion, str(s.part), s.against) for s in proof.setups[0].strikes]


def same(one: JobProof, other: JobProof, shift_mm: float = 0.0) -> None:
    """Verdict, strikes and findings agree; every Z of a finding is `shift_mm` further out."""
    assert one.verdict is other.verdict
    assert strikes(one) == strikes(other)
    assert codes(one) == codes(other)
    for a, b in zip(weighed(one), weighed(other), strict=True):
        assert a.motion == b.motion
        for mine, theirs in zip(a.measures, b.measures, strict=True):
            if isinstance(mine.value, str):
                continue
            by = shift_mm if theirs.quantity == "z" else 0.0
            assert theirs.value == pytest.approx(mine.value + by, abs=1e-6), mine.name


@FEW
@given(paths, st.integers(60, 190), st.integers(0, 60))
def test_a_thicker_bar_is_never_clear_where_a_thinner_one_strikes(
    path: list[Block], bar: int, more: int
) -> None:
    held = standclear.hold(held_of(path))
    thin, thick = (standclear.ask(held, bar=0.254 * d) for d in (bar, bar + more))
    if thin.verdict is Verdict.CONTACT:
        # The jaws open with the bar, so metal alone is compared.
        struck = [s for s in thin.setups[0].strikes if s.against == "metal"]
        assert not struck or thick.verdict is not Verdict.CLEAR


@FEW
@given(paths, st.integers(0, 20), st.integers(0, 30))
def test_a_face_further_out_is_never_clear_where_a_nearer_one_strikes(
    path: list[Block], face: int, more: int
) -> None:
    held = standclear.hold(files_of(program(path), **(job_of() | {"jaws": None})))
    near, far = (standclear.ask(held, face=0.254 * f) for f in (face, face + more))
    if near.verdict is Verdict.CONTACT:
        assert far.verdict is not Verdict.CLEAR


@FEW
@given(paths, st.integers(-4, 40))
def test_moving_the_zero_and_every_word_changes_nothing(path: list[Block], shift: int) -> None:
    # The zero moved towards the chuck by `shift`: the face stands that much further in front of it
    # and every programmed Z is that much more.
    moved = proof_of(program(path, shift=shift), **job_of(face=FACE + shift))
    same(proof_of(program(path), **job_of()), moved, 0.254 * shift)


@FEW
@given(paths)
def test_an_inch_job_answers_like_its_metric_twin(path: list[Block]) -> None:
    metric = proof_of(program(path), **job_of())
    inch = proof_of(program(path, inch=True), **job_of(inch=True))
    same(metric, inch)


@FEW
@given(paths, st.integers(100, 180))
def test_contact_if_and_only_if_metal_overlaps_the_keep_out(path: list[Block], bar: int) -> None:
    proof = standclear.ask(standclear.hold(held_of(path)), bar=0.254 * bar)
    (setup,) = proof.setups
    overlap = setup.keep_out.intersection(setup.metal_before).area
    struck = any(s.against == "metal" for s in setup.strikes)
    assert struck is (overlap > 1e-6)
    if struck and not any(f.unproven for f in proof.findings):
        assert setup.verdict is Verdict.CONTACT
