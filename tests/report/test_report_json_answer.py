from __future__ import annotations

import json
from dataclasses import replace

import jsonschema
import pytest
from shapely.geometry import GeometryCollection, LineString, Point, Polygon, box

from standclear.proof.result import JobProof
from standclear.report.json_answer import answer, outlines, schema_text, shipped_schema, to_json


def test_the_shipped_schema_is_current() -> None:
    assert shipped_schema() == schema_text()


def test_answers_obey_the_schema(contact: JobProof, clear: JobProof) -> None:
    # jsonschema: a general-purpose validator that shares nothing with the models.
    checker = jsonschema.Draft202012Validator(json.loads(shipped_schema()))
    for proof in (contact, clear, replace(contact, units="inch", setups=(), findings=())):
        checker.validate(json.loads(to_json(answer(proof))))
    broken = json.loads(to_json(answer(clear)))
    broken["verdict"] = "fine"
    with pytest.raises(jsonschema.ValidationError):
        checker.validate(broken)


def test_lengths_are_mm_and_x_is_on_diameter(contact: JobProof) -> None:
    said = json.loads(to_json(answer(replace(contact, units="inch"))))
    assert said["length_unit"] == "mm"
    assert said["job_units"] == "inch"
    watch = said["setups"][1]["watch"][0]
    assert (watch["x"], watch["z"]) == (57.2, 4.0)
    assert watch["gap_x_on_diameter"] == 2 * watch["gap_x_to_metal"] == 5.2
    strike = said["setups"][0]["strikes"][0]
    assert (strike["line"], strike["depth_x_radial"], strike["depth_z"]) == (8, 0.6, 1.0)
    assert "0.0236 in" in said["headline"]


def test_a_size_carries_its_range_or_null(contact: JobProof) -> None:
    size, *others = contact.sizes
    ranged = replace(size, least=size.found - 0.002, most=size.found + 0.002)
    said = json.loads(to_json(answer(replace(contact, sizes=(ranged, *others)))))["sizes"]
    assert said[0]["found"] - said[0]["least"] == pytest.approx(0.002)
    assert said[0]["most"] - said[0]["found"] == pytest.approx(0.002)
    assert said[1]["least"] is said[1]["most"] is None


def test_same_proof_same_bytes_and_no_date_unless_kept(contact: JobProof) -> None:
    assert to_json(answer(contact)) == to_json(answer(contact))
    assert json.loads(to_json(answer(contact)))["proved_at"] is None
    assert json.loads(to_json(answer(contact, "2031-05-06T07:08:09+02:00")))["proved_at"]


def test_outlines_keep_every_polygon_and_hole() -> None:
    ring = box(0, 0, 10, 10).difference(box(4, 4, 6, 6))
    speck = box(20, 0, 20.00001, 0.00001)
    mixed = GeometryCollection([LineString([(0, 0), (1, 1)]), Point(0, 0), ring, speck])
    found = outlines(mixed)
    assert [len(o.holes) for o in found] == [1, 0]
    assert len(found[0].ring) == len(found[0].holes[0]) == 4
    assert Polygon(found[1].ring).area > 0
    assert outlines(Polygon()) == []
