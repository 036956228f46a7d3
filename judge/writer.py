"""Writes blocks of a random program in one family of words and one unit."""

from __future__ import annotations

from dataclasses import dataclass, field
from random import Random

from judge.words import spoken


@dataclass
class Writer:
    """Blocks so far. Every length given is in mm; r is radial."""

    family: str
    inch: bool
    x_words: str
    lines: list[str] = field(default_factory=list)
    labels: int = 0

    def number(self, value: float) -> str:
        """A length as a word's number, always with a point."""
        text = f"{value / 25.4:.4f}" if self.inch else f"{value:.3f}"
        text = text.rstrip("0")
        return "0." if text in ("-0.", "0.") else text

    def x(self, r: float, letter: str = "X") -> str:
        """An X (or U) word for a radius."""
        return letter + self.number(r * (2 if self.x_words == "diameter" else 1))

    def z(self, z: float, letter: str = "Z") -> str:
        """A Z (or W) word."""
        return letter + self.number(z)

    def increments(self, letter: str, value: float) -> str:
        """A word without a point, in least increments."""
        return f"{letter}{round(value / (25.4 * 0.0001) if self.inch else value / 0.001)}"

    def feed(self, value: float) -> str:
        """A feed per revolution, given in mm."""
        return f"F{value / 25.4:.4f}" if self.inch else f"F{value:.2f}"

    def block(self, *words: str) -> None:
        """One block; G words are given by their names in the cycles-g90 family."""
        out = [spoken(w, self.family) if w[:1] == "G" or w in ("ABS", "INC") else w for w in words]
        self.lines.append(" ".join(w for w in out if w))

    def label(self) -> int:
        """A label not used so far."""
        self.labels += 10
        return 100 + self.labels

    def start(self, number: int) -> None:
        """Head of a program."""
        self.lines += ["%", f"O{number:04d}"]
        self.block("G20" if self.inch else "G21", "G40", "G99", "ABS")
        self.home()

    def home(self, order: str = "XZ") -> None:
        """Home: both axes at once (`XZ`), or `X` or `Z` alone first."""
        for axes in (order,) if len(order) > 1 else (order, "Z" if order == "X" else "X"):
            if self.family == "cycles-g90":
                self.block("G28", *({"X": "U0", "Z": "W0"}[axis] for axis in axes))
            else:
                self.block("INC", "G28", *(f"{axis}0" for axis in axes))
        if self.family != "cycles-g90":
            self.block("ABS")

    def steps(self, at: tuple[float, float], to: tuple[float, float], relative: float, rng: Random
              ) -> list[str]:  # fmt: skip
        """The words from one place (z, r) to another, axes that do not move left out; each is
        written as a distance (U, W) with the given chance, where the family has such words."""
        if self.family != "cycles-g90":
            relative = 0.0
        words = []
        if abs(to[1] - at[1]) > 1e-9:
            far = rng.random() < relative
            words.append(self.x(to[1] - at[1], "U") if far else self.x(to[1]))
        if abs(to[0] - at[0]) > 1e-9:
            far = rng.random() < relative
            words.append(self.z(to[0] - at[0], "W") if far else self.z(to[0]))
        return words

    def text(self) -> str:
        """The program."""
        return "\n".join([*self.lines, "%", ""])
