"""Execution of a program by the judge: from lines of words to the moves of each set-up."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

from judge.curve import centre_of, chords
from judge.cycles import ProfileBlock, finish, peck, rough, single_pass
from judge.jobfile import Clamping, JobFile
from judge.motion import FAR, Leg, Move, Point, Undecided
from judge.words import Line, read_lines

_CYCLES = ("G70", "G71", "G72", "G74", "G75", "G90", "G94")
_MOTIONS = ("G00", "G01", "G02", "G03")
_SILENT = {
    "G04", "G40", "G50", "G54", "G55", "G56", "G57", "G58", "G59", "G96", "G97", "G98", "G99",
    "M08", "M09", "G18",
}  # fmt: skip
_KNOWN = {
    *_MOTIONS, *_CYCLES, *_SILENT, "G20", "G21", "ABS", "INC", "G28",
    "M00", "M01", "M02", "M03", "M04", "M05", "M30",
}  # fmt: skip


@dataclass
class Run:
    """State of the control while a program runs."""

    job: JobFile
    lines: list[Line]
    at: Point = (FAR, FAR)
    station: int = -1
    spindle: int = 0
    mode: str = ""
    """The motion word in force; empty: rapid."""
    inch: bool = False
    incremental: bool = False
    offset: str = "G54"
    modal: dict[str, float] = field(default_factory=dict)
    """What a single-pass cycle keeps from block to block."""
    depth: float | None = None
    withdrawal: float | None = None
    peck_back: float | None = None
    moves: list[Move] = field(default_factory=list)
    stops: int = 0
    cuts: list[tuple[str, int]] = field(default_factory=list)
    """(mark, number of moves made before it): `label 10`, `stop 1`, `offset G55`."""
    used: Counter[str] = field(default_factory=Counter)

    def __post_init__(self) -> None:
        self.inch = self.job.unit != 1.0

    # --- numbers -----------------------------------------------------------------------------

    def length(self, text: str, row: str = "number_without_point") -> float:
        """A length word in mm."""
        unit = 25.4 if self.inch else 1.0
        if "." in text or float(text) == 0:
            return float(text) * unit
        rule = self.job.control.get(row)
        if rule == "unit":
            return float(text) * unit
        if rule == "increment":
            return float(text) * float(self.job.machine.get("increment", 0.001)) * self.job.unit
        raise Undecided(f"{row} is open")

    def radial(self, text: str) -> float:
        """An X or U word as a radius in mm."""
        half = 1.0 if self.job.control.get("x_words", "diameter") == "radius" else 0.5
        return self.length(text) * half

    def target(self, line: Line, origin: Point) -> Point:
        """End point of a block that starts at `origin`."""
        z, r = origin
        v = line.values
        if "X" in v:
            r = self.radial(v["X"]) + (origin[1] if self.incremental else 0.0)
        if "U" in v:
            r = origin[1] + self.radial(v["U"])
        if "Z" in v:
            z = self.length(v["Z"]) + (origin[0] if self.incremental else 0.0)
        if "W" in v:
            z = origin[0] + self.length(v["W"])
        return z, r

    def arc(self, line: Line, start: Point, end: Point, mode: str) -> list[Point]:
        """Chords of a G02 or G03 block."""
        v = line.values
        clockwise = mode == "G02"
        if "R" in v:
            centre = centre_of(start, end, clockwise, self.length(v["R"]))
        elif "I" in v or "K" in v:
            dr = self.length(v.get("I", "0"))
            dz = self.length(v.get("K", "0"))
            rule = self.job.control.get("arc_centre")
            if rule == "incremental":
                centre = (start[0] + dz, start[1] + dr)
            elif rule == "absolute":
                centre = (dz, dr)
            else:
                raise Undecided("arc_centre is open")
        else:
            raise Undecided(f"line {line.number}: arc without centre")
        return chords(start, end, clockwise, centre)

    # --- moves -------------------------------------------------------------------------------

    def go(self, leg: Leg, line: int) -> None:
        """Adds the moves of one leg, by the machine's way of moving in rapid."""
        start, end = self.at, leg.end
        if start == end:
            return
        dz, dr = end[0] - start[0], end[1] - start[1]
        far = FAR in (*start, *end)
        way = self.job.machine.get("rapid_path", "unknown")
        slanted = leg.rapid and not leg.straight and dz != 0 and dr != 0
        if not leg.rapid and far:
            raise Undecided(f"line {line}: feed from or to home")
        if slanted and (far or way == "unknown"):
            self.add(True, end, line, anywhere=True)
            return
        if slanted and way == "bent":
            rates = self.job.machine["rapid_rates"]
            time = min(abs(dz) / rates["z"], abs(dr) / rates["x"])
            z = start[0] + (rates["z"] * time if dz > 0 else -rates["z"] * time)
            r = start[1] + (rates["x"] * time if dr > 0 else -rates["x"] * time)
            self.add(True, (z, r), line)
        self.add(leg.rapid, end, line)

    def add(self, rapid: bool, end: Point, line: int, anywhere: bool = False) -> None:
        """Adds one move and stands at its end."""
        self.moves.append(
            Move(rapid, self.at, end, self.station, self.spindle, line, anywhere)
        )  # fmt: skip
        self.at = end

    # --- blocks ------------------------------------------------------------------------------

    def run(self) -> None:
        """Runs the whole file."""
        index = 0
        while index < len(self.lines):
            line = self.lines[index]
            index += 1
            if line.deleted:
                switch = self.job.control.get("block_delete")
                if switch is None:
                    raise Undecided("block_delete is open")
                if switch == "on":
                    continue
            if line.label is not None:
                self.cuts.append((f"label {line.label}", len(self.moves)))
            jump = self.block(line)
            if jump == -1:
                return
            if jump is not None:
                index = jump

    def block(self, line: Line) -> int | None:
        """Runs one block; gives the index to go on at where that is not the next one, -1 at
        the end of the program."""
        codes, v = line.codes, line.values
        for code in codes:
            if code in ("G20", "G21"):
                self.inch = code == "G20"
            elif code in ("ABS", "INC"):
                self.incremental = code == "INC"
            elif code in ("G54", "G55", "G56", "G57", "G58", "G59"):
                self.offset = code
                self.cuts.append((f"offset {code}", len(self.moves)))
            elif code == "M03":
                self.spindle = 1
            elif code == "M04":
                self.spindle = -1
        if "G50" in codes and ({"X", "Z", "U", "W"} & v.keys()):
            raise Undecided(f"line {line.number}: coordinate setting")
        if "T" in v:
            self.turret(v["T"], line)
        jump = None
        if "G28" in codes:
            self.home(line)
        elif "G04" not in codes and "G50" not in codes:
            jump = self.motion(line)
        for code in codes:
            if code not in _KNOWN:
                raise Undecided(f"line {line.number}: {code}")
        if "M05" in codes:
            self.spindle = 0
        if "M00" in codes or ("M01" in codes and self.job.control.get("optional_stop") == "on"):
            self.stops += 1
            self.cuts.append((f"stop {self.stops}", len(self.moves)))
        if "M02" in codes or "M30" in codes:
            return -1
        return jump

    def turret(self, word: str, line: Line) -> None:
        """A T word: only at home, and with the offset of its own station."""
        if len(word) != 4 or word[:2] != word[2:]:
            raise Undecided(f"line {line.number}: T{word}")
        station = int(word[:2])
        if station != self.station and self.at != (FAR, FAR):
            raise Undecided(f"line {line.number}: tool change away from home")
        self.station = station

    def home(self, line: Line) -> None:
        """G28 by way of a middle point, each named axis to home."""
        names = line.values.keys()
        middle = self.target(line, self.at)
        if middle != self.at:
            self.go(Leg(True, middle), line.number)
        z = FAR if names & {"Z", "W"} else self.at[0]
        r = FAR if names & {"X", "U"} else self.at[1]
        if self.job.machine.get("home", "unknown") != "beyond":
            raise Undecided("home is unknown")
        self.go(Leg(True, (z, r)), line.number)

    def motion(self, line: Line) -> int | None:
        """The motion of a block, if any."""
        named = line.values.keys() & {"X", "Z", "U", "W"}
        word = next((c for c in line.codes if c in _MOTIONS or c in _CYCLES), None)
        if word in ("G70", "G71", "G72", "G74", "G75"):
            self.mode = ""
            return self.cycle(word, line)
        if word is not None:
            if word in ("G90", "G94"):
                self.used[word] += 1
                self.modal = {}
            self.mode = word
        if not named:
            return None
        if self.mode in ("G90", "G94"):
            self.pass_cycle(line)
            return None
        end = self.target(line, self.at)
        if self.mode in ("G02", "G03"):
            for point in self.arc(line, self.at, end, self.mode):
                self.go(Leg(False, point), line.number)
        else:
            self.go(Leg(self.mode != "G01", end), line.number)
        return None

    def pass_cycle(self, line: Line) -> None:
        """One pass of G90 or G94; X, Z and R stay for the blocks after."""
        s, v = self.at, line.values
        if {"X", "U"} & v.keys():
            self.modal["r"] = self.target(line, s)[1]
        if {"Z", "W"} & v.keys():
            self.modal["z"] = self.target(line, s)[0]
        if "R" in v:
            self.modal["taper"] = self.length(v["R"])
        if "r" not in self.modal or "z" not in self.modal:
            raise Undecided(f"line {line.number}: single-pass cycle without X or Z")
        end = (self.modal["z"], self.modal["r"])
        for leg in single_pass(s, end, self.modal.get("taper", 0.0), self.mode == "G94"):
            self.go(leg, line.number)

    def cycle(self, word: str, line: Line) -> int | None:
        """G70 to G75."""
        v = line.values
        control = self.job.control
        s = self.at
        if word in ("G74", "G75"):
            across = word == "G75"
            if not {"X", "Z", "U", "W"} & v.keys():
                self.peck_back = self.length(v["R"])
                return None
            self.used[word] += 1
            back = self.peck_back
            if back is None:
                back = float(control["pecking_return"]) * self.job.unit
            row = "cycle_number_without_point"
            p, q = self.length(v.get("P", "0"), row), self.length(v.get("Q", "0"), row)
            legs = peck(
                s, self.target(line, s), p if across else q, q if across else p, back,
                self.length(v.get("R", "0")), across,
            )  # fmt: skip
            for leg in legs:
                self.go(leg, line.number)
            return None
        if "P" not in v:
            self.depth = self.length(v["W" if word == "G72" else "U"])
            if "R" in v:
                self.withdrawal = self.length(v["R"])
            return None
        self.used[word] += 1
        first, last = self.labelled(int(v["P"])), self.labelled(int(v["Q"]))
        blocks = self.profile(first, last)
        if word == "G70":
            legs = finish(s, blocks, control)
        else:
            if "D" in v:
                self.depth = self.length(v["D"], "cycle_number_without_point")
            depth, withdrawal = self.depth, self.withdrawal
            if depth is None:
                depth = float(control["roughing_depth"]) * self.job.unit
            if withdrawal is None:
                withdrawal = float(control["roughing_withdrawal"]) * self.job.unit
            # u stays diametral whatever X words are; x_words says how it is written
            moved = (self.length(v.get("W", "0")), self.radial(v.get("U", "0")))
            legs = rough(s, blocks, moved, depth, withdrawal, word == "G72", control)
        for leg in legs:
            self.go(leg, line.number)
        here = self.lines.index(line)
        return last + 1 if word != "G70" and first == here + 1 else None

    def labelled(self, label: int) -> int:
        """Index of the one line with this label."""
        found = [i for i, line in enumerate(self.lines) if line.label == label]
        if len(found) != 1:
            raise Undecided(f"label N{label} found {len(found)} times")
        return found[0]

    def profile(self, first: int, last: int) -> list[ProfileBlock]:
        """The blocks of a profile run from where the tool stands."""
        at, mode = self.at, ""
        blocks = []
        for line in self.lines[first : last + 1]:
            named = line.values.keys() & {"X", "Z", "U", "W"}
            for code in line.codes:
                if code not in _MOTIONS:
                    raise Undecided(f"line {line.number}: {code} inside a profile")
                mode = code
            if not named:
                continue
            end = self.target(line, at)
            arc = mode in ("G02", "G03")
            points = self.arc(line, at, end, mode) if arc else [end]
            letters = frozenset({"U": "X", "W": "Z"}.get(a, a) for a in named)
            blocks.append(ProfileBlock(mode not in ("G01", "G02", "G03"), tuple(points), letters))
            at = end
        if not blocks:
            raise Undecided("empty profile")
        return blocks


