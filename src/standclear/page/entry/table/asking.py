"""A question about the control that may stay open."""

from standclear.page.entry.field import Choice, Field, Kind

OPEN = "I do not know: every answer is proved"
"""What counts where a question about the control is left open."""

NEVER_SET = "not known; unproven where a program leaves it out"


def ask(key: str, question: str, choices: tuple[Choice, ...], help: str = "") -> Field:
    return Field(key, question, Kind.CHOICE, help, OPEN, choices=choices)
