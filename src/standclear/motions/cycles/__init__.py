"""Turning cycles as plain functions: a call and the control's behaviour in, readings out."""

from standclear.motions.cycles.drilling import bore, drill, tap
from standclear.motions.cycles.finishing import finish
from standclear.motions.cycles.pattern import pattern
from standclear.motions.cycles.pecking import peck_across, peck_along
from standclear.motions.cycles.roughing import rough_across, rough_along
from standclear.motions.cycles.single_pass import face_pass, turn_pass
from standclear.motions.cycles.threading import thread_cycle, thread_pass

__all__ = [
    "bore",
    "drill",
    "face_pass",
    "finish",
    "pattern",
    "peck_across",
    "peck_along",
    "rough_across",
    "rough_along",
    "tap",
    "thread_cycle",
    "thread_pass",
    "turn_pass",
]
