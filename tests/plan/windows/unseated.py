"""The demo pin in jaws that it cannot sit in."""

from __future__ import annotations

import shutil
from pathlib import Path

EXAMPLES = Path(__file__).parents[3] / "examples"


def unseated_pin(folder: Path) -> str:
    """The pin's folder, copied below `folder`, with soft jaws whose land reaches over the whole
    front journal of 30: they are to close on that, and the collar of 45 stands in them."""
    pin = folder / "pin"
    shutil.copytree(EXAMPLES / "demo-pin", pin)
    jaws, job = pin / "soft-jaws.toml", pin / "job.toml"
    jaws.write_text(jaws.read_text().replace("24.0", "2.0"))
    job.write_text(job.read_text().replace("grip_diameter = 45.0", "grip_diameter = 30.0"))
    return str(pin)
