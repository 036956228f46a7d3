"""The answer of a proof in words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from standclear.findings.finding import Finding, Severity, Verdict
from standclear.proof.result import JobProof, SetupProof
from standclear.proof.tool_place import corner_gap
from standclear.report.changes import change_words, changed_words, left_to_cure
from standclear.report.lines import Line, cautions, titled
from standclear.report.words import (
    SEVERITY_WORD,
    blank_words,
    distance_to_go,
    exit_status,
    finding_cure,
    finding_sentence,
    gap_words,
    gravest,
    headline,
    place_words,
    position_words,
    size_name,
    size_words,
)

MOST_ALIKE = 12
"""Findings of one code that a set-up shows one by one, and lines that a cure names."""


def lines(proof: JobProof) -> tuple[Line, ...]:
    """The whole answer, the verdict first."""
    return tuple(_lines(proof))


def _lines(proof: JobProof) -> Iterator[Line]:
    clear_but = proof.verdict is Verdict.CLEAR and exit_status(proof) != 0
    yield Line(headline(proof), "mend" if clear_but else str(proof.verdict))
    blank = "" if gravest(proof) is None else blank_words(proof)
    about = "; ".join(part for part in (proof.title, blank) if part)
    if about:
        yield Line(about)
    yield from _changes(proof)
    yield from _findings("The job", tuple(f for f in proof.findings if not f.setup), proof.units)
    for setup in proof.setups:
        own = tuple(f for f in proof.findings if f.setup == setup.name)
        yield from _findings(f"Set-up {setup.name}: {setup.verdict}", own, proof.units, True)
    yield from _sizes(proof)
    for setup in proof.setups:
        yield from _watch(setup, proof.units)
    yield from titled("Taken on trust", proof.trusted)
    yield from titled("Not examined", proof.not_examined)
    yield from cautions()


def _changes(proof: JobProof) -> Iterator[Line]:
    """Words to change, one a line; then the cures of what no change of words mends.

    What is to mend in a set-up before the first with a word to change comes first of all.
    """
    earlier, cures = (tuple(_cures(each, proof.units)) for each in left_to_cure(proof))
    if not (earlier or cures or proof.changes or proof.not_mended):
        return
    yield Line("")
    yield Line("What to change", "heading")
    yield from earlier
    for change in proof.changes:
        yield Line(change_words(change, proof.units), "cure", 2)
    if proof.changed is not None:
        yield Line(changed_words(proof), str(proof.changed.verdict), 2)
    yield from cures
    for sentence in proof.not_mended:
        yield Line(sentence, indent=2)


def _cures(findings: tuple[Finding, ...], units: str) -> Iterator[Line]:
    """Each cure once for a set-up, with every line that it mends."""
    said: dict[tuple[str, str], dict[int, None]] = {}
    for finding in findings:
        cure = finding_cure(finding, units)
        if cure:
            at = said.setdefault((finding.setup, cure), {})
            if finding.place and not finding.place.elsewhere:
                at.setdefault(finding.place.line)
    for (setup, cure), at in said.items():
        where = [f"set-up {setup}"] if setup else []
        where += [_line_numbers(list(at))] if at else []
        yield Line(", ".join(where) + (": " if where else "") + cure, "cure", 2)


def _line_numbers(numbers: list[int]) -> str:
    """`line 8`, `lines 8, 11 and 12`, `lines 8, 11, 12 and 40 more`."""
    if len(numbers) == 1:
        return f"line {numbers[0]}"
    more = len(numbers) - MOST_ALIKE
    named = numbers[:MOST_ALIKE] if more > 0 else numbers[:-1]
    last = f"{more} more" if more > 0 else str(numbers[-1])
    return f"lines {', '.join(map(str, named))} and {last}"


def _findings(
    title: str, findings: tuple[Finding, ...], units: str, always: bool = False
) -> Iterator[Line]:
    if not findings and not always:
        return
    yield Line("")
    yield Line(title, "heading")
    if not findings:
        yield Line("Nothing found.", indent=2)
    alike = Counter[tuple[str, Severity]]()
    for finding in findings:
        alike[finding.code, finding.severity] += 1
        if alike[finding.code, finding.severity] <= MOST_ALIKE:
            yield from _finding(finding, units)
    for (code, severity), count in alike.items():
        if count > MOST_ALIKE:
            word = SEVERITY_WORD[severity]
            yield Line(
                f"{word}  {code}: {count - MOST_ALIKE:,} more, all in the JSON answer", word, 2
            )


def _finding(finding: Finding, units: str) -> Iterator[Line]:
    word = SEVERITY_WORD[finding.severity]
    where = f"  {place_words(finding.place)}" if finding.place else ""
    yield Line(f"{word}  {finding.code}{where}", word, 2)
    yield Line(finding_sentence(finding, units), indent=6)
    cure = finding_cure(finding, units)
    if cure:
        yield Line(f"Cure: {cure}", "cure", 6)
    for place in finding.related[:MOST_ALIKE]:
        yield Line(f"See also {place_words(place)}", "words", 6)
    if finding.unproven and finding.place is not None:
        yield Line("What comes after this place is not proved.", indent=6)
    if finding.tags:
        yield Line(f"When the control behaves so: {', '.join(finding.tags)}.", indent=6)
    if finding.allowed_because:
        yield Line(f"Allowed by the job: {finding.allowed_because}", indent=6)


def _sizes(proof: JobProof) -> Iterator[Line]:
    if not proof.sizes:
        return
    yield Line("")
    unit = "mm" if proof.units == "mm" else "inch"
    yield Line(f"Sizes that come out ({unit})", "heading")
    for mark, size in enumerate(proof.sizes, 1):
        role = "mend" if size.right is False else "plain"
        yield Line(f"{mark}  {size_name(size)} {size_words(size, proof.units)}", role, 2)


def _watch(setup: SetupProof, units: str) -> Iterator[Line]:
    if not setup.approaches:
        return
    yield Line("")
    yield Line(f"Watch in single block, set-up {setup.name}", "heading")
    for near in setup.approaches:
        station = near.tool.split(" ", 1)[0]
        tool = f"first approach of {near.tool}" if near.first_of_tool else station
        yield Line(f"{place_words(near.place)}  {tool}", indent=2)
        yield Line(
            f"stands at {position_words(near.position, units)}; "
            f"distance-to-go as it starts: {distance_to_go(setup, near.motion, units)}",
            indent=6,
        )
        gap = gap_words(near, units, corner_gap(setup, near))
        yield Line(f"gap to {near.against}: {gap}", indent=6)
