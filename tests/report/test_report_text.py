from __future__ import annotations

import io
from dataclasses import replace

import pytest
from fixture_proof import rapid_into_metal
from rich.console import Console

from standclear.findings.finding import Finding, Severity, Verdict
from standclear.proof.result import Changed, JobProof, SizeFound, WordChange
from standclear.report.lines import plain, show
from standclear.report.text import lines
from standclear.report.words import distance_to_go, exit_status, headline, size_words


def terminal(width: int, **options: object) -> tuple[Console, io.StringIO]:
    out = io.StringIO()
    return Console(file=out, force_terminal=True, width=width, **options), out  # type: ignore[arg-type]


def test_the_first_line_is_the_verdict_with_place_and_size(contact: JobProof) -> None:
    first = plain(lines(contact)).splitlines()[0]
    assert first == (
        "contact: set-up front, line 8: "
        "the rapid runs 1.0 mm behind the raw face and 0.6 mm under the bar"
    )


def test_clear_names_the_blank_it_was_computed_for(clear: JobProof) -> None:
    said = headline(clear)
    assert said.startswith("clear: ")
    assert "52.0 mm across, 86.5 mm long" in said


def test_what_to_change_stands_one_a_line_before_the_findings(contact: JobProof) -> None:
    rows = plain(lines(contact)).splitlines()
    at = rows.index("What to change")
    assert rows[at + 1] == "  set-up front, line 8: write X54.5 Z5.0"
    assert at < rows.index("Set-up front: contact")


def test_every_part_of_the_answer_is_there(contact: JobProof) -> None:
    said = plain(lines(contact))
    for part in (
        "stop  rapid-into-metal  line 8, column 1: G00 X50.8 Z1.5",
        "See also line 9, column 1: G01 X40. F0.2",
        "Set-up back: clear",
        "3  seat diameter 30.000, wanted 29.980 -0.013/0: off by +0.02",
        "first approach of T0101",
        "X 5.2 mm on diameter, 2.6 mm between tool and metal",
        "distance-to-go as it starts: not known",
        "distance-to-go as it starts: X0.0 Z-35.5",
        "exact stop between rapids",
        "run-out of the blank: not given",
        "Guard closed",
        "no more than was computed",
        "reduced rapid, single block",
        "bar end",
        "manuals of the machine's and the chuck's makers",
    ):
        assert part in said


def test_piped_text_has_no_codes_and_is_not_wrapped(contact: JobProof) -> None:
    out = io.StringIO()
    show(lines(contact), Console(file=out, width=40))
    assert "\x1b" not in out.getvalue()
    assert out.getvalue() == plain(lines(contact))


def test_a_narrow_terminal_wraps_and_keeps_every_word(contact: JobProof) -> None:
    console, out = terminal(38, no_color=True, color_system=None)
    show(lines(contact), console)
    assert max(len(row) for row in out.getvalue().splitlines()) <= 38
    assert out.getvalue().split() == plain(lines(contact)).split()


def test_no_color_is_respected(contact: JobProof) -> None:
    console, out = terminal(80, no_color=True)
    show(lines(contact), console)
    assert "\x1b[31m" not in out.getvalue()
    assert "\x1b[1;31m" not in out.getvalue()
    coloured, seen = terminal(80, color_system="standard", _environ={})
    show(lines(contact), coloured)
    assert "\x1b[1;31m" in seen.getvalue()


def test_unproven_names_what_could_not_be_followed(clear: JobProof) -> None:
    blind = Finding(
        code="cannot-follow",
        severity=Severity.STOP,
        message="this word is not followed",
        setup="back",
        unproven=True,
    )
    worse = replace(rapid_into_metal(), setup="back")
    said = headline(replace(clear, verdict=Verdict.UNPROVEN, findings=(worse, blind)))
    assert said == "unproven: set-up back: this word is not followed"


def test_an_earlier_set_up_not_proved_is_named_before_the_strike(clear: JobProof) -> None:
    blind = Finding(
        "loose-metal", Severity.STOP, "The collar hangs on nothing.", setup="front", unproven=True
    )
    blind = replace(blind, cure="Name it.")
    struck = replace(rapid_into_metal(), setup="back", message="The rapid strikes.", cure="Lift.")
    setups = (
        replace(clear.setups[0], verdict=Verdict.UNPROVEN),
        replace(clear.setups[1], verdict=Verdict.CONTACT),
    )
    change = WordChange("back", "pin.nc", 8, 5, "X50.", "X55.", "clear then")
    proof = replace(
        clear,
        verdict=Verdict.CONTACT,
        setups=setups,
        findings=(blind, struck),
        changes=(change,),
        changed=Changed(Verdict.UNPROVEN, (blind,)),
    )
    assert headline(proof) == (
        "contact: first, set-up front is unproven: the collar hangs on nothing; "
        "then set-up back, line 8: the rapid strikes."
    )
    rows = plain(lines(proof)).splitlines()
    at = rows.index("What to change")
    assert rows[at + 1] == "  set-up front: Name it."
    assert rows[at + 2].startswith("  set-up back, line 8: X50. -> X55.")
    assert rows[at + 3] == "  Proved again with these words: unproven, as said above."


