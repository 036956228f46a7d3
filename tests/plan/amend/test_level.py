"""What an edit is said to do: each level shown by a job made by hand, and by one that just fails
it. Bar 40 by 60, raw face at Z1."""

from __future__ import annotations

from pathlib import Path

import pytest
from plan_shop import files_of, proved

from standclear.job.read import read_job
from standclear.plan.amend.level import Level, level_between

GROOVER = "grooving = { width = 3.0, reach = 15.0 }\n"
CASES = [
    # The same number written otherwise moves nothing.
    ("G00 X44. Z0.\nG01 X20. F0.2\nG00 X44.\n", "X44. Z0.", "X44.0 Z0.", Level.SAME, ""),
    # The spindle's speed is no motion of the tool, yet it is not the same motion either: it is
    # told in the table. Nothing else of it changes what is cut.
    ("G00 X44. Z0.\nS900\nG01 X20. F0.2\n", "S900", "S700", Level.AIR, ""),
    # 22 to 21 on radius is air beside a bar of 20: the feed begins further out in air.
    ("G00 X42. Z0.\nG01 X20. F0.2\nG00 X44.\n", "X42.", "X44.", Level.AIR, ""),
    ("G00 X36. Z3.\nG01 Z-10. F0.2\nG00 X44.\n", "Z3.", "Z5.", Level.AIR, ""),
    # From X38, 1 mm inside the bar, the feed out at X44 goes through metal that it did not cut.
    ("G00 X38. Z0.\nG01 X20. F0.2\nG00 X44.\n", "X38.", "X44.", Level.CUTS, ""),
    # The same where a later cut takes that metal too: all together they cut the same.
    (
        "G00 X38. Z0.\nG01 X20. F0.2\nG00 X50.\nG01 X20.\nG00 Z9.\n",
        "X38.",
        "X44.",
        Level.CUTS,
        "",
    ),
    # Another diameter is turned.
    ("G00 X36. Z3.\nG01 Z-10. F0.2\nG00 X44.\n", "X36.", "X34.", Level.CUTS, ""),
    # The cut ends elsewhere.
    ("G00 X36. Z3.\nG01 Z-10. F0.2\nG00 X44.\n", "Z-10.", "Z-11.", Level.CUTS, ""),
    # A rapid that then passes beside the bar; and one that goes through it.
    ("G00 X50. Z5.\nG00 X44. Z-9.\nG00 X50.\n", "X44.", "X46.", Level.AIR, GROOVER),
    ("G00 X50. Z5.\nG00 X44. Z-9.\nG00 X50.\n", "X44.", "X34.", Level.CUTS, GROOVER),
    # A slanting feed from elsewhere is another cone.
    ("G00 X36. Z3.\nG01 X38. Z-10. F0.2\nG00 X44.\n", "Z3.", "Z5.", Level.CUTS, ""),
    # The groove lies elsewhere.
    ("G00 X44. Z-9.\nG01 X30. F0.1\nG00 X44.\n", "Z-9.", "Z-12.", Level.CUTS, GROOVER),
]


@pytest.mark.parametrize(("body", "old", "new", "level", "tool"), CASES)
def test_level(tmp_path: Path, body: str, old: str, new: str, level: Level, tool: str) -> None:
    assert body.count(old) == 1
    more = {"tool": tool} if tool else {}
    held, proof = proved(files_of(tmp_path, body, **more))
    now, _ = proved(files_of(tmp_path, body.replace(old, new), **more))
    metal = proof.setups[0].metal_before
    assert level_between(held.readings[0][0], now.readings[0][0], metal) is level


def test_a_block_put_in_where_all_is_air_changes_air_alone(tmp_path: Path) -> None:
    body = "G00 X50. Z-10.\nG01 X30. F0.1\nG00 X50.\nG00 Z9.\n"
    held, proof = proved(files_of(tmp_path, body, tool=GROOVER))
    now, _ = proved(files_of(tmp_path, body.replace("G00 Z9.", "G00 X60.\nG00 Z9."), tool=GROOVER))
    metal = proof.setups[0].metal_before
    assert level_between(held.readings[0][0], now.readings[0][0], metal) is Level.AIR


def test_what_is_air_depends_on_the_bar(tmp_path: Path) -> None:
    # X42 to X44 is air beside bar 40 and metal of bar 46.
    body = "G00 X42. Z0.\nG01 X20. F0.2\nG00 X50.\n"
    found = []
    for size in ("40.0", "46.0"):
        proofs = []
        for text in (body, body.replace("X42.", "X44.")):
            files_of(tmp_path, text)
            job = tmp_path / "job.toml"
            words = job.read_text(encoding="utf-8").replace("size = 40.0", f"size = {size}")
            job.write_text(words, encoding="utf-8")
            proofs.append(proved(read_job(tmp_path)))
        (held, proof), (now, _) = proofs
        metal = proof.setups[0].metal_before
        found.append(level_between(held.readings[0][0], now.readings[0][0], metal))
    assert found == [Level.AIR, Level.CUTS]
