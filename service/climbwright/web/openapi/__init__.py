"""The OpenAPI document, made from the schemas, the tables of fields, and the examples.

``python -m climbwright.web.openapi`` writes openapi/openapi.json; ``--check`` only says whether it is up to date.
"""

from climbwright.web.openapi.document import build_document
from climbwright.web.openapi.examples import ROOT, query_example, query_text, read_example

__all__ = ["ROOT", "build_document", "query_example", "query_text", "read_example"]
