"""Lets the tests of the proof use the tools and tables of the tests of the sweeps."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "sweeps"))
