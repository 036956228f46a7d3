"""Edits of a program that mend it, each proved before it is offered."""
