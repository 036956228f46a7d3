from __future__ import annotations

import json
from dataclasses import replace

from standclear.findings.finding import Measure, Quantity, Verdict
from standclear.proof.result import Changed, JobProof, WordChange
from standclear.report.json_answer import answer, to_json
from standclear.report.lines import plain
from standclear.report.text import lines

OUT = WordChange(
    "front end",
    "pin.nc",
    10,
    5,
    "X51.",
    "X55.",
    "the cycle then starts {gap} over the metal on diameter",
    (Measure("gap", 2.8, Quantity.DIAMETER),),
)


def section(proof: JobProof) -> list[str]:
    """Lines under 'What to change'."""
    said = plain(lines(proof)).splitlines()
    if "What to change" not in said:
        return []
    begin = said.index("What to change") + 1
    return said[begin : said.index("", begin)]


def test_one_word_a_line_then_what_is_left(contact: JobProof) -> None:
    left = replace(contact.findings[0], cure="Take less a pass.")
    proof = replace(contact, changes=(OUT,), changed=Changed(Verdict.CLEAR, (left,)))
    where = f"set-up {left.setup}, line {left.place.line}" if left.place else ""
    assert section(proof) == [
        "  set-up front end, line 10: X51. -> X55.   (the cycle then starts 2.8 mm over the metal "
        "on diameter)",
        "  Proved again with these words: clear; what is left to change:",
        f"  {where}: Take less a pass.",
    ]


def test_cures_of_what_the_words_mend_are_not_said_beside_them(contact: JobProof) -> None:
    assert section(contact)
    proof = replace(contact, changes=(OUT,), changed=Changed(Verdict.CLEAR, ()))
    assert section(proof)[1:] == [
        "  Proved again with these words: clear, and nothing else to mend."
    ]


def test_sizes_in_the_unit_of_the_job(contact: JobProof) -> None:
    # 2.8 / 25.4 = 0.11023...
    inch = replace(contact, units="inch", changes=(OUT,), changed=Changed(Verdict.CLEAR, ()))
    assert "starts 0.1102 in over" in section(inch)[0]


def test_what_no_word_mends_stands_after_the_cures(contact: JobProof) -> None:
    proof = replace(contact, not_mended=("set-up front end, line 9: no word mends this",))
    assert section(proof)[:-1] == section(contact)
    assert section(proof)[-1] == "  set-up front end, line 9: no word mends this"


def test_json_carries_changes_and_the_answer_with_them(contact: JobProof) -> None:
    proof = replace(contact, changes=(OUT,), changed=Changed(Verdict.CLEAR, contact.findings[:1]))
    said = json.loads(to_json(answer(proof)))
    assert said["changes"] == [
        {
            "setup": "front end",
            "program": "pin.nc",
            "line": 10,
            "column": 5,
            "old": "X51.",
            "new": "X55.",
            "reason": "the cycle then starts 2.8 mm over the metal on diameter",
        }
    ]
    assert said["changed"]["verdict"] == "clear"
    assert [f["code"] for f in said["changed"]["findings"]] == [contact.findings[0].code]
    without = json.loads(to_json(answer(contact)))
    assert (without["changes"], without["changed"], without["not_mended"]) == ([], None, [])
