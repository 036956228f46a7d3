"""Lets the tests of the checker use their own certificate by hand and points."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent))
