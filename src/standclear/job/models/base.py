"""What every table of a job file is built on."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Discriminator, Field, Tag

INLINE_TAG = "<table>"

FILE_TAG = "<file>"


def _inline_or_file(value: Any) -> str:
    return FILE_TAG if isinstance(value, str) else INLINE_TAG


NAMED_OR_INLINE = Discriminator(_inline_or_file)
"""Lets a table stand inline or as a file name without either being judged as the other."""

FileName = Annotated[str, Field(min_length=1), Tag(FILE_TAG)]


@dataclass(frozen=True, slots=True)
class Form:
    """The form that a text must have, in words for whoever typed it."""

    words: str


OffsetWord = Annotated[
    str,
    Field(pattern=r"^(G5[4-9]|G54\.1 P[1-9]\d{0,2})$"),
    Form('a work offset, "G54" to "G59" or such as "G54.1 P3"'),
]
"""`G54` to `G59`, or a further one such as `G54.1 P3`."""


class Table(BaseModel):
    """Base of every table of the file: frozen, unknown keys are errors."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)
