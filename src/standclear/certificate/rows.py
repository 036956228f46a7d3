"""The motions of a set-up as a certificate holds them."""

from __future__ import annotations

import numpy as np

from standclear.audit.read import Row
from standclear.blocks.program import Program
from standclear.certificate.parts import nm, nm_above
from standclear.motions.table import Trace


def certificate_rows(trace: Trace, program: Program) -> list[Row]:
    """Every motion of the trace, in order; calls that the control may read in several ways keep
    their number as a choice."""
    motions = trace.motions
    open_calls = set(np.unique(motions.call[motions.variant > 0]).tolist())
    rows = []
    for k in range(len(motions)):
        call = int(motions.call[k])
        choice = call if call in open_calls else -1
        (z0, r0), (z1, r1) = motions.start[k].tolist(), motions.end[k].tolist()
        rows.append(
            Row(
                int(motions.kind[k]),
                int(motions.path[k]),
                (nm(z0), nm(r0)),
                (nm(z1), nm(r1)),
                nm_above(float(motions.sagitta[k])),
                int(motions.tool[k]),
                _line(program, int(motions.block[k])),
                choice,
                int(motions.variant[k]) if choice >= 0 else 0,
                bool(motions.credited[k]),
                nm_above(float(motions.crest[k])),
                int(motions.spindle[k]),
            )
        )
    return rows


def _line(program: Program, block: int) -> int:
    if block < 0 or program.blocks[block].file:
        return 0
    return program.blocks[block].line
