"""Variables: which there are, macro levels, and what a run began with."""

from __future__ import annotations

import pytest

from standclear.motions.flow.numbers import EMPTY, FlowFault, Value
from standclear.motions.flow.variables import Variables


def _of_control(number: int) -> Value:
    raise FlowFault(f"#{number} is not known")


def test_locals_of_a_macro_are_its_own_and_commons_are_shared() -> None:
    variables = Variables.of_job({"500": 2.0}, _of_control)
    variables.write(1, Value(1.0))
    variables.enter({2: Value(5.0)})
    assert variables.read(1) == EMPTY
    assert variables.read(2) == Value(5.0)
    variables.write(1, Value(9.0))
    variables.write(100, Value(3.0))
    variables.leave()
    assert variables.read(1) == Value(1.0)
    assert variables.read(2) == EMPTY
    assert (variables.read(100), variables.read(500)) == (Value(3.0), Value(2.0))


@pytest.mark.parametrize("number", [34, 99, 200, 499, 2001])
def test_what_is_no_variable_is_neither_read_nor_set(number: int) -> None:
    variables = Variables(_of_control)
    with pytest.raises(FlowFault, match=f"#{number} "):
        variables.read(number)
    with pytest.raises(FlowFault, match=f"#{number} "):
        variables.write(number, EMPTY)


def test_changes_stand_still_while_nothing_changes() -> None:
    variables = Variables(_of_control)
    variables.write(1, Value(1.0))
    before = variables.changes
    variables.write(1, Value(1.0))
    assert variables.read(1) == Value(1.0)
    assert variables.changes == before
    variables.write(1, Value(2.0))
    assert variables.changes > before


def test_a_run_that_depends_on_what_it_changes_does_not_end_as_it_began() -> None:
    variables = Variables.of_job({"500": 2.0, "501": 1.0}, _of_control)
    variables.write(501, Value(7.0))
    variables.read(501)
    assert variables.as_begun()
    variables.read(500)
    variables.write(500, Value(3.0))
    assert not variables.as_begun()
    variables.write(500, Value(2.0))
    assert variables.as_begun()


def test_an_unset_local_of_the_main_program_is_taken_as_empty_and_noted() -> None:
    variables = Variables(_of_control)
    variables.enter({})
    variables.read(1)
    assert not variables.local_assumed
    variables.leave()
    assert variables.read(1) == EMPTY
    assert variables.local_assumed
