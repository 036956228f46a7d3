"""Lets these tests use the small jobs of the proof's tests, and the checker's points."""

import sys
from pathlib import Path

for folder in ("proof", "audit", "sweeps"):
    sys.path.insert(0, str(Path(__file__).resolve().parents[1] / folder))
