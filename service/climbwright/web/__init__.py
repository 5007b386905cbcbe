"""The web: schemas, endpoints, problem documents, formats and pages. No formula lives here."""

from climbwright.web.app import create_app

__all__ = ["create_app"]
