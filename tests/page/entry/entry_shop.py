"""Documents of the example jobs, for the tests of the form."""

from __future__ import annotations

from pathlib import Path

from standclear.job.toml_text import parse_toml
from standclear.page.entry.documents import Documents, named_files

EXAMPLES = Path(__file__).parents[3] / "examples"
JOBS = sorted(EXAMPLES.glob("*/*.toml"))
JOBS = [path for path in JOBS if "[blank]" in path.read_text("utf-8")]


def documents_of(path: Path) -> Documents:
    """A job file with the files that it names."""
    text = path.read_text("utf-8")
    names = named_files(parse_toml(text.encode("utf-8"), path.name)).values()
    texts = {name: (path.parent / name).read_text("utf-8") for name in names}
    return Documents(path.name, {path.name: text, **texts})
