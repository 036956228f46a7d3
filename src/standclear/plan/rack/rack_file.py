"""The rack: bars and offcuts at hand, as a TOML file states them.

Lengths stand in the file's unit; `read_rack` turns them into millimetres once.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Literal

from pydantic import Field

from standclear.errors import Fault, FileError, JobError
from standclear.files import read_text_bytes
from standclear.job.models import Table
from standclear.job.salvage import read_table
from standclear.job.toml_text import parse_toml
from standclear.job.units import Flag, Length, Number, Tolerance, Units, Whole, to_millimetres
from standclear.job.wording import key_path
from standclear.plan.rack.tolerance import HEXAGONS, INCH, Standard, tolerance_of


class Stock(Table):
    """One kind of bar or offcut."""

    name: str = ""
    shape: Literal["round", "tube", "hexagon", "square"] = "round"
    size: Length = Field(gt=0)
    size_tolerance: Tolerance | None = None
    """Left out: by the standard, else that of the job's blank."""
    standard: Standard | None = None
    """What the bar is made to: its tolerance is taken from there."""
    bore: Length | None = Field(default=None, gt=0)
    length: Length = Field(gt=0)
    count: Whole = Field(default=1, ge=1)
    material: str = ""
    density: Number | None = Field(default=None, gt=0)
    """Grams per cubic centimetre; left out: by the material's name."""
    price_per_metre: Number | None = Field(default=None, ge=0)
    price_per_kilogram: Number | None = Field(default=None, ge=0)


class Rack(Table):
    """A whole rack file."""

    units: Units
    kerf: Length = Field(gt=0)
    """Width of the saw cut."""
    trim: Length = Field(default=0.0, ge=0)
    """Cut off the front end of a bar first."""
    remnant: Length = Field(default=0.0, ge=0)
    """End of a bar that saw or feeder holds and that cannot be used."""
    last_as_it_is: Flag = False
    """The last piece of a bar needs no cut behind it."""
    stock: list[Stock] = Field(min_length=1)


def read_rack(path: Path) -> Rack:
    """The rack in millimetres.

    Raises JobError with every fault of the file; nothing is written.
    """
    try:
        data = read_text_bytes(path)
        raw = parse_toml(data, path.name)
    except FileError as error:
        raise JobError([error.fault]) from error
    rack, flaws = read_table(Rack, raw)
    faults = [Fault(path.name, key_path(f.place, raw), f.found, f.accepted) for f in flaws]
    if not faults:
        faults = [
            Fault(path.name, f"stock[{k}].{key}", found, accepted)
            for k, stock in enumerate(rack.stock)
            for key, found, accepted in _flaws(stock, rack.units)
        ]
    if faults:
        raise JobError(faults)
    rack = to_millimetres(rack, rack.units, rack.units)
    return rack.model_copy(update={"stock": [_by_standard(stock) for stock in rack.stock]})


def _flaws(stock: Stock, units: str) -> Iterator[tuple[str, str, str]]:
    """Key, what was found, what is accepted: values that do not go together."""
    if stock.price_per_metre is not None and stock.price_per_kilogram is not None:
        found = f"{stock.price_per_kilogram:g} beside price_per_metre"
        yield "price_per_kilogram", found, "give price_per_metre or price_per_kilogram, not both"
    if (stock.bore is not None) != (stock.shape == "tube"):
        found = "missing" if stock.bore is None else f"{stock.bore:g} on no tube"
        yield "bore", found, "give a tube its bore, and no other bar one"
    elif stock.bore is not None and stock.bore >= stock.size:
        yield "bore", f"{stock.bore:g}", "give a bore smaller than the size"
    if stock.standard is None:
        return
    if stock.size_tolerance is not None:
        found = f'"{stock.standard}" beside size_tolerance'
        yield "standard", found, "give size_tolerance or standard, not both"
    elif stock.shape != "round" and (stock.shape == "tube" or stock.standard not in HEXAGONS):
        found = f'"{stock.standard}" of a {stock.shape}'
        yield "standard", found, "give the size_tolerance of this bar"
    elif tolerance_of(stock.standard, stock.size * (INCH if units == "inch" else 1.0)) is None:
        found = f'"{stock.standard}" at size {stock.size:g}'
        yield "standard", found, "give the size_tolerance: no figure is known for this size"


def _by_standard(stock: Stock) -> Stock:
    if stock.standard is None:
        return stock
    return stock.model_copy(update={"size_tolerance": tolerance_of(stock.standard, stock.size)})
