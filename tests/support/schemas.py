"""A document held against a JSON schema; each schema is itself checked once, not again for every document."""

import json
from functools import cache

import jsonschema


def validate(document: object, schema: object) -> None:
    """Hold them together. Raises ``jsonschema.ValidationError``, or ``SchemaError`` for what is no schema."""
    _validator(json.dumps(schema, sort_keys=True)).validate(document)


@cache
def _validator(text: str) -> jsonschema.Draft202012Validator:
    schema = json.loads(text)
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)
