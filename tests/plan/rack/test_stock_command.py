"""`stock` with a rack, as a user runs it: words, JSON, and racks that cannot be read."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

import standclear
from standclear.cli import app
from standclear.plan.rack.bars import Saw
from standclear.plan.rack.check import order_for
from standclear.plan.windows.stock import Window, stock_windows
from standclear.proof.held import Held

PIN = Path(__file__).parents[3] / "examples" / "demo-pin"
RACK = """units = "mm"
kerf = 2.0
trim = 5.0
remnant = 60.0

[[stock]]
name = "bright"
size = 48.0
length = 3000.0
material = "C45"
standard = "EN 10278 h11"
price_per_metre = 14.0

[[stock]]
name = "thick"
size = 52.0
length = 3000.0
material = "C45"
price_per_kilogram = 1.8

[[stock]]
name = "thin"
size = 44.0
length = 300.0
material = "C45"

[[stock]]
name = "brass"
size = 48.0
length = 1000.0
material = "brass"

[[stock]]
name = "stub"
size = 48.0
length = 140.0
"""


def run(*words: str) -> Result:
    return CliRunner().invoke(app, ["stock", *words], env={"COLUMNS": "200"})


@pytest.fixture(scope="module")
def rack(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("rack") / "rack.toml"
    path.write_text(RACK, encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def data(rack: Path) -> dict[str, object]:
    found = run(str(PIN), "--rack", str(rack), "--parts", "25", "--json")
    assert found.exit_code == 0, found.output
    loaded: dict[str, object] = json.loads(found.stdout)
    return loaded


@pytest.fixture(scope="module")
def pin() -> Held:
    return standclear.hold(standclear.read_job(PIN))


@pytest.fixture(scope="module")
def whole(pin: Held) -> Window:
    return stock_windows(pin, pin.files.job, standclear.judge(pin, pin.files.job))[-1]


def rows(data: dict[str, object]) -> dict[str, dict[str, object]]:
    found = data["rows"]
    assert isinstance(found, list)
    return {row["name"]: row for row in found}


def test_the_bar_of_the_job_is_clear_as_it_stands(data: dict[str, object]) -> None:
    """(3000 - 5 - 60) / 85 = 34.5: 34 blanks of 83, and 3000 - 5 - 34 x 85 = 105 left. 14 a metre:
    85 mm a part 1.19, the bar shared out 42 / 34 = 1.235. 0.00616538 x 48^2 x 0.083 = 1.179 kg."""
    row = rows(data)["bright"]
    assert (row["fit"], row["verdict"], row["in_window"]) == ("clear as it stands", "clear", True)
    assert row["pieces"] == {"count": 34, "left": 105.0}
    assert row["cost"] == pytest.approx(1.19)
    assert row["cost_shared"] == pytest.approx(42 / 34, abs=1e-6)
    assert row["weight"] == pytest.approx(1.179, abs=1e-3)


def test_a_thicker_bar_is_clear_after_the_words_of_the_readme(data: dict[str, object]) -> None:
    """Bar 52 with X51 strikes; X55 is 52 + 0.2 run-out + 2.5 margin rounded up to the half: at both
    ends. 0.00616538 x 52^2 = 16.671 kg a metre; 85 mm at 1.80 a kilogram 2.5507."""
    row = rows(data)["thick"]
    assert (row["fit"], row["verdict"], row["in_window"]) == (
        "clear after these edits", "contact", False,
    )  # fmt: skip
    changes = row["changes"]
    assert isinstance(changes, list)
    assert [(c["line"], c["old"], c["new"]) for c in changes] == [
        (10, "X51.", "X55."), (40, "X51.", "X55."),
    ]  # fmt: skip
    assert row["cost"] == pytest.approx(2.5507, abs=1e-3)


def test_what_is_not_possible_says_why(data: dict[str, object]) -> None:
    """Bar 44 never gives a collar of 45; another material is not asked of the proof; 140 less 65
    leaves 75, no blank of 83."""
    found = rows(data)
    assert {name: found[name]["fit"] for name in ("thin", "brass", "stub")} == dict.fromkeys(
        ("thin", "brass", "stub"), "not possible"
    )
    reasons = found["thin"]["reasons"]
    assert isinstance(reasons, list)
    assert {"diameter-left-raw", "size-wrong"} & set(reasons)
    assert "C45" in str(found["brass"]["why"]) and "brass" in str(found["brass"]["why"])
    assert "too short" in str(found["stub"]["why"])
    assert found["brass"]["verdict"] is None and found["stub"]["verdict"] is None


def test_what_to_order(data: dict[str, object]) -> None:
    """5 + 60 + 25 x (83 + 2) = 2190 mm; 0.00616538 x 48^2 x 2.19 = 31.11 kg. Sizes as in the
    window: 45.38 to 50.81."""
    order = data["order"]
    assert isinstance(order, dict)
    assert order["bar_length"] == pytest.approx(2190.0)
    assert order["cut_length"] == pytest.approx(83.0)
    assert order["weight"] == pytest.approx(31.11, abs=0.01)
    assert (order["least_size"], order["greatest_size"]) == pytest.approx((45.38, 50.81), abs=3e-3)


def test_bars_to_order_have_a_trim_and_a_remnant_each(pin: Held, whole: Window) -> None:
    """50 blanks of 83: (3000 - 65) / 85 = 34 a bar, so 2 bars; (1000 - 65) / 85 = 11 exactly, 5
    bars; 140 gives none. In one length 50 x 85 + 65 = 4315, less than either."""
    saw = Saw(kerf=2.0, trim=5.0, remnant=60.0)
    order = order_for(pin.files.job, 50, saw, whole, [3000.0, 140.0, 1000.0, 3000.0])
    assert order.bars == ((1000.0, 11, 5), (3000.0, 34, 2))
    assert order.bar_length == pytest.approx(4315.0)


def test_shifts_stand_in_the_data(data: dict[str, object]) -> None:
    shifts = data["shifts"]
    assert isinstance(shifts, list)
    assert [s["offsets"] for s in shifts] == [["G54"], ["G55"]]
    assert shifts[0]["toward"]["by"] == pytest.approx(1.54, abs=3e-3)
    assert shifts[0]["toward"]["verdict"] == "clear"


def test_in_words(rack: Path) -> None:
    found = run(str(PIN), "--rack", str(rack), "--parts", "25")
    assert found.exit_code == 0, found.output
    for said in (
        "Blanks that would also be clear",
        "How far each zero may be moved",
        "towards the chuck, value smaller by 1.54 mm at most",
        "bright: round 48.0 mm, 3000.0 mm long, 1 at hand: clear as it stands",
        "34 blanks of 83.0 mm a bar, 105.0 mm left; 1.179 kg a blank",
        "thick: round 52.0 mm, 3000.0 mm long, 1 at hand: clear after these edits",
        "line 10: X51. -> X55.",
        "thin: round 44.0 mm, 300.0 mm long, 1 at hand: not possible",
        "because the job asks for C45, this is brass",
        "To order for 25 parts",
        "2190.0 mm of bar in one length, with saw cuts, trim and remnant, 31.11 kg",
        "or 1 x 3000.0 mm, 34 blanks a bar",
    ):
        assert said in found.stdout, said


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("kerf = 2.0\n", "units"),
        (RACK.replace("size = 52.0", 'size = "52"'), 'stock[1].size is "52"'),
        (RACK.replace("price_per_metre", "price"), "stock[0].price"),
        ("units = mm\n", "line 1"),
    ],
)
def test_a_rack_that_cannot_be_read_is_no_answer(tmp_path: Path, text: str, said: str) -> None:
    path = tmp_path / "bars.toml"
    path.write_text(text, encoding="utf-8")
    found = run(str(PIN), "--rack", str(path))
    assert found.exit_code == 2
    assert "bars.toml" in found.output and said in found.output
    assert "Traceback" not in found.output
    assert path.read_text(encoding="utf-8") == text


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--parts", "0", "--rack", "x.toml"), "give 1 or more"),
        (("--parts", "5"), "--parts needs --rack"),
        (("--rack", "none.toml"), "none.toml"),
    ],
)
def test_wrong_usage_is_no_answer(words: tuple[str, ...], said: str) -> None:
    found = run(str(PIN), *words)
    assert found.exit_code == 2
    assert said in found.output
