"""Plays a job on the pixel section and gives the judge's verdict."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

from judge.clamp import Placed, first_places, turned_places
from judge.jobfile import JobFile, read_job_text
from judge.motion import Move, Undecided
from judge.play import play_programs
from judge.raster import HELD_MAYBE, HELD_STRIKE, STRIKE
from judge.rows import OPEN_VALUES, OpenRow
from judge.section import Section, fresh, hold, turn
from judge.toolbox import Toolbox
from judge.track import Track, play, track_of

BURR_MM = (0.05, 0.2)
"""Where a part is seated or measured, a burr thinner than the first gives way, one thicker than the
second holds. Where it matters which one in between does, nothing is decided."""


@dataclass(frozen=True)
class Hit:
    """The first move that strikes, or that may."""

    setup: str
    line: int
    rapid: bool
    against: str


@dataclass(frozen=True)
class Verdict:
    """What the judge says: `contact`, `clear`, `doubtful` or `undecided`."""

    word: str
    hit: Hit | None = None
    reason: str = ""
    used: Counter[str] | None = None


_Moves = tuple[tuple[Move, ...], ...]


def _worse(a: Verdict, b: Verdict) -> Verdict:
    """Of two corners of the tolerances: the first that strikes, else the first that may."""
    ranks = {"clear": 0, "doubtful": 1, "contact": 2}
    return b if ranks[b.word] > ranks[a.word] else a


@dataclass
class _Bench:
    """What is played at every corner of the tolerances."""

    job: JobFile
    tracks: tuple[Track, ...]
    """The moves of each set-up."""
    pixel: float

    def worst(self) -> Verdict:
        """The worst verdict of all corners."""
        answer = Verdict("clear")
        for placed in first_places(self.job.setups[0], self.job.blank):
            section = fresh(self.job, placed, self.pixel)
            answer = _worse(answer, self.play(0, section, placed))
            if answer.word == "contact":
                break
        return answer

    def play(self, index: int, section: Section, placed: Placed) -> Verdict:
        """One set-up at one corner, and every corner of those after it."""
        clamping = self.job.setups[index]
        hold(section, clamping, placed)
        answer = _moved(clamping.name, section, self.tracks[index])
        if answer.word == "contact" or index + 1 == len(self.tracks):
            return answer
        after = self.job.setups[index + 1]
        if not after.turned or index > 0:
            raise Undecided("a further set-up that is not the turned part's first")
        readings = [
            self.turned(index + 1, section, placed, face)
            for face in sorted({section.face(burr) for burr in BURR_MM})
        ]
        if len({reading.word for reading in readings}) > 1:
            hits = [reading.hit for reading in readings if reading.hit is not None]
            return _worse(answer, Verdict("doubtful", hits[0]))
        return _worse(answer, readings[0])

    def turned(self, index: int, section: Section, placed: Placed, face: float) -> Verdict:
        """The worst corner of the second set-up, the part seated on a face at z = `face`."""
        answer = Verdict("clear")
        for place in turned_places(
            self.job.setups[index], self.job.blank, self.job.part_length, placed, face
        ):  # fmt: skip
            assert place.mirror is not None
            answer = _worse(answer, self.play(index, turn(section, place.mirror), place))
            if answer.word == "contact":
                break
        return answer


def _moved(setup: str, section: Section, track: Track) -> Verdict:
    """The moves of one set-up up to the first sure strike."""
    answer = Verdict("clear")
    for move, met in zip(track.moves, play(section, track), strict=False):
        if not met:
            continue
        held = met & (HELD_STRIKE | HELD_MAYBE) and not met & STRIKE
        hit = Hit(setup, move.line, move.rapid, "jaws" if held else "metal")
        if met & (STRIKE | HELD_STRIKE):
            return Verdict("contact", hit)
        answer = _worse(answer, Verdict("doubtful", hit))
    return answer


def _reading(job: JobFile, moves: _Moves, toolbox: Toolbox) -> Verdict:
    """The worst corner of one way of moving."""
    answer = Verdict("clear")
    for tools in toolbox.corners(moves):
        tracks = tuple(track_of(part, tools) for part in moves)
        answer = _worse(answer, _Bench(job, tracks, toolbox.pixel).worst())
        if answer.word == "contact":
            break
    return answer


def judge(files: dict[str, str], pixel: float = 0.1) -> Verdict:
    """The judge's verdict on a job given as file name -> text, by pixels of `pixel` mm.

    Every corner of the tolerances and every value of an open row of the control is played; the
    worst of them is the verdict. What strikes before the job can be followed no further decides it.
    """
    try:
        left = [read_job_text(files["job.toml"])]
        answer = Verdict("clear")
        used: Counter[str] = Counter()
        seen: set[_Moves] = set()
        toolbox: Toolbox | None = None
        while left and answer.word != "contact":
            job = left.pop()
            try:
                played = play_programs(job, files)
            except OpenRow as met:
                if met.row not in OPEN_VALUES:
                    raise
                for value in reversed(OPEN_VALUES[met.row]):
                    left.append(replace(job, control={**job.control, met.row: value}))
                continue
            used |= played.used
            if played.moves not in seen:
                seen.add(played.moves)
                toolbox = toolbox or Toolbox(job, pixel)
                answer = _worse(answer, _reading(job, played.moves, toolbox))
            if played.unfollowed and answer.word != "contact":
                raise Undecided(played.unfollowed)
        return replace(answer, used=used)
    except Undecided as reason:
        return Verdict("undecided", reason=str(reason))
