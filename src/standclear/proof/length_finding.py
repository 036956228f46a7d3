"""What lets the finished length vary, and the finding where no part is measured for its zero."""

from __future__ import annotations

from dataclasses import dataclass

from standclear.findings.finding import Finding, Measure, Quantity, Severity
from standclear.interval import Interval
from standclear.job.models import Job, Setup
from standclear.job.placing import place_setups
from standclear.job.setup_checks import is_turned
from standclear.job.tolerances import SAW, ZERO_OF, one_by_one, without_tolerances

SEEN_MM = 1e-6


@dataclass(frozen=True)
class VaryingLength:
    """The finished length over the tolerances of blank and zeros, millimetres."""

    setup: Setup
    """In which the second end is made."""
    length: Interval
    stated: float
    """With every size and zero just as stated."""
    shares: tuple[tuple[str, float], ...]
    """Tolerances that it follows, the widest first, with how far each alone lets it vary."""

    @property
    def of_its_own_zero(self) -> bool:
        """Whether nothing but the error of the second zero lets it vary."""
        return [name for name, _ in self.shares] == [f"{ZERO_OF} {self.setup.name}"]


def length_over(job: Job) -> VaryingLength | None:
    """The finished length of a job of two ends; None where the part is not turned round, and where
    it was parted off, since there is then no saw cut to count from."""
    turned = [k for k, setup in enumerate(job.setup) if is_turned(k, setup)]
    if not turned or any(setup.falls_at for setup in job.setup[: turned[-1]]):
        return None
    index = turned[-1]
    length = place_setups(job)[index].finished_length
    plain = place_setups(without_tolerances(job))[index].finished_length
    if length is None or plain is None:
        return None
    shares = []
    for name, alone in one_by_one(job):
        found = place_setups(alone)[index].finished_length
        if found is not None and found.width > SEEN_MM:
            shares.append((name, found.width))
    shares.sort(key=lambda share: -share[1])
    return VaryingLength(job.setup[index], length, plain.middle, tuple(shares))


def varying_length(job: Job) -> tuple[Finding, ...]:
    """The finding where the zero is taken from the raw back face at a fixed allowance."""
    found = length_over(job)
    if found is None or found.setup.zero.way != "nominal" or found.length.width <= SEEN_MM:
        return ()
    words = ", ".join(f"{{share{k}}} {{source{k}}}" for k in range(len(found.shares)))
    saw = job.blank.length_tolerance != (0.0, 0.0) and SAW not in dict(found.shares)
    stopped = " (the saw has no part in it: the first zero is fixed from the stop)" if saw else ""
    return (
        Finding(
            "finished-length-varies",
            Severity.MEND,
            "The finished length comes out between {shortest} and {longest}: "
            f"{words}{stopped}. The zero is taken from the raw back face at a fixed allowance.",
            "Touch the face off more closely, or seat the finished face on a stop."
            if found.of_its_own_zero
            else "Measure each part after the first end and key in its length less the finished "
            "length, or seat the finished face on a stop.",
            found.setup.name,
            measures=(
                Measure("shortest", found.length.lo),
                Measure("longest", found.length.hi),
                *(Measure(f"share{k}", mm) for k, (_, mm) in enumerate(found.shares)),
                *(
                    Measure(f"source{k}", name, Quantity.TEXT)
                    for k, (name, _) in enumerate(found.shares)
                ),
            ),
        ),
    )
