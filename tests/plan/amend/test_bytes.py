"""Whatever the program's style: the amended file differs in exactly the bytes of the edits that
are reported, seen by lines and columns alone."""

from __future__ import annotations

import tempfile
from dataclasses import replace
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from plan_shop import HEAD, TAIL, files_of, proved
from planted.applied import applied

from standclear.job.read import read_job
from standclear.plan.amend.amend import amend
from standclear.plan.amend.level import Level
from standclear.report.plan.amending import amendment_json

# X41 and Z2 stand nearer to bar 40 with its face at Z1 than the margin of 2.5; the last way home
# along Z goes through the wall of the groove.
BODY = "G00 X41. Z0.\nG01 X20. F0.2\nG00 Z6.\nG00 X36. Z2.\nG01 Z-10.\nG00 X50.\nG00 Z9.\n"
ALLOWED = "".join(
    f'[[allow]]\ncode = "{code}"\nreason = "one end only"\n'
    for code in ("face-left-raw", "diameter-left-raw", "size-wrong", "band-left")
)


@st.composite
def styles(draw: st.DrawFn) -> bytes:
    """The program in some style: line ends, spaces, comments, N numbers, small letters."""
    end = draw(st.sampled_from(["\n", "\r\n", "\r"]))
    between = draw(st.sampled_from(["", " ", "  ", "\t"]))
    numbered = draw(st.sampled_from(["", "N{:d}", "N{:04d} "]))
    small = draw(st.booleans())
    lines = []
    for k, line in enumerate((HEAD + BODY + TAIL).splitlines()):
        text = line.replace(" ", between)
        text = text.lower() if small else text
        if numbered:
            text = numbered.format(10 * (k + 1)) + text
        text += draw(st.sampled_from(["", "", " (X41. STAYS)", " ", "(\xe4)"]))
        lines.append(text)
    for _ in range(draw(st.integers(0, 2))):
        at = draw(st.integers(0, len(lines) - 1))
        lines.insert(at, draw(st.sampled_from(["", "(G00 X41. Z0.)", "  "])))
    last = draw(st.sampled_from(["", end]))
    return (end.join(lines) + last).encode("latin-1")


@given(styles())
@settings(max_examples=10, suppress_health_check=list(HealthCheck))
def test_the_edits_reported_are_the_bytes_that_change(data: bytes) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = files_of(Path(folder), BODY).path
        words = path.read_text(encoding="utf-8")
        path.write_text(words + ALLOWED, encoding="utf-8")
        files = read_job(folder)
        files = replace(files, programs={"p.nc": data})
        held, proof = proved(files)
        found = amend(held, files.job, proof)
    assert files.programs["p.nc"] == data
    told = amendment_json(found, None, [])
    # 40 + 2.5 = 42.5 and 1 + 2.5 = 3.5 or, faced to Z0, 2.5: written without decimals.
    words = {(e["old"].upper(), e["new"].upper()) for e in told["edits"]}
    assert ("X41.", "X43.") in words
    amended = found.programs["p.nc"]
    assert applied(data, told["edits"], told["moved"]) == amended
    # And nothing else: the old words put back by place give the old file.
    back = [
        {"line": e["line"], "column": e["column"], "old": e["new"], "new": e["old"]}
        for e in told["edits"]
        if e["old"]
    ]
    if len(back) == len(told["edits"]) and len({e["line"] for e in back}) == len(back):
        assert applied(amended, back) == data
    assert all(Level(e["level"]) in Level for e in told["edits"])


def test_lines_that_move_are_put_by_number() -> None:
    data = b"1\r\n2\r\n3\r\n4\r\n5\r\n"
    assert applied(data, [], {"first": 4, "last": 4, "to": 2}) == b"1\r\n4\r\n2\r\n3\r\n5\r\n"
    assert applied(data, [], {"first": 1, "last": 2, "to": 5}) == b"3\r\n4\r\n1\r\n2\r\n5\r\n"