@dataclass(frozen=True)
class Played:
    """The moves of each set-up and how often each cycle was called."""

    moves: tuple[tuple[Move, ...], ...]
    used: Counter[str]


def _cut(run: Run, mark: dict[str, object] | None, default: int) -> int:
    if mark is None:
        return default
    name, value = next(iter(mark.items()))
    for text, at in run.cuts:
        if text == f"{name} {value}":
            return at
    raise Undecided(f"mark {name} {value} is never reached")


def play_programs(job: JobFile, files: dict[str, str]) -> Played:
    """Runs every set-up's program (each file once) and splits it at the marks."""
    runs: dict[str, Run] = {}
    parts: list[tuple[Move, ...]] = []
    for clamping in job.setups:
        run = runs.get(clamping.program)
        if run is None:
            family = str(job.control.get("cycle_words"))
            run = Run(job, read_lines(files[clamping.program], family))
            run.run()
            runs[clamping.program] = run
        parts.append(_part(run, clamping))
    used: Counter[str] = Counter()
    for run in runs.values():
        used.update(run.used)
    return Played(tuple(parts), used)


def _part(run: Run, clamping: Clamping) -> tuple[Move, ...]:
    start = _cut(run, dict(clamping.start) if clamping.start else None, 0)
    end = _cut(run, dict(clamping.end) if clamping.end else None, len(run.moves))
    return tuple(run.moves[start:end])
