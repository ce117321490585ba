"""A JSON Schema of the flow format for editors, made from the models that load it."""

import re
from inspect import cleandoc
from typing import Any

from pydantic import BaseModel
from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema

from assistant.flow.model import FlowFile

_ARGUMENT = re.compile(r"^    (\w+): (.*(?:\n      .*)*)", re.MULTILINE)
"""An argument of a docstring, with the lines that go on."""


def flow_schema() -> dict[str, Any]:
    """Give the JSON Schema (draft 2020-12) of a flow file, with what each key means."""
    made = FlowFile.model_json_schema(by_alias=True, schema_generator=_Generator)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **made}


class _Generator(GenerateJsonSchema):
    """Takes what each key means from the docstrings; a number is a number."""

    def model_schema(self, schema: core_schema.ModelSchema) -> JsonSchemaValue:
        """Give a record's schema, described by its docstring's first sentence and its arguments."""
        made = super().model_schema(schema)
        model = schema["cls"]
        made["description"] = cleandoc(model.__doc__ or "").partition("\n\n")[0]
        words = _arguments(model)
        for name, field in model.model_fields.items():
            told = made["properties"].get(field.alias or name)
            if told is not None and name in words and "$ref" not in told:
                told["description"] = words[name]
        return made

    def decimal_schema(self, schema: core_schema.DecimalSchema) -> JsonSchemaValue:
        """A number is written as one, never as a word."""
        del schema
        return {"type": "number"}


def _arguments(model: type[BaseModel]) -> dict[str, str]:
    """Give what each argument of a record and its bases means, by name."""
    found: dict[str, str] = {}
    for base in reversed(model.__mro__):
        for name, words in _ARGUMENT.findall(cleandoc(base.__doc__ or "")):
            found[name] = " ".join(words.split())
    return found
