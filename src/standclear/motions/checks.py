"""What must be in order when the tool moves: work offset, tool offset, spindle clamp."""

from __future__ import annotations

import math

from standclear.blocks.program import Block
from standclear.findings.finding import Severity
from standclear.motions import habits
from standclear.motions.coordinates.places import offset_name
from standclear.motions.run import Run, report
from standclear.motions.table import FeedMode, SpeedMode


def check_place(run: Run, block: Block) -> None:
    """Motion in work coordinates: is it the set-up's offset, and is a tool offset active?"""
    own = offset_name(run.setup.offset)
    if run.state.offset != own:
        values = run.offset_values
        placed = own in values and run.state.offset in values
        report(
            run,
            "wrong-work-offset",
            block,
            f"{run.state.offset} is in force; this set-up's part zero is in {own}",
            f"select {own} before the first motion of the set-up",
            severity=Severity.STOP,
            unproven=not placed,
            once=f"offset {run.state.offset}",
        )
    if run.state.offset_cancelled:
        report(
            run,
            "offset-cancelled",
            block,
            "the tool offset is cancelled here, so this motion goes where no tool was measured for",
            "cancel the offset only after the last motion, or call the tool with its offset again",
            severity=Severity.STOP,
            unproven=True,
            once="offset cancelled",
        )


def check_cut(
    run: Run, block: Block, *, lead: bool = False, own: tuple[float, FeedMode] | None = None
) -> None:
    """A feed begins: what is in force for it; see `habits.check_cut`."""
    _check_clamp(run, block)
    habits.check_cut(run, block, lead=lead, own=own)


def _check_clamp(run: Run, block: Block) -> None:
    """Constant surface speed at a feed with no clamp in force: said once."""
    if run.state.speed_mode == SpeedMode.SURFACE and run.state.clamp == math.inf:
        report(
            run,
            "speed-without-clamp",
            block,
            "constant surface speed is on and no spindle clamp is set: towards the centre the "
            "spindle runs up to its greatest speed",
            "clamp the spindle before the surface speed word",
            once="clamp",
        )
