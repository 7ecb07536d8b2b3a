"""The committed OpenAPI document is the one that the code describes: ``make schema`` writes it."""

import json

from drf_spectacular.generators import SchemaGenerator
from drf_spectacular.validation import validate_schema

from tests.architecture.source import ROOT


def test_the_committed_document_is_the_one_that_the_code_describes():
    described = json.loads(json.dumps(SchemaGenerator().get_schema(request=None, public=True)))
    validate_schema(described)
    committed = json.loads((ROOT / "config" / "openapi.json").read_text())
    assert committed.keys() == described.keys()
    assert committed["paths"].keys() == described["paths"].keys(), "run make schema"
    assert committed == described, "run make schema"
