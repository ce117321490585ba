"""The JSON Schema for editors takes what the loader takes, and refuses what it refuses."""

from pathlib import Path
from typing import Any

import pytest
from broken_cases import BROKEN
from jsonschema import Draft202012Validator

from assistant.flow.library import shipped
from assistant.flow.plain import plain_values
from assistant.flow.schema import flow_schema

VALIDATOR = Draft202012Validator(flow_schema())
SHIPPED = [f for f in sorted(shipped("flows").rglob("*.yaml")) if f.name != "vocabulary.yaml"]
BASE = (Path(__file__).parent / "base.yaml").read_text(encoding="utf-8")
OF_FORM = {"unknown key", "missing key", "wrong unit", "wrong kind", "wrong rule", "wrong quantity"}


def as_json(value: Any) -> Any:  # noqa: ANN401 - any plain value
    """Give a value as JSON has it: a decimal is a number."""
    if isinstance(value, dict):
        return {key: as_json(one) for key, one in value.items()}
    if isinstance(value, list):
        return [as_json(one) for one in value]
    return value if isinstance(value, str | int | None) else float(value)


def complaints(text: str) -> list[str]:
    """Give what the validator of the outside library says of a flow's text."""
    data, _ = plain_values(text)
    return [error.message for error in VALIDATOR.iter_errors(as_json(data))]


def test_the_schema_is_one() -> None:
    """The schema itself is valid by draft 2020-12 (checked by the jsonschema library)."""
    Draft202012Validator.check_schema(flow_schema())
    assert flow_schema()["$schema"] == "https://json-schema.org/draft/2020-12/schema"


@pytest.mark.parametrize("file", SHIPPED, ids=lambda file: file.stem)
def test_shipped_flows_are_valid(file: Path) -> None:
    """Each shipped flow, and each file that they share, is valid by the schema."""
    assert [] == complaints(file.read_text(encoding="utf-8"))


@pytest.mark.parametrize(
    "case", [case for case in BROKEN if case.name in OF_FORM], ids=lambda case: case.name
)
def test_what_is_of_the_wrong_form_is_not(case: Any) -> None:  # noqa: ANN401 - a Broken
    """A slip in a key, a kind, a rule or a unit is refused by the schema as by the loader."""
    assert complaints(BASE.replace(case.old, case.new, 1))


def test_keys_are_explained() -> None:
    """What a key means is there for the editor to show, taken from the models."""
    measure = flow_schema()["$defs"]["MeasureStep"]["properties"]
    assert "meter setting" in measure["meter"]["description"]
    assert "first probe" in measure["from"]["description"]
    assert "said" in measure["again"]["description"]
