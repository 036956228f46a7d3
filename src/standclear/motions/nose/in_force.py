"""What the control knows of the nose in use: its radius, and where the program takes its point."""

from __future__ import annotations

from standclear.blocks.program import Block
from standclear.findings.finding import Severity
from standclear.motions.nose.path import Nose
from standclear.motions.nose.tips import centre_from_tip, direction_of
from standclear.motions.run import Run, cannot_follow, report
from standclear.motions.step import Position
from standclear.motions.table import FAR
from standclear.tools.nose import ToolNose, nose_of
from standclear.tools.shape import in_both


def tool_nose(run: Run, tool: int) -> ToolNose | None:
    """The nose of a called tool as the job describes it; None where none is known."""
    index = run.tools[tool].tool if tool >= 0 else -1
    if index < 0:
        return None
    if index not in run.noses:
        run.noses[index] = nose_of(run.job_tools[index])
    return run.noses[index]


def control_nose(run: Run, block: Block, tool: int) -> Nose | None:
    """What compensation goes by for a called tool; None where it is not known, which is reported.

    The control is taken to hold the radius of the tool in use, and the job's `tip` or the
    direction that its shape gives.
    """
    nose = tool_nose(run, tool)
    station = run.tools[tool].station if tool >= 0 else 0
    if nose is None:
        cannot_follow(
            run,
            block,
            "nose compensation is on, and the job gives no nose radius for the tool in use",
            "give the insert's designation, or an outline with its corner at the tip rounded",
            lasting=False,
            once=f"no nose {tool}",
        )
        return None
    if run.control.controlled_point == "nose-centre":
        run.trust(f"the control holds nose radius {in_both(nose.radius)} for tool {station}")
        return Nose(nose.radius, (0.0, 0.0))
    stated = run.job_tools[run.tools[tool].tool].tip
    drawn = direction_of(nose.centre, nose.radius)
    direction = drawn if stated is None else stated
    if direction is None:
        cannot_follow(
            run,
            block,
            "nose compensation is on, and no tip direction fits the shape of the tool in use",
            "state the tool's `tip`, 0 to 9",
            lasting=False,
            once=f"no tip {tool}",
        )
        return None
    if drawn is not None and centre_from_tip(direction, 1.0) != centre_from_tip(drawn, 1.0):
        report(
            run,
            "tip-unlike-shape",
            block,
            f"the job states tip direction {direction} for tool {station}; its shape has {drawn}",
            "correct `tip`, or the tool",
            severity=Severity.MEND,
            once=f"tip {tool}",
        )
    run.trust(
        f"the control holds nose radius {in_both(nose.radius)} and tip direction {direction} "
        f"for tool {station}"
    )
    return Nose(nose.radius, centre_from_tip(direction, nose.radius))


def check_nose_known(run: Run, block: Block, tool: int) -> None:
    """Reports a turning tool whose nose the program moves and the job does not give."""
    if tool_nose(run, tool) is None:
        cannot_follow(
            run,
            block,
            "the program moves the nose centre of this tool, and the job does not say where it is",
            "give the insert's designation, or an outline with its corner at the tip rounded",
            lasting=False,
        )


def tip_from_programmed(run: Run, position: Position) -> Position:
    """Where the imaginary tip stands when the programmed point stands at `position`.

    Not the same only where the program moves the nose centre. A tool without a nose radius has
    its point where it is drawn.
    """
    if run.control.controlled_point == "tip":
        return position
    nose = tool_nose(run, run.state.tool)
    if nose is None:
        return position
    z, r = position
    return (
        z if z == FAR else z - nose.centre[0],
        r if r == FAR else r - nose.centre[1],
    )
