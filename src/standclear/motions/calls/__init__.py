"""Cycle calls: their words to arguments, and the steps a cycle yields to rows of the table."""

from standclear.motions.calls.drilling import drill
from standclear.motions.calls.pecking import peck
from standclear.motions.calls.single_pass import single_pass
from standclear.motions.calls.threading import thread, thread_pass, threading
from standclear.motions.calls.with_profile import finish, pattern, rough

__all__ = [
    "drill",
    "finish",
    "pattern",
    "peck",
    "rough",
    "single_pass",
    "thread",
    "thread_pass",
    "threading",
]
