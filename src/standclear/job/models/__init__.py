"""The job: everything the shop has, as the TOML file states it.

Lengths stand in the job's unit, as typed; `standclear.job.read.read_job` turns them into
millimetres once, so that every later stage sees millimetres only. X values and diameters are
diameters; `r` and `h` are radial. Defaults other than 0 are millimetres. The types say which
numbers are lengths (`standclear.job.units`). Later versions only add optional keys and tables.
"""

from standclear.job.models.base import (
    FILE_TAG,
    INLINE_TAG,
    NAMED_OR_INLINE,
    FileName,
    Form,
    OffsetWord,
    Table,
)
from standclear.job.models.jaws import Clamping, JawChuck, Jaws, JawsInline, JawStop
from standclear.job.models.machine import Control, Machine, MWord, RapidAcceleration, RapidRates
from standclear.job.models.setup import Allowed, Margin, Mark, Seat, Setup, Zero
from standclear.job.models.shop import BarBought, EdgeUse, Shop, ShopValues
from standclear.job.models.stock import Blank, Part, WantedSize
from standclear.job.models.tools import (
    Drill,
    GroovingTool,
    Offsets,
    OutlineCorner,
    Tap,
    ThreadingTool,
    Tool,
    ToolOutline,
)
from standclear.job.models.whole import JawsFile, Job, MachineFile, ShopFile, ToolsFile

__all__ = [
    "FILE_TAG",
    "INLINE_TAG",
    "NAMED_OR_INLINE",
    "Allowed",
    "BarBought",
    "Blank",
    "Clamping",
    "Control",
    "Drill",
    "EdgeUse",
    "FileName",
    "Form",
    "GroovingTool",
    "JawChuck",
    "JawStop",
    "Jaws",
    "JawsFile",
    "JawsInline",
    "Job",
    "MWord",
    "Machine",
    "MachineFile",
    "Margin",
    "Mark",
    "OffsetWord",
    "Offsets",
    "OutlineCorner",
    "Part",
    "RapidAcceleration",
    "RapidRates",
    "Seat",
    "Setup",
    "Shop",
    "ShopFile",
    "ShopValues",
    "Table",
    "Tap",
    "ThreadingTool",
    "Tool",
    "ToolOutline",
    "ToolsFile",
    "WantedSize",
    "Zero",
]
