"""The example jobs answer as their comments say; every number is a hand sum that stands there."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path

import pytest

from standclear.findings.finding import Finding, Severity, Verdict
from standclear.job.read import read_job
from standclear.proof.prove import prove
from standclear.proof.result import JobProof

EXAMPLES = Path(__file__).parents[2] / "examples"
INCH = 25.4
OUTLINE_MM = 0.002
"""Depths and gaps are told from outlines that leave true arcs and chords by up to 0.001 mm each."""

CLEAR: list[tuple[str, dict[str, float]]] = [
    ("demo-pin", {}),
    ("thicker-bar", {"bar": 40}),
    ("longer-blank", {"length": 71}),
    ("shift-left-behind", {"length": 3.35, "face": 0.025}),
    ("shift-moved-along", {}),
    ("bent-rapid/straight.toml", {}),
    ("sleeve", {}),
    ("inch-flange", {}),
    ("inch-flange-in-mm", {}),
    ("hexagon-fitting", {}),
    ("parted-collar", {}),
    ("threaded-stud", {}),
]


@cache
def answer(name: str, **stand_in: float) -> JobProof:
    """The proof of an example, with values of the command line."""
    return prove(read_job(EXAMPLES / name, **stand_in))


def weighty(proof: JobProof) -> list[Finding]:
    """Findings above a note."""
    return [each for each in proof.findings if each.severity > Severity.NOTE]


def first(proof: JobProof, code: str, setup: str) -> Finding:
    """The first finding of a code in a set-up."""
    return next(each for each in proof.findings if each.code == code and each.setup == setup)


def measured(finding: Finding, name: str) -> float:
    """One measure of a finding, mm."""
    return next(float(each.value) for each in finding.measures if each.name == name)


@pytest.mark.parametrize(("name", "stand_in"), CLEAR)
def test_clear(name: str, stand_in: dict[str, float]) -> None:
    proof = answer(name, **stand_in)
    assert weighty(proof) == []
    assert proof.verdict is Verdict.CLEAR


def test_demo_pin_strikes_at_both_ends_with_the_other_bar() -> None:
    proof = answer("demo-pin", bar=52, length=86.5)
    assert [each.verdict for each in proof.setups] == [Verdict.CONTACT, Verdict.CONTACT]
    front = first(proof, "rapid-into-metal", "front end")
    assert front.place is not None and front.place.words.startswith("G94")
    # 52/2 + 0.2/2 - 51/2 on radius, from the face at 2.0 + 0.05 down to Z1.
    assert measured(front, "depth_x") == pytest.approx(0.6, abs=OUTLINE_MM)
    assert measured(front, "z_to") == pytest.approx(2.05, abs=OUTLINE_MM)
    back = first(proof, "rapid-into-metal", "back end")
    assert back.place is not None and back.place.words == "G00 X51. Z5. M08"
    # 86.5 + 0.2 - 2.0 + 0.05 - 79 + 0.2 (leaning cut) stand out.
    assert measured(back, "z_to") == pytest.approx(5.95, abs=OUTLINE_MM)


def test_thicker_bar_strikes_in_the_facing_infeed() -> None:
    proof = answer("thicker-bar")
    assert [each.verdict for each in proof.setups] == [Verdict.CONTACT, Verdict.CONTACT]
    strike = first(proof, "rapid-into-metal", "spigot end")
    assert strike.place is not None and strike.place.words.startswith("G72 P100")
    # 44/2 + 0.2/2 - 43/2, less what the nose of 0.8 is rounded by at the face: it stands at Z0.9,
    # its centre at Z1.7 and r 22.3, so at Z1.55 it reaches 22.3 - sqrt(0.8^2 - 0.15^2) = 21.514.
    assert measured(strike, "depth_x") == pytest.approx(22.1 - 21.514, abs=OUTLINE_MM)
    deep = first(proof, "cut-too-deep", "foot end")
    assert measured(deep, "depth") == pytest.approx(3.1, abs=OUTLINE_MM)


def test_longer_blank_strikes_in_the_roughing_infeed() -> None:
    proof = answer("longer-blank")
    assert proof.setups[0].verdict is Verdict.CONTACT
    strike = first(proof, "rapid-into-metal", "front end")
    assert strike.place is not None and strike.place.words.startswith("G71 P100")
    # 75 + 0.2 - 69.5 stand out, the infeeds go down at 4.5 + 0.1.
    assert measured(strike, "depth_z") == pytest.approx(1.1, abs=OUTLINE_MM)
    assert measured(strike, "to_x") == pytest.approx(2 * 26.6)


def test_shift_left_behind_strikes_in_the_roughing_infeed() -> None:
    proof = answer("shift-left-behind")
    assert proof.setups[0].verdict is Verdict.CONTACT
    strike = first(proof, "rapid-into-metal", "front end")
    assert strike.place is not None and strike.place.words.startswith("G71 P100")
    assert measured(strike, "depth_z") == pytest.approx(0.048 * INCH, abs=OUTLINE_MM)


def test_bent_rapid_strikes_the_collar() -> None:
    proof = answer("bent-rapid")
    assert [each.verdict for each in proof.setups] == [Verdict.CONTACT, Verdict.CLEAR]
    (strike,) = weighty(proof)
    assert strike.place is not None and strike.place.words == "G00 X44. Z5."
    assert measured(strike, "depth_x") == pytest.approx(7.0, abs=OUTLINE_MM)


def test_jaws_too_near() -> None:
    proof = answer("jaws-too-near")
    assert proof.verdict is Verdict.CLEAR
    (near,) = weighty(proof)
    assert near.code == "jaws-near"
    assert measured(near, "gap") == pytest.approx(0.35, abs=OUTLINE_MM)


def test_shorter_blank_strikes_the_jaws() -> None:
    proof = answer("jaws-too-near", length=62.4)
    assert [each.verdict for each in proof.setups] == [Verdict.CONTACT, Verdict.CLEAR]
    struck = first(proof, "jaws-struck", "guide end")
    assert measured(struck, "depth") == pytest.approx(0.25, abs=OUTLINE_MM)


def test_second_end_leaves_a_band() -> None:
    proof = answer("second-end-band")
    assert proof.verdict is Verdict.CLEAR
    (band,) = weighty(proof)
    assert band.code == "band-left"
    # 3, and 0.05 of measuring may add to it.
    assert measured(band, "width") == pytest.approx(3.05, abs=OUTLINE_MM)


def test_second_end_runs_in_the_wrong_offset() -> None:
    proof = answer("second-end-offset")
    assert [each.verdict for each in proof.setups] == [Verdict.CLEAR, Verdict.CONTACT]
    assert first(proof, "wrong-work-offset", "foot end").severity is Severity.STOP
    strike = first(proof, "rapid-into-metal", "foot end")
    assert measured(strike, "depth_z") == pytest.approx(3.75, abs=OUTLINE_MM)
    jaws = first(proof, "jaws-struck", "foot end")
    assert measured(jaws, "depth") == pytest.approx(5.0, abs=OUTLINE_MM)


def test_hexagon_strikes_over_its_corners() -> None:
    proof = answer("hexagon-fitting", bar=33)
    assert [each.verdict for each in proof.setups] == [Verdict.CONTACT, Verdict.CONTACT]
    for setup in ("groove end", "pipe end"):
        strike = first(proof, "rapid-into-metal", setup)
        assert strike.place is not None and strike.place.words.startswith("G94")
        # 33/sqrt(3) over the corners, half of 0.2 of run-out, and the tool at 35/2.
        assert measured(strike, "depth_x") == pytest.approx(1.653, abs=OUTLINE_MM)


def test_collar_falls_and_is_held_again() -> None:
    (fall,) = [each for each in answer("parted-collar").findings if each.code == "loose-metal"]
    assert fall.severity is Severity.NOTE
    assert fall.place is not None and fall.place.words == "G01 X16. F0.08"
    # Parted 3 wide at Z-15.4: what falls is 12.4 long.
    assert measured(fall, "z_from") == pytest.approx(-12.4, abs=OUTLINE_MM)
    struck = first(answer("parted-collar", length=60), "jaws-struck", "from the bar")
    # 1.1 - 59 + 40 = -17.9 for the jaws, -15.4 + 3 - 8 = -20.4 for the body.
    assert measured(struck, "depth") == pytest.approx(2.5, abs=OUTLINE_MM)


def test_flange_is_the_same_in_both_units() -> None:
    inch, mm = answer("inch-flange"), answer("inch-flange-in-mm")
    for one, other in zip(inch.setups, mm.setups, strict=True):
        assert one.metal_after.area == pytest.approx(other.metal_after.area, rel=1e-6)
        assert one.keep_out.area == pytest.approx(other.keep_out.area, rel=1e-6)


@pytest.mark.parametrize(
    "path", sorted(EXAMPLES.glob("*/*.toml")), ids=lambda p: f"{p.parent.name}/{p.name}"
)
def test_every_file_is_toml_and_every_job_says_what_to_expect(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    tomllib.loads(text)
    if path.name in ("job.toml", "straight.toml"):
        assert text.startswith("# ") and "xpect" in text.split("\ntitle")[0]


def test_the_threaded_stud_strikes_a_thicker_bar_in_the_first_infeed() -> None:
    proof = answer("threaded-stud", bar=42.5)
    struck = first(proof, "rapid-into-metal", "shank")
    assert struck.place is not None and struck.place.words.startswith("G94")
    # 42.5/2 + 0.1/2 - 42/2 on radius, from the face at 2.0 + 0.05.
    assert measured(struck, "depth_x") == pytest.approx(0.3, abs=OUTLINE_MM)
    assert measured(struck, "z_to") == pytest.approx(2.05, abs=OUTLINE_MM)
