"""What a setter looks for by eye. Each case: what draws the finding, and a near miss beside it.

The tools stand at home when they are called; bar 50, so r 25 (lathe_shop).
"""

from typing import Any

import pytest
from lathe_shop import BEGIN, codes, trace, unproven_from

from standclear.findings.finding import Severity

NEXT = "G28 U0 W0\nT0202\n"
CUT = "G01 Z-5. F.2\nG00 X62.\nZ5.\n"


@pytest.mark.parametrize(
    ("program", "found"),
    [
        # coolant: on for tool 1, forgotten for tool 2
        (BEGIN + "M08\n" + CUT + "M09\n" + NEXT + "G00 X60. Z5.\n" + CUT, ["coolant-off"]),
        (BEGIN + "M08\n" + CUT + "M09\n" + NEXT + "G00 X60. Z5. M08\n" + CUT, []),
        # a program that is dry throughout is taken as meant
        (BEGIN + CUT, []),
        # F 0.2 given for tool 1 only
        (BEGIN + CUT + NEXT + "G00 X60. Z5.\nG01 Z-5.\n", ["feed-left"]),
        (BEGIN + CUT + NEXT + "G00 X60. Z5. F.2\nG01 Z-5.\n", []),
        # per minute left on: F0.2 is then 0.2 mm a minute as well
        (
            BEGIN + "G98\nG01 Z-5. F200.\n" + NEXT + "G00 X60. Z5.\nG01 Z-5. F.2\n",
            ["feed-odd", "feed-left"],
        ),
        (BEGIN + "G98\nG01 Z-5. F200.\n" + NEXT + "G99\nG00 X60. Z5.\nG01 Z-5. F.2\n", []),
        # the profile's own F serves finishing
        (BEGIN + NEXT + "G00 X60. Z5.\nG70 P1 Q2\nM30\nN1 G00 X50.\nN2 G01 Z-9. F.1\n", []),
        (
            BEGIN + NEXT + "G00 X60. Z5.\nG70 P1 Q2\nM30\nN1 G00 X50.\nN2 G01 Z-9. F9.\n",
            ["feed-odd"],
        ),
        # 200 mm a revolution
        (BEGIN + "G01 Z-5. F200.\n", ["feed-odd"]),
        (BEGIN + "G01 Z-5. F2.\n", []),
        ("G21 G54\nT0101\nG97 S1000 M03\nG00 X60. Z5.\nG01 Z-5.\n", ["feed-odd"]),
        # 180 m/min meant, G97 left
        (BEGIN + "G97 S12000\n" + CUT, ["speed-odd"]),
        (BEGIN + "G97 S9000\n" + CUT, []),
        (BEGIN + "G50 S2000\nG96 S2000\n" + CUT, ["speed-odd"]),
        # G01 left on from tool 1
        (BEGIN + "G01 Z-5. F.2\n" + NEXT + "X60. Z5. F.2\n", ["feed-left-on"]),
        (BEGIN + "G01 Z-5. F.2\n" + NEXT + "G00 X60. Z5.\n", []),
        # 95 mm through air in both axes by a feed that no word of the block asks for
        (BEGIN + "G01 Z-5. F.2\nX62.\nX100. Z90.\n", ["feed-left-on"]),
        (BEGIN + "G01 Z-5. F.2\nX62.\nG01 X100. Z90.\n", []),
        (BEGIN + "G01 Z-5. F.2\nX62.\nX64. Z-4.\n", []),
    ],
)
def test_by_eye(program: str, found: list[str]) -> None:
    assert codes(trace(program)) == found


def test_the_cure_shows_the_block_as_it_should_be() -> None:
    program = BEGIN + "G01 Z-5. F.2\n" + NEXT + "N70 X60. Z5. F.2 (GO THERE)\n"
    (finding,) = trace(program).findings
    assert finding.cure == "Write G00 in this block: N70 G00 X60. Z5. F.2 (GO THERE)."


def test_a_change_near_the_work() -> None:
    """Bar 50: at X60 the tool stands 5 from it, at Z60 60 in front."""
    near, far = BEGIN + "T0202\n", BEGIN + "G00 Z60.\nT0202\n"
    tools: list[dict[str, Any]] = [{"station": n, "geometry": {"x": 0.0, "z": 0.0}} for n in (1, 2)]
    assert codes(trace(near, tools=tools)) == ["change-near-work"]
    assert codes(trace(far, tools=tools)) == []
    assert codes(trace(far, tools=tools, safe_z=70.0)) == ["change-near-work"]
    assert codes(trace(far, tools=tools, safe_z=60.0)) == []


def test_the_first_move_in_both_axes_matters_where_it_is_not_straight() -> None:
    both, one = BEGIN, BEGIN.replace("X60. Z5.", "Z5.\nX60.")
    assert codes(trace(both, rapid_path="unknown")) == ["approach-in-both-axes"]
    assert codes(trace(one, rapid_path="unknown")) == []
    assert codes(trace(both)) == []


@pytest.mark.parametrize("mark", [{"label": 200, "reached": "running"}, {"offset": "G55"}])
def test_the_stop_for_turning_round(mark: dict[str, object]) -> None:
    text = BEGIN + "G01 Z4. F.2\nG28 U0 W0\n{}N200 G55\nT0202\nG00 X60. Z5.\n"
    setups = [{"end": mark}, {"start": mark, "offset": "G55"}]
    missing = trace(text.format(""), setup=1, setups=setups)
    assert [(f.code, f.severity) for f in missing.findings] == [
        ("turning-stop-missing", Severity.STOP)
    ]
    assert unproven_from(missing) == 0, "the part is still the first way round"
    assert codes(trace(text.format("M00\n"), setup=1, setups=setups)) == []
    assert codes(trace(text.format("M00\nG28 U0 W0\n"), setup=1, setups=setups)) == []
    moved = text.format("M00\nG01 Z4. F.2\nG28 U0 W0\n")
    assert codes(trace(moved, setup=1, setups=setups)) == ["turning-stop-missing"]
    same = [setups[0], {**setups[1], "turned": False, "seat": {"on": "stop"}}]
    assert codes(trace(text.format(""), setup=1, setups=same)) == []


def test_machine_words_do_what_the_job_says() -> None:
    assert "M20 (first on line 5) moves nothing" in trace(BEGIN + "M20\n").trusted
    catcher = trace(BEGIN + "M20\n", m_words=[{"number": 20, "does": "parts-catcher"}])
    assert codes(catcher) == []
    assert "M20 moves the parts catcher, whose way is not examined" in catcher.trusted
    pull = trace(BEGIN + "M20\nG00 Z4.\n", m_words=[{"number": 20, "does": "pulls-bar"}])
    assert codes(pull) == ["cannot-follow"]
    assert "it pulls the bar" in pull.findings[0].message
    assert unproven_from(pull) == 2


@pytest.mark.parametrize(
    ("block", "reason"),
    [
        ("G31 Z-5.", "found at the machine"),
        ("G12.1", "turns by itself"),
        ("G68", "sign of an axis"),
        ("C90.", "besides X and Z"),
        ("G00 Z3. Y5.", "besides X and Z"),
        ("G17", "another plane"),
    ],
)
def test_what_cannot_be_proved_says_why(block: str, reason: str) -> None:
    found = trace(BEGIN + block + "\n")
    assert codes(found) == ["cannot-follow"]
    assert reason in found.findings[0].message
