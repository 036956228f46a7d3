"""What the card says where the sum from the point keyed in is not what the display shows."""

from __future__ import annotations

import shutil
from pathlib import Path

from typer.testing import CliRunner

from standclear.cli import app

EXAMPLES = Path(__file__).parents[3] / "examples"


def test_a_cycle_starts_off_by_its_allowance_and_the_card_says_from_where(tmp_path: Path) -> None:
    """G71 U1.6, U0.5 W0.1 from X52 Z5: first to X52.5 Z5.1, then 3.2 in on diameter: X49.3 Z5.1."""
    folder = tmp_path / "pin"
    shutil.copytree(EXAMPLES / "demo-pin", folder)
    text = (folder / "pin.nc").read_text()
    (folder / "pin.nc").write_text(text.replace("X51. Z5.\nG71", "X52. Z5.\nG71", 1))
    said = CliRunner().invoke(app, ["check", str(folder)]).stdout
    assert ", from X49.3 Z5.1" in said


def test_a_set_up_in_contact_is_told_so() -> None:
    said = CliRunner().invoke(app, ["check", str(EXAMPLES / "demo-pin"), "--bar", "52"]).stdout
    assert "This set-up is in contact: mend it first." in said
