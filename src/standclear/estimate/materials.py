"""Cutting constants and starting values by material: published figures with their spread.

Specific cutting force kc = kc1.1 h^-m, N/mm2 with h in mm (Kienzle). Published constants of one
material differ by up to 60 %, so all that are known here make a range, never a value.
"""

from __future__ import annotations

from dataclasses import dataclass

GERMAN = "Dietrich, Tschaetsch, Praxis der Zerspantechnik, from memory"
KOENIG = "Koenig, Essel, cutting constants, from memory"
GROUPS = "cutting force table by material group, from memory"
CAST_BRONZE = "Dietrich, Tschaetsch, Praxis der Zerspantechnik, cast bronze, from memory"
GUNMETAL = "Dietrich, Tschaetsch, Praxis der Zerspantechnik, gunmetal, from memory"
CARBIDE = "common practice with coated carbide, no source"


@dataclass(frozen=True)
class Constant:
    """One published pair of constants."""

    kc11: float
    """N/mm2 at a chip 1 mm thick and 1 mm wide."""
    m: float
    source: str


@dataclass(frozen=True)
class Material:
    """A work material, found by any of `words` in its name."""

    words: tuple[str, ...]
    name: str
    group: str
    """Letter of ISO 513: P steel, M stainless, K cast iron, N non-ferrous, S heat-resistant."""
    constants: tuple[Constant, ...]
    elastic: tuple[float, float]
    """E, N/mm2, least and most; from memory of handbook tables."""
    speed: tuple[float, float]
    """Usual cutting speeds, m/min: `CARBIDE`."""
    feed: tuple[float, float]
    """Usual feeds from finishing to roughing, mm per revolution: `CARBIDE`."""


STEEL_E = (205_000.0, 210_000.0)
MATERIALS = (
    Material(
        ("303", "304", "316", "1.43", "1.44", "austenitic", "stainless"),
        "austenitic stainless steel",
        "M",
        (Constant(2150, 0.20, GROUPS),),
        (193_000.0, 200_000.0),
        (90.0, 220.0),
        (0.08, 0.4),
    ),
    Material(
        ("42crmo4", "4140"),
        "42CrMo4",
        "P",
        (
            Constant(2500, 0.26, GERMAN),
            Constant(1725, 0.24, GROUPS),
            Constant(1773, 0.17, KOENIG),
        ),
        STEEL_E,
        (100.0, 260.0),
        (0.08, 0.5),
    ),
    Material(
        ("16mncr5", "8620"),
        "16MnCr5",
        "P",
        (
            Constant(2100, 0.26, GERMAN),
            Constant(1775, 0.24, GROUPS),
            Constant(1411, 0.303, KOENIG),
        ),
        STEEL_E,
        (120.0, 300.0),
        (0.08, 0.5),
    ),
    Material(
        ("c45", "1045"),
        "C45",
        "P",
        (
            Constant(2220, 0.14, GERMAN),
            Constant(1500, 0.22, GROUPS),
            Constant(1659, 0.2165, KOENIG),
        ),
        STEEL_E,
        (120.0, 300.0),
        (0.08, 0.5),
    ),
    Material(
        ("e335", "st60", "st 60"), "E335", "P", (Constant(2110, 0.17, GERMAN),), STEEL_E,
        (120.0, 300.0), (0.08, 0.5),
    ),
    Material(
        ("s235", "s275", "s355", "1018", "1020", "a36", "low-carbon", "mild steel", "12l14",
         "11smn", "1215", "c15"),
        "low-carbon steel",
        "P",
        (Constant(1780, 0.17, GERMAN), Constant(1350, 0.21, GROUPS)),
        STEEL_E,
        (150.0, 350.0),
        (0.08, 0.5),
    ),
    Material(
        ("gjl", "cast iron", "grey iron"),
        "grey cast iron",
        "K",
        (
            Constant(1020, 0.25, GERMAN),
            Constant(1160, 0.26, GERMAN),
            Constant(1150, 0.20, GROUPS),
            Constant(1350, 0.28, GROUPS),
        ),
        (100_000.0, 130_000.0),
        (100.0, 300.0),
        (0.1, 0.6),
    ),
    Material(
        ("bronze", "cusn", "gunmetal", "c932", "c544"),
        "bronze",
        "N",
        (Constant(1780, 0.17, CAST_BRONZE), Constant(640, 0.25, GUNMETAL)),
        (95_000.0, 118_000.0),
        (100.0, 350.0),
        (0.05, 0.4),
    ),
    Material(
        ("brass", "cuzn", "c360"),
        "brass",
        "N",
        (Constant(780, 0.18, GERMAN), Constant(700, 0.27, GROUPS)),
        (97_000.0, 105_000.0),
        (150.0, 500.0),
        (0.05, 0.5),
    ),
    Material(
        ("6061", "6082", "7075", "2024", "alumin"),
        "wrought aluminium",
        "N",
        (Constant(700, 0.25, GROUPS), Constant(800, 0.25, GROUPS)),
        (69_000.0, 72_000.0),
        (200.0, 1000.0),
        (0.05, 0.5),
    ),
)  # fmt: skip


def material_of(name: str) -> Material | None:
    """The material whose words stand in `name`; None where none do."""
    low = name.lower()
    return next((m for m in MATERIALS if any(word in low for word in m.words)), None)
