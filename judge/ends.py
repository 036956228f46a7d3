"""What a random program does at one end of the part.

Frame: the end's own, z from its part zero, mm, radii.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from random import Random

from judge.features import Extras
from judge.thread_cut import ThreadCut

Point = tuple[float, float]
RECESS = 1.8
"""Depth of a recess, radial, mm."""


@dataclass
class Bore:
    """A drilled and bored hole."""

    drill_r: float
    drill_depth: float
    bore_r: float
    bore_depth: float
    drill_by: str
    """`G74` or `plain`."""
    bore_by: str
    """`G71`, `G72`, `G73`, `G90`, `plain` or `none`."""
    bar: float
    groove: InnerGroove | None = None


@dataclass
class InnerGroove:
    """A groove in the wall of a bore."""

    z: float
    """Its chuck side."""
    depth: float
    width: float
    reach: float
    bar: float
    by: str


@dataclass
class Ring:
    """A groove in the face."""

    inner: float
    """Radius of its inner wall."""
    width: float
    depth: float
    tool_width: float
    by: str


@dataclass
class Groove:
    """A groove in the outside."""

    z: float
    """Its chuck side."""
    width: float
    bottom: float
    surface: float
    tool_width: float
    by: str


@dataclass
class Outward:
    """A cylinder turned away from the chuck, from the groove out to the shoulder."""

    start: float
    """z in the groove."""
    depth: float
    rise: float
    """A chamfer at its outer end, 0 for none."""
    allow: float
    by: str
    """`G71`, `G73`, `G90` or `plain`."""


@dataclass
class Tapped:
    """A thread tapped into the drilled hole."""

    hole: float
    """Radius that the tap is made for."""
    crest: float
    depth: float


@dataclass
class End:
    """One end, as its programmer saw it."""

    raw: float
    """Raw radius the programmer reckoned with."""
    face: float
    """Raw face in front of part zero, as reckoned."""
    hole: float
    """Radius of what is hollow at the face, 0 where solid."""
    small: float
    small_length: float
    large: float
    length: float
    chamfer: float
    arc: float
    """Radius of the fillet between the two diameters, 0 for a plain shoulder."""
    clear_x: float
    clear_z: float
    depth: float
    return_gap: float
    allow_x: float
    """Finishing allowance, radial."""
    allow_z: float
    face_by: str
    rough_by: str
    finish_by: str
    past: float = 0.6
    """How far a face is turned past the centre, radial."""
    groove: Groove | None = None
    bore: Bore | None = None
    ring: Ring | None = None
    recess: float = 0.0
    """Slope (depth over length) at which the finishing tool dives into a recess; 0: none."""
    back: float = 0.0
    """The same for a recess turned away from the chuck by the left-hand tool."""
    rounded: bool = False
    """The edge of the face is an arc, not a chamfer."""
    taper: float = 0.0
    """By how much the small diameter is less at its outer end, radial."""
    relative: float = 0.0
    """Chance of a word being written as a distance."""
    cone: float = 0.0
    """R of the first facing pass, along z."""
    fault: str = ""
    amount: float = 0.0
    turns: dict[int, str] = field(default_factory=dict)
    """Spindle word of each station's tool."""
    wrong_at: tuple[int, ...] = (1, 3)
    """Stations at which a spindle fault strikes."""
    extras: Extras = field(default_factory=Extras)
    threads: list[ThreadCut] = field(default_factory=list)
    one_block: bool = False
    """Roughing is told in one block, with D."""
    compensated: float = 0.0
    """Nose radius of a finish under compensation, 0 without."""
    pocket: Point | None = None
    """(depth, length of its floor) of a pocket in the large diameter."""
    pocket_slope: float = 0.25
    face_pocket: Point | None = None
    """(depth, length of its floor) of a pocket in the shoulder, roughed by levels across."""
    outward: Outward | None = None
    tapped: Tapped | None = None
    corner_words: bool = False

    @property
    def ready(self) -> float:
        """z of the clearance in front of whatever face stands when the outside is done."""
        return self.clear_z + (self.face if self.face_by == "none" else 0.0)

    def small_at(self, z: float) -> float:
        """Radius of the small diameter's line at z, produced to either side."""
        long = self.small_length - self.chamfer
        return self.small - self.taper * (z + self.small_length) / long

    @property
    def exit(self) -> float:
        """Radius at which the finishing contour ends."""
        return self.raw + 0.6

    @property
    def start(self) -> Point:
        """The clearance point (z, r) of the roughing."""
        z = self.ready
        if self.fault == "near-face":
            # Behind the finished face the profile would turn back, which nobody follows.
            z = max(z - self.amount, 0.1)
        r = self.raw + self.clear_x
        if self.fault == "low-clearance":
            r = max(r - self.amount, self.large + 0.3)
        return z, r

    def contour(self) -> list[tuple[str, Point]]:
        """The finished outside from the entry on: motion word and end point."""
        edge = self.small - self.taper
        way = [("G01", (0.0, edge - self.chamfer))]
        if self.face_by == "none":  # the face is part of the contour, from the centre out
            way.insert(0, ("G01", (0.0, max(0.0, self.hole - 0.8))))
        if self.chamfer > 0:
            way.append(("G03" if self.rounded else "G01", (-self.chamfer, edge)))
        if self.arc > 0:
            way.append(("G01", (-self.small_length + self.arc,
                                self.small_at(-self.small_length + self.arc))))  # fmt: skip
            way.append(("G02", (-self.small_length, self.small + self.arc)))
        else:
            way.append(("G01", (-self.small_length, self.small)))
        if self.face_pocket is not None:
            # Told from the axis outwards: the steep wall first.
            depth, floor = self.face_pocket
            z, r = -self.small_length, self.small + 0.6
            way.append(("G01", (z, r)))
            way.append(("G01", (z - depth, r + depth)))
            way.append(("G01", (z - depth, r + depth + floor)))
            way.append(("G01", (z, r + depth + floor + depth / self.pocket_slope)))
        way.append(("G01", (-self.small_length, self.large)))
        if self.pocket is not None:
            depth, floor = self.pocket
            z = -self.small_length - 1.5
            down = z - depth / self.pocket_slope
            low = self.large - depth
            way.append(("G01", (z, self.large)))
            way.append(("G01", (down, low)))
            way.append(("G01", (down - floor, low)))
            way.append(("G01", (down - floor - depth, self.large)))
        way.append(("G01", (-self.length, self.large)))
        way.append(("G01", (-self.length, self.exit)))
        return way


