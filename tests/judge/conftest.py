"""Puts the repository's root on the path: the judge stands beside the sources, not in them."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
