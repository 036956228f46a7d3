"""The rack: bars and offcuts at hand, as a TOML file states them.

Lengths stand in the file's unit; `read_rack` turns them into millimetres once.
"""

from __future__ import annotations

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


class Stock(Table):
    """One kind of bar or offcut."""

    name: str = ""
    shape: Literal["round", "tube", "hexagon", "square"] = "round"
    size: Length = Field(gt=0)
    size_tolerance: Tolerance | None = None
    """Left out: that of the job's blank."""
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
        for k, stock in enumerate(rack.stock):
            if stock.price_per_metre is not None and stock.price_per_kilogram is not None:
                accepted = "give price_per_metre or price_per_kilogram, not both"
                found = f"{stock.price_per_kilogram:g} beside price_per_metre"
                faults.append(Fault(path.name, f"stock[{k}].price_per_kilogram", found, accepted))
            if (stock.bore is not None) != (stock.shape == "tube"):
                found = "missing" if stock.bore is None else f"{stock.bore:g} on no tube"
                accepted = "give a tube its bore, and no other bar one"
                faults.append(Fault(path.name, f"stock[{k}].bore", found, accepted))
            elif stock.bore is not None and stock.bore >= stock.size:
                accepted = "give a bore smaller than the size"
                faults.append(Fault(path.name, f"stock[{k}].bore", f"{stock.bore:g}", accepted))
    if faults:
        raise JobError(faults)
    return to_millimetres(rack, rack.units, rack.units)
