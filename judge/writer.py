"""Writes blocks of a random program in one family of words and one unit."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from random import Random

from judge.features import Extras
from judge.words import spoken

Point = tuple[float, float]


@dataclass
class Writer:
    """Blocks so far. Every length given is in mm; r is radial."""

    family: str
    inch: bool
    x_words: str
    extras: Extras = field(default_factory=Extras)
    first_number: int = 1000
    """Of the subprograms."""
    lines: list[str] = field(default_factory=list)
    labels: int = 0
    origin: Point = (0.0, 0.0)
    """Place of the zero that absolute words count from, where the program has moved it."""
    in_profile: bool = False
    subprograms: int = 0
    station: int = 0
    """The tool called last."""
    silent_spindle: bool = False
    """The next tool is taken without a word for the spindle, which turns already."""
    clear_r: float = 60.0
    """A radius beyond the work."""
    tail: list[str] = field(default_factory=list)
    """Subprograms that follow in the same file."""
    files: dict[str, str] = field(default_factory=dict)
    """Subprograms in files of their own."""
    _before: list[str] = field(default_factory=list)

    # --- numbers -----------------------------------------------------------------------------

    def number(self, value: float) -> str:
        """A length as a word's number, always with a point."""
        text = f"{value / 25.4:.4f}" if self.inch else f"{value:.3f}"
        text = text.rstrip("0")
        return "0." if text in ("-0.", "0.") else text

    def x_number(self, r: float) -> str:
        """The number of an X word for a radius."""
        return self.number(r * (2 if self.x_words == "diameter" else 1))

    def _varied(self, word: str, text: str) -> str:
        """The word, its number now and then told by a variable or an expression."""
        rng = self.extras.rng
        if not self.extras.has("variables") or word not in ("X", "Z") or rng.random() > 0.25:
            return word + text
        value = float(text)
        if self.in_profile or rng.random() < 0.4:
            other = round(rng.uniform(0.1, 9.0), 2)
            rest = f"{value - other:.4f}".rstrip("0")
            return f"{word}[{rest}+{other}]"
        name = f"#{rng.randrange(100, 140)}"
        if any(line.startswith(name + "=") for line in self._before):
            return word + text
        if rng.random() < 0.3:
            self._before.append(f"{name}={-value:.4f}")
            return f"{word}-{name}"
        self._before.append(f"{name}={text}")
        return word + name

    def x(self, r: float, letter: str = "X") -> str:
        """An X (or U) word for a radius."""
        return self._varied(letter, self.x_number(r - self.origin[1] * (letter == "X")))

    def z(self, z: float, letter: str = "Z") -> str:
        """A Z (or W) word."""
        return self._varied(letter, self.number(z - self.origin[0] * (letter == "Z")))

    def increments(self, letter: str, value: float) -> str:
        """A word without a point, in least increments."""
        return f"{letter}{round(value / (25.4 * 0.0001) if self.inch else value / 0.001)}"

    def feed(self, value: float) -> str:
        """A feed per revolution, given in mm."""
        return f"F{value / 25.4:.4f}" if self.inch else f"F{value:.2f}"

    def steps(self, at: Point, to: Point, relative: float, rng: Random) -> list[str]:
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

    # --- blocks ------------------------------------------------------------------------------

    def block(self, *words: str, deleted: bool = False) -> None:
        """One block; G words are given by their names in the cycles-g90 family."""
        out = [spoken(w, self.family) if w[:1] == "G" or w in ("ABS", "INC") else w for w in words]
        text = " ".join(w for w in out if w)
        self.lines += self._before
        self._before = []
        if (
            self.extras.has("block-delete") and words[:1] == ("G00",) and not self.in_profile
            and not deleted and self.extras.rng.random() < 0.15
        ):  # fmt: skip
            # Said twice: with the first one deleted the second does it all.
            self.lines.append("/" + text)
        self.lines.append(("/" if deleted else "") + text)

    def say(self, text: str) -> None:
        """A line as it is."""
        self.lines += self._before
        self._before = []
        self.lines.append(text)

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
        if self.extras.has("machine-places") and self.extras.rng.random() < 0.5:
            for axes in (order,) if len(order) > 1 else (order, "Z" if order == "X" else "X"):
                self.block("G00", "G53", *(f"{axis}0" for axis in axes))
            return
        second = self.extras.has("tool-words") and self.extras.rng.random() < 0.4
        word = "G30" if second else "G28"
        for axes in (order,) if len(order) > 1 else (order, "Z" if order == "X" else "X"):
            if self.family == "cycles-g90":
                self.block(word, *({"X": "U0", "Z": "W0"}[axis] for axis in axes))
            else:
                self.block("INC", word, *(f"{axis}0" for axis in axes))
        if self.family != "cycles-g90":
            self.block("ABS")

    def lift(self) -> None:
        """Out beside the work by a place of the machine, where the job has such."""
        if not self.extras.geometry or self.extras.rng.random() < 0.4:
            return
        _, across = self.extras.geometry[self.station]
        r = self.clear_r
        if self.extras.fault == "low-machine-place":
            r -= 12.0 + self.extras.amount
        self.block("G00", "G53", "X" + self.x_number(r + across))

    # --- calls and zeros ---------------------------------------------------------------------

    def next_number(self) -> int:
        """The number of a new subprogram."""
        self.subprograms += 1
        return self.first_number + self.subprograms

    def keep(self, number: int, body: list[str], own_file: bool) -> None:
        """Puts a subprogram behind the program or in a file of its own."""
        whole = [f"O{number:04d}", *body, "M99"]
        if own_file:
            self.files[f"o{number:04d}.nc"] = "\n".join(["%", *whole, "%", ""])
        else:
            self.tail += whole

    @contextmanager
    def apart(self) -> Iterator[None]:
        """What is written meanwhile stands in a subprogram, where the job has such."""
        rng = self.extras.rng
        if not self.extras.has("subprograms") or rng.random() > 0.7:
            with self._moved_zero():
                yield
            return
        outer, self.lines = self.lines, []
        with self._moved_zero():
            yield
        body, self.lines = self.lines, outer
        number = self.next_number()
        count = rng.choice((1, 1, 1, 2))
        if count > 1 and rng.random() < 0.5:
            self.block("M98", f"P{count:03d}{number:04d}")
        else:
            self.block("M98", f"P{number:04d}", f"L{count}" if count > 1 else "")
        if count == 1 and rng.random() < 0.25:
            back = self.label()
            self.say(f"N{back} M09")
            self.tail += [f"O{number:04d}", *body, f"M99 P{back}"]
            return
        self.keep(number, body, rng.random() < 0.4)

    @contextmanager
    def _moved_zero(self) -> Iterator[None]:
        """Meanwhile absolute words count from another zero, where the job has such."""
        rng = self.extras.rng
        before = self.origin
        setting = self.extras.has("place-setting") and self.family == "cycles-g90"
        moved = round(rng.uniform(-8.0, 8.0), 1)
        if self.extras.has("zero-shift") and rng.random() < 0.6:
            across = rng.choice((0.0, round(rng.uniform(-3.0, 3.0), 1)))
            self.block("G52", self.x(across, "X"), "Z" + self.number(moved))
            self.origin = (moved, across)
            yield
            self.origin = before
            if self.extras.fault != "shift-left":
                self.block("G52", "X0.", "Z0.")
        elif setting and rng.random() < 0.4:
            self.block("G50", "W" + self.number(moved))
            self.origin = (before[0] - moved, before[1])
            yield
            self.block("G50", "W" + self.number(-moved))
            self.origin = before
        else:
            yield

    def text(self) -> str:
        """The program."""
        return "\n".join([*self.lines, *self.tail, "%", ""])
