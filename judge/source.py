"""What a run was made with: the text of the proof and of the judge, and the commit."""

from __future__ import annotations

import hashlib
import subprocess
from importlib.util import find_spec
from pathlib import Path

JUDGE = Path(__file__).parent
PROOF = (
    "blocks", "errors.py", "files.py", "findings", "interval.py", "job", "motions", "proof",
    "sweeps", "tools",
)  # fmt: skip
"""Parts of the package that a proof runs through."""
WINDOWS = (*PROOF, "plan")
"""The same of stock windows."""


def package() -> Path:
    """The folder of the package that is proved with."""
    found = find_spec("standclear")
    if found is None or found.origin is None:
        raise ModuleNotFoundError("standclear is not installed")
    return Path(found.origin).parent


def tree_hash(parts: tuple[str, ...], root: Path | None = None, judge: Path = JUDGE) -> str:
    """A hash of the text of the package's `parts` and of the judge, its first 16 digits.

    Any change of a file, of its name or of its place changes it; nothing else does.
    """
    root = root or package()
    digest = hashlib.sha256()
    folders = [(f"package/{part}", root / part) for part in parts] + [("judge", judge)]
    for name, folder in folders:
        files = [folder] if folder.is_file() else sorted(folder.rglob("*.py"))
        for path in files:
            text = path.read_bytes()
            place = path.relative_to(folder).as_posix()
            digest.update(f"{name}/{place}\0{len(text)}\0".encode() + text)
    return digest.hexdigest()[:16]


def checkout(folder: Path = JUDGE) -> tuple[str, bool | None]:
    """The commit, and whether nothing differs from it; empty and None without a checkout."""
    try:
        commit = _git(folder, "rev-parse", "HEAD")
        return commit, not _git(folder, "status", "--porcelain")
    except (OSError, subprocess.CalledProcessError):
        return "", None


def _git(folder: Path, *words: str) -> str:
    done = subprocess.run(
        ["git", *words], cwd=folder, capture_output=True, text=True, check=True, timeout=60
    )
    return done.stdout.strip()


def made_with(seed: int, count: int, pixel: float, commit: str, clean: bool | None, source: str
              ) -> str:  # fmt: skip
    """In a line what a run was made with."""
    state = " with changes not committed" if clean is False else ""
    return (f"seeds {seed} to {seed + count - 1}, pixel {pixel:g} mm; commit "
            f"{commit[:12] or 'none'}{state}; source {source}")  # fmt: skip