def draw_end(rng: Random, raw: float, hole: float, face: float, length: float, small: float,
             small_length: float, large: float) -> End:  # fmt: skip
    """Draws how an end is worked; the sizes are given."""
    step = large - small
    chamfer = rng.choice((0.0, 1.0, 1.5))
    arc = rng.choice((0.0, 0.0, 1.0, 2.0))
    rough = rng.choices(("G71", "G90", "G72", "plain"), (40, 22, 26, 12))[0]
    finish = rng.choices(("G70", "plain", "none"), (70, 20, 10))[0]
    face_by = rng.choices(("G94", "G72", "plain", "none"), (34, 22, 22, 22))[0]
    if face_by == "none" and rough != "G71":
        face_by = "plain"
    return End(
        raw=raw, face=face, hole=hole, small=small, small_length=small_length, large=large,
        length=length, chamfer=chamfer,
        arc=arc if arc < step - 0.5 and rough in ("G71", "plain") else 0.0,
        clear_x=round(rng.uniform(0.7, 3.0), 2), clear_z=round(rng.uniform(0.8, 4.0), 2),
        depth=round(rng.uniform(0.8, 2.2), 2), return_gap=rng.choice((0.5, 0.8, 1.0)),
        allow_x=rng.choice((0.2, 0.3, 0.5)), allow_z=rng.choice((0.0, 0.1, 0.2)),
        face_by=face_by,
        rough_by=rough,
        finish_by="plain" if finish == "G70" and rough not in ("G71", "G72") else finish,
        rounded=rough in ("G71", "plain") and rng.random() < 0.5,
        relative=rng.choice((0.0, 0.0, 0.5)),
        cone=round(rng.uniform(0.1, 0.5), 2) if rng.random() < 0.2 else 0.0,
        past=0.6 if rng.random() < 0.8 else round(rng.uniform(1.0, 2.5), 1),
    )  # fmt: skip


