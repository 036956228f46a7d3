"""Rack files: read in both units, and each fault named with file, row, key, found and expected."""

from __future__ import annotations

from pathlib import Path

import pytest

from standclear.errors import JobError
from standclear.plan.rack.rack_file import read_rack

HEAD = 'units = "mm"\nkerf = 2.0\n'
ROW = "[[stock]]\nsize = 48.0\nlength = 3000.0\n"


def rack(folder: Path, text: str) -> Path:
    path = folder / "rack.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_an_inch_rack_comes_out_in_millimetres(tmp_path: Path) -> None:
    """2 in 50.8, 144 in 3657.6, 0.065 in 1.651; ASTM A108 at 2 in: 0.003 in under, 0.0762 mm."""
    found = read_rack(
        rack(
            tmp_path,
            'units = "inch"\nkerf = 0.065\ntrim = 0.25\nremnant = 3.0\n[[stock]]\nsize = 2.0\n'
            'length = 144.0\nstandard = "ASTM A108 to 0.28 % C"\nprice_per_metre = 12.5\n',
        )
    )
    assert (found.kerf, found.trim, found.remnant) == pytest.approx((1.651, 6.35, 76.2))
    (bar,) = found.stock
    assert (bar.size, bar.length) == pytest.approx((50.8, 3657.6))
    assert bar.size_tolerance == pytest.approx((-0.0762, 0.0))
    assert bar.price_per_metre == 12.5


@pytest.mark.parametrize(
    ("text", "key", "found", "accepted"),
    [
        ("kerf = 2.0\n" + ROW, "units", "missing", "mm"),
        ('units = "mm"\n' + ROW, "kerf", "missing", ""),
        ('units = "mm"\nkerf = 0.0\n' + ROW, "kerf", "0", "greater than 0"),
        (HEAD, "stock", "missing", ""),
        (HEAD + "[[stock]]\nlength = 3000.0\n", "stock[0].size", "missing", ""),
        (HEAD + ROW + "[[stock]]\nsize = 48.0\n", "stock[1].length", "missing", ""),
        (HEAD + ROW.replace("48.0", '"48"'), "stock[0].size", '"48"', ""),
        (HEAD + ROW.replace("48.0", "-48.0"), "stock[0].size", "-48", "greater than 0"),
        (HEAD + ROW + "colour = 3\n", "stock[0].colour", "", ""),
        (HEAD + ROW + 'shape = "oval"\n', "stock[0].shape", '"oval"', "hexagon"),
        (HEAD + ROW + "count = 0\n", "stock[0].count", "0", ""),
        (HEAD + ROW + "bore = 20.0\n", "stock[0].bore", "20 on no tube", "give a tube its bore"),
        (HEAD + ROW + 'shape = "tube"\n', "stock[0].bore", "missing", "give a tube its bore"),
        (HEAD + ROW + 'shape = "tube"\nbore = 50.0\n', "stock[0].bore", "50", "smaller"),
        (HEAD + ROW + "price_per_metre = 9.0\nprice_per_kilogram = 1.0\n",
         "stock[0].price_per_kilogram", "beside price_per_metre", "not both"),
        (HEAD + ROW + "price_per_kilogram = -1.0\n", "stock[0].price_per_kilogram", "-1", ""),
        (HEAD + ROW + 'standard = "EN 1"\n', "stock[0].standard", '"EN 1"', "EN 10060"),
        (HEAD + ROW + 'standard = "EN 10060"\nsize_tolerance = [0.0, 0.0]\n', "stock[0].standard",
         "beside size_tolerance", "not both"),
        (HEAD + ROW + 'standard = "ASTM A108 to 0.28 % C"\nshape = "square"\n',
         "stock[0].standard", "of a square", "size_tolerance"),
        (HEAD + ROW.replace("48.0", "300.0") + 'standard = "EN 10060"\n', "stock[0].standard",
         "at size 300", "size_tolerance"),
    ],
)  # fmt: skip
def test_each_fault_names_file_row_key_found_and_expected(
    tmp_path: Path, text: str, key: str, found: str, accepted: str
) -> None:
    path = rack(tmp_path, text)
    with pytest.raises(JobError) as raised:
        read_rack(path)
    (fault,) = raised.value.faults
    assert (fault.file, fault.key) == ("rack.toml", key)
    assert found in fault.found and accepted in fault.accepted and fault.accepted
    assert path.read_text(encoding="utf-8") == text


def test_every_fault_is_told_at_once(tmp_path: Path) -> None:
    text = HEAD + ROW.replace("48.0", "-1.0") + ROW.replace("3000.0", "0.0")
    with pytest.raises(JobError) as raised:
        read_rack(rack(tmp_path, text))
    assert [f.key for f in raised.value.faults] == ["stock[0].size", "stock[1].length"]


def test_a_file_that_is_no_toml_names_its_line(tmp_path: Path) -> None:
    with pytest.raises(JobError, match=r"rack\.toml.*line 2"):
        read_rack(rack(tmp_path, 'units = "mm"\nkerf = = 2\n'))


def test_a_file_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(JobError, match=r"none\.toml"):
        read_rack(tmp_path / "none.toml")
