"""What the page says of the job file: the words of the form in place of keys."""

from __future__ import annotations

import pytest

from standclear.errors import Fault
from standclear.page.form_words import behaviour_words, fault_words, in_form_words


@pytest.mark.parametrize(
    ("said", "shown"),
    [
        ("blank.size, 48.0 mm, is a guess", "'Diameter of the bar', 48.0 mm, is a guess"),
        ("setup[1].zero.way is open", "'Set-up 2: How is part zero set?' is open"),
        ("give it as `holder_outline`.", "give it as 'Holder as measured'."),
        ("say `no_such_key` or blank.no_such_key", "say `no_such_key` or blank.no_such_key"),
        ("G00 X51. Z5. at setup.nc", "G00 X51. Z5. at setup.nc"),
    ],
)
def test_keys_go_by_the_words_of_the_form(said: str, shown: str) -> None:
    assert in_form_words(said) == shown


def test_a_behaviour_is_its_question_with_its_answer() -> None:
    assert behaviour_words(["level_end=45-degrees", "unheard=of"]) == [
        "How does a roughing pass leave the metal? straight away at 45 degrees",
        "unheard: of",
    ]


@pytest.mark.parametrize(
    ("fault", "shown"),
    [
        (
            Fault("job.toml", "setup[0].zero", "missing", "give a table"),
            "Set-up 1: Part zero: still to be filled in",
        ),
        (
            Fault("job.toml", "blank.size", '"thick"', "give a number"),
            'Diameter of the bar: "thick": give a number',
        ),
        (
            Fault("tools.toml", "tools.T3.wear", "missing", "give it"),
            "tools.toml: tools.T3.wear is missing: give it",
        ),
        (Fault("job.toml", "", "not TOML", "mend line 3"), "job.toml: not TOML: mend line 3"),
    ],
)
def test_a_fault_of_the_job_is_said_as_the_form_would(fault: Fault, shown: str) -> None:
    assert fault_words(fault, "job.toml") == shown