def draw_recess(rng: Random, end: End, least: float, greatest: float) -> None:
    """A recess that dives in between the two angles, where the large diameter has room."""
    slope = round(math.tan(math.radians(rng.uniform(least, greatest))), 3)
    if end.length - end.small_length > RECESS / slope + 4.0 and end.large - RECESS > end.hole + 2.0:
        end.recess = slope


def draw_back(rng: Random, end: End) -> None:
    """A recess turned away from the chuck, next to the collar at the shoulder."""
    slope = round(math.tan(math.radians(rng.uniform(14.0, 34.0))), 3)
    if end.length - end.small_length > RECESS / slope + 4.5 and end.large - RECESS > end.hole + 2.0:
        end.back = slope


def draw_taper(rng: Random, end: End) -> None:
    """A slight taper on the small diameter, where there is no fillet behind it."""
    if end.arc == 0 and end.small - end.chamfer > end.hole + 3.0:
        end.taper = round(rng.uniform(0.2, 0.8), 2)


def draw_ring(rng: Random, end: End) -> None:
    """A groove in the face between what is hollow and the edge, where there is room."""
    inside = max(end.hole, max(end.bore.bore_r, end.bore.drill_r) + 0.8 if end.bore else 0.0) + 1.0
    width = rng.choice((2.0, 3.0))
    wide = round(width * rng.choice((1.0, 1.0, 1.7)), 2)
    room = end.small - end.taper - end.chamfer - 1.0 - wide - inside
    if room > 0 and end.face_by != "none":
        inner = round(inside + rng.uniform(0.0, room), 2)
        by = "G74" if rng.random() < 0.6 else "plain"
        end.ring = Ring(inner, wide, round(rng.uniform(1.0, 4.0), 1), width, by)


def draw_inner_groove(rng: Random, bore: Bore) -> None:
    """A groove in the bored wall, where the bore is long and wide enough."""
    width = rng.choice((1.5, 2.0))
    low, high = -bore.bore_depth + 0.6, -width - 1.5
    depth = round(rng.uniform(0.8, 2.0), 2)
    reach = round(depth + rng.uniform(0.4, 1.2), 2)
    bar = round((bore.bore_r * 2 - reach - 1.0) * rng.uniform(0.6, 1.0), 1)
    if low < high and bar > 3.0 and bore.bore_by != "none":
        by = "G75" if rng.random() < 0.6 else "plain"
        z = round(rng.uniform(low, high), 2)
        bore.groove = InnerGroove(z, depth, width, reach, bar, by)


def draw_groove(rng: Random, end: End, depth: float) -> Groove:
    """A groove in the large diameter or, where that is short, in the small one."""
    width = rng.choice((2.0, 3.0, 4.0))
    wide = round(width * rng.choice((1.0, 1.0, 1.6, 2.3)), 2)
    long = end.length - end.small_length
    if long > wide + 4.0:
        low, high, surface = end.small_length + wide + 1.0, end.length - 2.0, end.large
    else:
        low, high, surface = wide + 2.0, max(wide + 2.5, end.small_length - 1.0), end.small
    z = round(-rng.uniform(low, high), 2)
    depth = min(depth, surface - end.hole - 3.0)
    by = "G75" if rng.random() < 0.75 else "plain"
    return Groove(z, wide, round(surface - depth, 2), surface, width, by)


def draw_bore(rng: Random, radius: float, depth: float) -> Bore:
    """A hole of at most the given radius and depth."""
    drill_r = round(rng.uniform(5.0, max(5.5, min(9.0, radius - 2.0))), 1)
    bore_r = round(min(radius, drill_r + rng.uniform(1.0, 4.0)), 2)
    drill_depth = round(rng.uniform(0.55, 1.0) * depth, 1)
    by = rng.choices(("G71", "G90", "plain", "none"), (30, 30, 20, 20))[0]
    return Bore(
        drill_r, drill_depth, bore_r, round(drill_depth * rng.uniform(0.3, 0.75), 1),
        "G74" if rng.random() < 0.75 else "plain", by,
        round(drill_r * rng.uniform(0.9, 1.3), 1),
    )  # fmt: skip
