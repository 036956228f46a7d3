"""The shipped JSON Schema."""

from __future__ import annotations

import json
import re

from standclear.job.models import Blank, Job, Setup
from standclear.job.schema import job_schema, stored_schema


def test_the_stored_schema_is_what_the_models_say() -> None:
    """When this fails, write `job_schema()` over the stored file."""
    assert stored_schema() == job_schema()


def test_it_names_every_key_and_resolves_every_reference() -> None:
    schema = json.loads(stored_schema())
    assert set(schema["properties"]) == set(Job.model_fields)
    for model in (Blank, Setup):
        assert set(schema["$defs"][model.__name__]["properties"]) == set(model.model_fields)
    for name in re.findall(r'"\$ref": "#/\$defs/(\w+)"', stored_schema()):
        assert name in schema["$defs"]
    for shared in ("MachineFile", "ToolsFile", "JawsFile"):
        assert schema["$defs"][shared]["properties"]["units"]["description"]


def test_it_carries_limits_and_the_sentence_under_each_field() -> None:
    schema = json.loads(stored_schema())
    size = schema["$defs"]["Blank"]["properties"]["size"]
    assert size["exclusiveMinimum"] == 0
    assert size["description"] == "Diameter, or width across flats of a hexagon or square."
    assert schema["additionalProperties"] is False
    assert schema["required"] == ["units", "blank", "part"]
