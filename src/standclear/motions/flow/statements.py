"""Statements executed: variables set, conditions answered, jumps and loops taken."""

from __future__ import annotations

from standclear.blocks.program import Block
from standclear.findings.finding import Severity
from standclear.motions.flow.expression import Expression, value_of
from standclear.motions.flow.jumps import jump_to_label, may_go_back
from standclear.motions.flow.numbers import FlowFault, Value, whole
from standclear.motions.flow.of_control import ALARM, STOP_WITH_MESSAGE, SWITCHES
from standclear.motions.flow.outcome import Flow
from standclear.motions.flow.statement import Assign, Do, End, If, Jump, read_statements
from standclear.motions.flow.ties import RunTies
from standclear.motions.run import Run, cannot_follow, report

_LONGEST_LABEL = 10**9


def run_statements(run: Run, block: Block) -> Flow:
    """Executes a block of statements; lost where one of them cannot be followed."""
    try:
        return _run(run, block)
    except FlowFault as fault:
        cannot_follow(
            run,
            block,
            f"this statement is not followed: {fault}",
            "state the variable in the job, or write the blocks that are meant",
        )
    return Flow(block.index + 1, lost=True)


def _run(run: Run, block: Block) -> Flow:
    stops = 0
    for statement in read_statements(block.statement):
        act: Assign | Jump | If | Do | End = statement
        if isinstance(act, If):
            if not _holds(run, act.condition):
                continue
            act = act.then
        if isinstance(act, Assign):
            flow = _assign(run, block, act)
            if flow.lost:
                return flow
            stops += flow.stops
        elif isinstance(act, Jump):
            return _jump(run, block, act, stops)
        elif isinstance(act, Do):
            return _enter_loop(run, block, act)
        else:
            return _end_loop(run, block)
    return Flow(block.index + 1, stops=stops)


def _compute(run: Run, expression: Expression) -> Value:
    return value_of(expression, run.variables, RunTies(run))


def _holds(run: Run, condition: Expression) -> bool:
    value = _compute(run, condition)
    if value.number is None:
        raise FlowFault("a condition that is empty")
    return value.number != 0


def _assign(run: Run, block: Block, act: Assign) -> Flow:
    number = whole(_compute(run, act.variable), "the number of a variable")
    value = _compute(run, act.value)
    if number == ALARM:
        return _raise_alarm(run, block, value)
    if number == STOP_WITH_MESSAGE:
        return Flow(block.index + 1, stops=1)
    if number in SWITCHES:
        run.trust(f"#{number} only keeps the operator from stopping or overriding")
    else:
        run.variables.write(number, value)
    return Flow(block.index + 1)


def _raise_alarm(run: Run, block: Block, value: Value) -> Flow:
    says = next((text.strip() for text in block.comments if text.strip()), "")
    report(
        run,
        "alarm-raised",
        block,
        f"the program stops itself here with alarm {value.or_zero:g}"
        + (f" ({says[:60]})" if says else "")
        + ": nothing after this block is run",
        "give the program what it asks for, or the job the values that it goes by",
        severity=Severity.STOP,
        unproven=True,
        lasting=True,
    )
    return Flow(block.index + 1, lost=True)


def _jump(run: Run, block: Block, act: Jump, stops: int) -> Flow:
    label = whole(_compute(run, act.label), "a label")
    if label > _LONGEST_LABEL:
        raise FlowFault("a label of more than nine digits")
    index = jump_to_label(run, block, label, f"GOTO {label}")
    return Flow(block.index if index is None else index, lost=index is None, stops=stops)


def _enter_loop(run: Run, block: Block, act: Do) -> Flow:
    end = run.loops.end_of.get(block.index)
    if end is None:
        raise FlowFault(f"DO{act.number} has no END{act.number} of its own")
    if act.condition is None or _holds(run, act.condition):
        return Flow(block.index + 1)
    return Flow(end + 1)


def _end_loop(run: Run, block: Block) -> Flow:
    do = run.loops.do_of.get(block.index)
    if do is None:
        raise FlowFault("an END that closes no loop")
    line = run.program.blocks[do].line
    if not may_go_back(run, block, do, f"the loop goes back to line {line}"):
        return Flow(block.index, lost=True)
    return Flow(do)
