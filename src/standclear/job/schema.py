"""JSON Schema of the job file, made from the models and shipped beside them."""

from __future__ import annotations

import ast
import inspect
import json
from importlib import resources
from typing import Any

from pydantic.json_schema import models_json_schema

from standclear.job import models
from standclear.job.models import JawsFile, Job, MachineFile, ShopFile, ToolsFile

SCHEMA_FILE = "job.schema.json"


def stored_schema() -> str:
    """The schema as shipped in this package."""
    return resources.files("standclear.job").joinpath(SCHEMA_FILE).read_text("utf-8")


def job_schema() -> str:
    """The schema made anew, as JSON text: a job at the top, shared files under `$defs`.

    The sentences under the fields of the models become descriptions. They are read from the
    source here, since having pydantic do so would slow every start of the program.
    """
    files = [(model, "validation") for model in (MachineFile, ToolsFile, JawsFile, ShopFile)]
    job = Job.model_json_schema()
    _, shared = models_json_schema(files)  # type: ignore[arg-type]
    definitions: dict[str, Any] = {**shared["$defs"], **job.pop("$defs")}
    for name, sentences in _field_sentences().items():
        table = job if name == "Job" else definitions.get(name)
        for key, sentence in sentences.items():
            if table is not None:
                table["properties"][key]["description"] = sentence
    for name, base in (("MachineFile", "Machine"), ("JawsFile", "Jaws"), ("ShopFile", "Shop")):
        for key, described in definitions[base]["properties"].items():
            definitions[name]["properties"][key] = described
    whole = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "standclear job",
        **{key: value for key, value in job.items() if key != "title"},
        "$defs": dict(sorted(definitions.items())),
    }
    return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"


def _field_sentences() -> dict[str, dict[str, str]]:
    """Class name -> field name -> the text that stands under the field in the source."""
    found: dict[str, dict[str, str]] = {}
    modules = [each for each in vars(models).values() if inspect.ismodule(each)]
    for node in (n for module in modules for n in ast.parse(inspect.getsource(module)).body):
        if not isinstance(node, ast.ClassDef):
            continue
        sentences = found.setdefault(node.name, {})
        for field, text in zip(node.body, node.body[1:], strict=False):
            if (
                isinstance(field, ast.AnnAssign)
                and isinstance(field.target, ast.Name)
                and isinstance(text, ast.Expr)
                and isinstance(text.value, ast.Constant)
                and isinstance(text.value.value, str)
            ):
                sentences[field.target.id] = inspect.cleandoc(text.value.value).replace("\n", " ")
    return found
