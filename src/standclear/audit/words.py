"""What a checked certificate says, in sentences."""

from __future__ import annotations

from standclear.audit.audit import CLAIM, NOT_CERTIFIED, Audit


def lines_of(audit: Audit) -> list[str]:
    """The answer for a certificate that holds, line by line."""
    blank = audit.blank
    lines = [
        f"holds: {audit.title}"
        if not audit.changed
        else f"holds, but files changed: {audit.title}",
        f"  {CLAIM}",
        "",
        f"  largest blank     {blank[0]:.6g} mm across, {blank[1]:.6g} mm long",
        f"  contact limit     {audit.contact_limit_mm:.6g} mm",
        f"  set-ups           {', '.join(audit.setups)}",
        f"  motions           {audit.motions}",
        f"  ways through      {audit.areas} in the place of metal, each shown to be cut before",
        "",
        "Files it was written for (SHA-256)",
    ]
    for names, state in (
        (audit.same, "as it was"),
        (audit.changed, "CHANGED: this certificate is not for it"),
        (audit.missing, "not found here, not compared"),
    ):
        lines += [f"  {name}: {state}" for name in names]
    lines += ["", "Not certified", *(f"  {each}" for each in NOT_CERTIFIED)]
    return lines
