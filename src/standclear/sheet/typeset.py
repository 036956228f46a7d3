"""From content to PDF by typst, with the fonts that typst carries and nothing of the machine's.

The content goes to the template as JSON, as data: a name or a block of a program is never read as
markup, whatever stands in it.
"""

from __future__ import annotations

import json
from dataclasses import asdict
from datetime import datetime
from importlib import resources
from typing import Literal

from standclear.sheet.content import Sheet

TEMPLATE = "template.typ"


def to_pdf(sheet: Sheet, at: datetime) -> bytes:
    """The sheet as PDF; the same content and time give the same bytes. `at` needs a time zone."""
    return b"".join(_compiled(sheet, at, "pdf"))


def to_png(sheet: Sheet, at: datetime, dots_per_inch: float = 110.0) -> list[bytes]:
    """Each page as PNG."""
    return _compiled(sheet, at, "png", dots_per_inch)


def _compiled(
    sheet: Sheet, at: datetime, form: Literal["pdf", "png"], dots_per_inch: float | None = None
) -> list[bytes]:
    import typst

    template = (resources.files("standclear.sheet") / TEMPLATE).read_bytes()
    made = typst.compile(
        template,
        format=form,
        ppi=dots_per_inch,
        ignore_system_fonts=True,
        sys_inputs={"sheet": json.dumps(asdict(sheet), ensure_ascii=True)},
        timestamp=at.replace(microsecond=0),
    )
    assert made is not None
    return made if isinstance(made, list) else [made]
