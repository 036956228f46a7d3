"""The checker of certificates: exact, by itself, on Python's standard library alone.

It takes a file that a proof has written and goes through its claim again in whole numbers, without
the proof's geometry and without a float wherever a sign decides. It needs nothing else of
`standclear`, and nothing else of `standclear` decides what it says. The idea is that of McConnell,
Mehlhorn, Naeher and Schweitzer, 'Certifying algorithms' (2011; from memory).
"""

from standclear.audit.audit import Audit, audit_file
from standclear.audit.read import Refused

__all__ = ["Audit", "Refused", "audit_file"]
