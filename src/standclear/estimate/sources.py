"""Where the figures of a load come from, as sentences."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from standclear.estimate.materials import GERMAN, GROUPS, KOENIG, Material
from standclear.estimate.starting_values import Usual


def sources_of(
    material: Material | None, kinds: Collection[str], usual: Collection[Usual], *, others: bool
) -> Iterator[str]:
    """For the material, the kinds of tools that cut, and the ranges that are shown beside speeds
    and feeds; `others`: what other materials would ask for is shown too."""
    if material is not None:
        yield from _of_force(material, kinds)
    if others:
        yield f"other materials: kc1.1 and m of the same kind ({GERMAN}; {GROUPS}; {KOENIG})"
    for found in dict.fromkeys((each.name, each.source) for each in usual):
        yield f"usual speeds and feeds for {found[0]}: {found[1]}"


def _of_force(material: Material, kinds: Collection[str]) -> Iterator[str]:
    for constant in material.constants:
        yield (
            f"{material.name}: kc1.1 {constant.kc11:g} N/mm2, m {constant.m:g} ({constant.source})"
        )
    yield (
        "force: kc1.1 h^-m times the chip (Kienzle), at most with a worn edge, half as much again "
        "(from memory)"
    )
    if "drill" in kinds:
        yield (
            "drills: torque kc f D2 / 8 by both lips, at most 1.8 times that for pressed chips, "
            "low speed and wear (Dietrich, Tschaetsch, Praxis der Zerspantechnik, from memory)"
        )
        yield (
            "drills: thrust half of the force on the lips times the sine of half the point angle "
            "(makers' tables), at most all of it (Dietrich, Tschaetsch), from memory"
        )
    if "tap" in kinds:
        yield (
            "taps: torque kc P2 D / 8 (form of tap makers' tables, from memory), chips 0.05 to 0.1 "
            "mm thick (common practice, no source); a blunt or a loaded tap takes more"
        )
    if "threading" in kinds:
        yield (
            "threads: what each pass takes of a V, its chip by one flank or by both (closed form); "
            "a V presses its chip, which is not counted"
        )
    yield (
        "grip: what keeps the part from turning, twice over, friction 0.1 to 0.25 (form of VDI "
        "3106, from memory; friction common practice, no source)"
    )
    yield (
        "bending: closed form, under 0.3 to 0.5 of the cutting force (common practice, no source)"
    )
