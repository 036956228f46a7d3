"""The whole job, and the files that jobs may share."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, Tag

from standclear.job.models.base import INLINE_TAG, NAMED_OR_INLINE, FileName, Table
from standclear.job.models.jaws import Jaws, JawsInline
from standclear.job.models.machine import Machine, MWord
from standclear.job.models.setup import Allowed, Setup
from standclear.job.models.shop import Shop
from standclear.job.models.stock import Blank, Part
from standclear.job.models.tools import Tool
from standclear.job.units import Length, Number, Units


class Job(Table):
    """A whole job file."""

    title: str = ""
    units: Units
    blank: Blank
    part: Part
    machine: Annotated[Annotated[Machine, Tag(INLINE_TAG)] | FileName, NAMED_OR_INLINE] = Field(
        default_factory=Machine
    )
    """Inline, or the name of a file beside the job file. A proof needs it, a plan does not; the
    same goes for tools and set-ups."""
    tools: Annotated[
        Annotated[list[Tool], Field(min_length=1), Tag(INLINE_TAG)] | FileName, NAMED_OR_INLINE
    ] = Field(default_factory=list)
    """Inline, or the name of a file beside the job file."""
    jaws: Annotated[JawsInline | FileName, NAMED_OR_INLINE] | None = None
    """Of every set-up that gives none of its own; left out: no jaws are examined."""
    setup: Annotated[list[Setup], Field(min_length=1)] = Field(default_factory=list)
    shop: Annotated[Annotated[Shop, Tag(INLINE_TAG)] | FileName, NAMED_OR_INLINE] = Field(
        default_factory=Shop
    )
    """Inline, or the name of a file beside the job file. Time and cost are counted with it; no
    proof needs it."""
    subprograms: list[Annotated[str, Field(min_length=1)]] = []
    """Names of files beside the job file that hold programs which others call."""
    variables: dict[str, Number] = {}
    """Common variables as the control holds them when a program starts: number and value, in the
    unit that programs use them in."""
    m_words: list[MWord] = []
    contact_limit: Length | None = Field(default=None, gt=0)
    """Depth below which touching is not striking; left out: 0.005 mm."""
    allow: list[Allowed] = []
    guesses: list[Annotated[str, Field(min_length=1)]] = []
    """Names of keys of this file whose values were guessed from a program and are not confirmed
    yet, such as `blank.size`. While one stands here, the answer is unproven."""


class MachineFile(Machine):
    """A file that holds a machine."""

    units: Units | None = None
    """Unit of this file; left out: the job's."""


class ShopFile(Shop):
    """A file that holds what the shop counts with."""

    units: Units | None = None
    """Unit of this file; left out: the job's."""


class ToolsFile(Table):
    """A file that holds tools."""

    units: Units | None = None
    """Unit of this file; left out: the job's."""
    tools: list[Tool] = Field(min_length=1)


class JawsFile(Jaws):
    """A file that holds jaws."""

    units: Units | None = None
    """Unit of this file; left out: the job's."""
