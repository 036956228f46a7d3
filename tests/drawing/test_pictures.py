"""What `draw` puts into a file, by subject and ending."""

from __future__ import annotations

from io import StringIO

import ezdxf
import pypdfium2
import pytest
from reading import proved_example
from shapely.geometry import LineString

from standclear.drawing.inks import Ink, Tone
from standclear.drawing.kinds import ENDINGS, Subject
from standclear.drawing.section.alone import section_at_true_size
from standclear.drawing.section.focus import focus_of
from standclear.drawing.section.section import enlarges
from standclear.drawing.shapes import Drawing, Fill, Group, Line, Text
from standclear.drawing.stacked import moved, stacked
from standclear.drawing.subject import drawings_of
from standclear.drawing.writers.picture import picture
from standclear.proof.held import Held
from standclear.proof.result import JobProof

STARTS = {".svg": b"<?xml", ".png": b"\x89PNG", ".pdf": b"%PDF", ".dxf": b"  0\nSECTION"}


@pytest.fixture(scope="module")
def pin() -> tuple[Held, JobProof]:
    return proved_example("demo-pin")


@pytest.mark.parametrize("subject", [Subject.SECTION, Subject.LENGTH, Subject.MOTIONS])
def test_every_subject_goes_into_every_kind_of_file(
    pin: tuple[Held, JobProof], subject: Subject
) -> None:
    held, proof = pin
    drawings = drawings_of(subject, held, held.files.job, proof)
    for ending in ENDINGS:
        assert picture("pin", drawings, ending).startswith(STARTS[ending])
    with pytest.raises(ValueError, match="gif"):
        picture("pin", drawings, ".gif")


def test_a_pdf_has_a_page_for_each_set_up_the_rest_one_sheet(pin: tuple[Held, JobProof]) -> None:
    held, proof = pin
    drawings = drawings_of(Subject.MOTIONS, held, held.files.job, proof)
    assert len(pypdfium2.PdfDocument(picture("pin", drawings, ".pdf"))) == len(proof.setups) == 2
    one = stacked("both", drawings)
    assert one.height > sum(d.height for d in drawings)
    said = [s.string for s in one.leaves if isinstance(s, Text)]
    for drawing in drawings:
        assert {s.string for s in drawing.leaves if isinstance(s, Text)} <= set(said)


def test_a_section_in_a_dxf_is_as_long_as_the_blank(pin: tuple[Held, JobProof]) -> None:
    # Front end: what is left is 83 +0.2 long, leaning 0.2 at the sawn end and faced at Z0, which
    # lies 2.05 behind the outermost point of the raw face: 83.45 - 2.05.
    _, proof = pin
    front = proof.setups[0]
    space = ezdxf.read(
        StringIO(picture("pin", [section_at_true_size(proof, front.name)], ".dxf").decode())
    ).modelspace()
    xs = [
        point[0]
        for line in space.query(f'LWPOLYLINE[layer=="{Ink.OUTLINE}"]')
        for point in line.get_points("xy")
    ]
    z0, _, z1, _ = front.metal_after.bounds
    assert max(xs) - min(xs) == pytest.approx(z1 - z0, abs=1e-6)
    assert max(xs) - min(xs) == pytest.approx(83.45 - 2.05, abs=0.06)


def test_only_one_set_up_where_one_is_asked_for(pin: tuple[Held, JobProof]) -> None:
    held, proof = pin
    job = held.files.job
    (sheet,) = drawings_of(Subject.SECTION, held, job, proof, setup="back end")
    assert "Set-up back end: clear" in [s.string for s in sheet.leaves if isinstance(s, Text)]
    assert len(drawings_of(Subject.MOTIONS, held, job, proof, setup="back end")) == 1
    with pytest.raises(KeyError):
        drawings_of(Subject.MOTIONS, held, job, proof, setup="middle")


def test_a_detail_is_drawn_only_where_it_enlarges(pin: tuple[Held, JobProof]) -> None:
    front = pin[1].setups[0]
    focus = focus_of(front, ())
    large, small = (0.0, 0.0, 250.0, 80.0), (0.0, 0.0, 112.0, 80.0)
    assert enlarges(front, focus, large, small)
    assert not enlarges(front, focus, large, (0.0, 0.0, 6.0, 12.0))


def test_moved_shapes_keep_their_form() -> None:
    line = Line(((0, 0), (3, 4)), Ink.OUTLINE)
    group = Group("metal", (line, Text("12", (1, 1), 2.5)), (("line", "4"),))
    there = moved(group, 10.0, 20.0)
    assert isinstance(there, Group)
    assert there.data == group.data
    shifted, text = there.shapes
    assert isinstance(shifted, Line) and isinstance(text, Text)
    assert shifted.points == ((10, 20), (13, 24))
    assert text.at == (11, 21)
    assert LineString(shifted.points).length == 5.0


def test_one_drawing_alone_is_not_stacked() -> None:
    one = Drawing(10, 10, "one", "words", (Fill((((0, 0), (1, 0), (1, 1)),), Tone.METAL),))
    assert stacked("title", [one]) is one