def test_a_strike_before_what_is_not_proved_comes_alone(clear: JobProof) -> None:
    blind = Finding("cannot-follow", Severity.STOP, "not followed", setup="back", unproven=True)
    setups = (replace(clear.setups[0], verdict=Verdict.CONTACT), clear.setups[1])
    findings = (rapid_into_metal(), blind)
    proof = replace(clear, verdict=Verdict.CONTACT, setups=setups, findings=findings)
    assert headline(proof).startswith("contact: set-up front, line 8: the rapid runs")


def test_the_blank_is_told_by_its_own_size_where_known(clear: JobProof) -> None:
    said = headline(replace(clear, largest_size=52.3, largest_length=86.9))
    assert said.endswith("blank up to 52.3 mm across, 86.9 mm long")


@pytest.mark.parametrize(
    ("least", "most", "right", "said"),
    [
        (None, None, True, "2.375, wanted 2.375 -0.01/+0.01: right"),
        (2.3748, 2.3752, True, "2.375, wanted 2.375 -0.01/+0.01: right"),
        (2.373, 2.377, True, "2.375 (2.373 to 2.377), wanted 2.375 -0.01/+0.01: right"),
        (
            2.363,
            2.38,
            False,
            "2.375 (2.363 to 2.380), wanted 2.375 -0.01/+0.01: may be off by -0.012",
        ),
    ],
)
def test_a_size_that_varies_shows_its_range(
    least: float | None, most: float | None, right: bool, said: str
) -> None:
    size = SizeFound("slot", "length", 0.0, 2.0, 2.375, 2.375, (-0.01, 0.01), right, least, most)
    assert size_words(size, "mm") == said


def test_exit_status_follows_verdict_and_severity(clear: JobProof) -> None:
    # 0: clear and nothing above note; 1: any other answer.
    mend = replace(rapid_into_metal(), severity=Severity.MEND)
    note = replace(mend, severity=Severity.NOTE)
    allowed = replace(mend, allowed_because="measured on the bench")
    assert exit_status(clear) == 0
    assert exit_status(replace(clear, findings=(note,))) == 0
    assert exit_status(replace(clear, findings=(note, mend))) == 1
    assert exit_status(replace(clear, findings=(allowed,))) == 0
    assert exit_status(replace(clear, verdict=Verdict.UNPROVEN)) == 1


def test_an_allowed_mend_prints_its_reason_and_asks_for_no_change(clear: JobProof) -> None:
    allowed = replace(
        rapid_into_metal(), severity=Severity.MEND, allowed_because="measured on the bench"
    )
    said = plain(lines(replace(clear, findings=(allowed,))))
    assert "Allowed by the job: measured on the bench" in said
    assert "What to change" not in said


def test_clear_with_a_mend_does_not_read_as_plain_clear(clear: JobProof) -> None:
    mend = replace(rapid_into_metal(), severity=Severity.MEND)
    first = lines(replace(clear, findings=(mend,)))[0]
    assert first.text.startswith("clear, but set-up front, line 8:")
    assert (first.role, lines(clear)[0].role) == ("mend", "clear")


def test_the_first_line_reads_on_after_its_colon(clear: JobProof) -> None:
    shout = replace(rapid_into_metal(), message="The rapid runs {depth_x} deep.")
    assert headline(replace(clear, verdict=Verdict.CONTACT, findings=(shout,))).endswith(
        "line 8: the rapid runs 0.6 mm deep."
    )
    word = replace(shout, message="X20 is read in two ways")
    assert headline(replace(clear, findings=(word,))).endswith(": X20 is read in two ways")


def test_contact_is_named_before_what_could_not_be_followed(contact: JobProof) -> None:
    blind = Finding("cannot-follow", Severity.STOP, "not followed", setup="front", unproven=True)
    findings = (blind, rapid_into_metal())
    assert "behind the raw face" in headline(replace(contact, findings=findings))


def test_a_kind_already_in_the_name_is_not_said_twice(contact: JobProof) -> None:
    size = replace(contact.sizes[0], name="collar diameter", right=None, wanted=None)
    assert "  1  collar diameter 48.000\n" in plain(lines(replace(contact, sizes=(size,))))


def test_a_cure_stands_once_with_every_line_that_it_mends(contact: JobProof) -> None:
    place = rapid_into_metal().place
    assert place is not None
    at = [replace(rapid_into_metal(), place=replace(place, line=n)) for n in (8, 11, 11, 12)]
    rows = plain(lines(replace(contact, findings=tuple(at)))).splitlines()
    wanted = "  set-up front, lines 8, 11 and 12: write X54.5 Z5.0"
    assert [row for row in rows if row.endswith("write X54.5 Z5.0") and "Cure" not in row] == [
        wanted
    ]
    many = [replace(rapid_into_metal(), place=replace(place, line=n)) for n in range(1, 31)]
    said = plain(lines(replace(contact, findings=tuple(many))))
    # Twelve are shown; the rest is counted.
    assert "lines 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12 and 18 more: write" in said
    assert said.count("  stop  rapid-into-metal  line") == 12
    assert "stop  rapid-into-metal: 18 more" in said


def test_a_step_of_less_than_the_display_shows_reads_as_none(contact: JobProof) -> None:
    setup = contact.setups[0]
    motions = setup.trace.motions
    motions.end[0] = motions.start[0] = (5.0, 20.0)
    motions.end[0, 1] += 1e-5
    assert distance_to_go(setup, 0, "mm") == "X0.0 Z0.0"
