"""The committed OpenAPI document, and what fits its schemas."""

import functools
import json

import jsonschema
from referencing import Registry, Resource
from referencing.jsonschema import DRAFT202012

from climbwright.web import openapi

DOCUMENT = json.loads((openapi.ROOT / "openapi.json").read_text("utf-8"))
METHODS = [(path, method) for path, item in DOCUMENT["paths"].items() for method in item]
_NAME = "urn:document"
_REGISTRY = Registry().with_resource(_NAME, Resource(contents=DOCUMENT, specification=DRAFT202012))


@functools.cache
def _validator(text):
    # references of the document lead into the document, wherever a part of it stands
    schema = json.loads(text.replace('"#/', f'"{_NAME}#/'))
    return jsonschema.Draft202012Validator(schema, registry=_REGISTRY)


def validator(schema):
    """What judges by a schema of the document."""
    return _validator(json.dumps(schema))


def checked(instance, schema):
    """Refuse an instance that does not fit a schema of the document."""
    validator(schema).validate(instance)


def example_of(media):
    """The invented example of a body or an answer."""
    return media["examples"]["invented"]["value"]
