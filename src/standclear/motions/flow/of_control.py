"""The control's own variables, as far as the job knows them.

Numbering is common practice, no source: #3000 alarm, #3003 and #3004 single block and overrides,
#3006 stop with a message, #4001 to #4120 modal words, #5001 and #5002 end of the last block in X
and Z. Whether #5041 and its kind count the tool's offset differs between controls, as do the
numbers of offsets.
"""

from __future__ import annotations

from standclear.motions.flow.numbers import FlowFault, Value, written
from standclear.motions.meaning.words import Act
from standclear.motions.run import Run, unit_factor
from standclear.motions.way.move import here

ALARM = 3000
STOP_WITH_MESSAGE = 3006
SWITCHES = frozenset({3003, 3004})
"""Setting them keeps the operator from stopping between blocks, or from overriding the feed."""
_END_X, _END_Z = 5001, 5002
_MOTION_WORDS = {Act.RAPID: 0, Act.LINE: 1, Act.ARC_CLOCKWISE: 2, Act.ARC_COUNTER: 3}


def of_control(run: Run, number: int) -> Value:
    """The value of a variable of the control. Raises FlowFault where the job does not know it."""
    if number in (_END_X, _END_Z):
        return _end_of_block(run, number)
    state = run.state
    known: float | None = None
    if number == 4001 and not state.motion_doubtful:
        known = _MOTION_WORDS.get(state.motion)
    elif number == 4006 and state.unit_stated and run.control.cycle_words is not None:
        inch, metric = (70, 71) if run.control.cycle_words == "cycles-g20" else (20, 21)
        known = inch if state.inch else metric
    elif number == 4014 and state.offset[1:].isdigit():
        known = int(state.offset[1:])
    if known is None:
        raise FlowFault(f"what #{number} of the control holds is not known")
    return Value(float(known))


def _end_of_block(run: Run, number: int) -> Value:
    standing = here(run)
    if not standing.exact or standing.z is None or standing.r is None or run.state.compensation:
        raise FlowFault(f"#{number} holds a position that is not known here")
    shift_z, shift_r = run.state.shift
    if number == _END_Z:
        length = standing.z - shift_z
    else:
        length = standing.r - shift_r
        length *= 2 if run.control.x_words == "diameter" else 1
    # What a float sum leaves beyond a nanometre is noise.
    return written(round(length / float(unit_factor(run.state.inch)), 6))
