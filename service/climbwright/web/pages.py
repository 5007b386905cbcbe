"""Pages and health: what this is, the reference, the document, and whether the service is well."""

import json
import re
from functools import cache
from pathlib import Path
from typing import Any

from flask import Blueprint, Response, render_template, send_file

from climbwright.flight.runway_factors import SURFACE_FACTORS
from climbwright.flight.surfaces import SURFACES
from climbwright.web.build import build, version
from climbwright.web.stopping import is_stopping
from climbwright.web.words.cautions import CAUTIONS

__all__ = ["blueprint", "document"]

blueprint = Blueprint("pages", __name__)
_ELEMENTS_KEPT = 300  # seconds, as long as an answer


@cache
def _document_text() -> str:
    return (Path(__file__).parent / "openapi.json").read_text("utf-8")


@cache
def document() -> dict[str, Any]:
    """The OpenAPI document as committed."""
    loaded: dict[str, Any] = json.loads(_document_text())
    return loaded


@blueprint.get("/openapi.json")
def openapi() -> Response:
    """The OpenAPI document."""
    return Response(_document_text(), content_type="application/json", headers={"Cache-Control": "no-cache"})


@blueprint.get("/health/live")
def live() -> Response:
    """The process answers."""
    return Response('{"status":"live"}', content_type="application/json", headers={"Cache-Control": "no-store"})


@blueprint.get("/health/ready")
def ready() -> Response:
    """The service is ready to answer, or about to stop, and which version and build it is."""
    status, code = ("stopping", 503) if is_stopping() else ("ready", 200)
    body = json.dumps({"status": status, "version": version(), "build": build()})
    return Response(body, code, content_type="application/json", headers={"Cache-Control": "no-store"})


@cache
def _form() -> dict[str, str]:
    """What the form is made of, as JSON that may stand in a page: the schemas its request leads to, and the demo."""
    asked = document()["paths"]["/v1/comparison"]["post"]["requestBody"]["content"]["application/json"]
    return {
        "schemas": _json(_schemas_under(asked["schema"]["$ref"])),
        "demo": _json(next(iter(asked["examples"].values()))["value"]),
    }


def _json(value: object) -> str:
    """JSON with its keys in order (a filter of templates sorts them), in which nothing can end a script element."""
    return json.dumps(value).replace("<", "\\u003c")


def _schemas_under(reference: str) -> dict[str, Any]:
    """Schemas by name: the one referred to and all that it leads to."""
    found: dict[str, Any] = {}
    waiting = [reference]
    while waiting:
        name = waiting.pop().rpartition("/")[2]
        if name not in found:
            found[name] = document()["components"]["schemas"][name]
            waiting += re.findall(r'"(#/components/schemas/\w+)"', json.dumps(found[name]))
    return found


@blueprint.get("/")
def home() -> str:
    """What this is; try it."""
    return render_template("home.html", document=document(), form=_form(), build=build())


@blueprint.get("/elements.js")
def elements() -> Response:
    """The elements that other web pages embed."""
    return send_file(Path(__file__).parent / "elements.js", mimetype="text/javascript", max_age=_ELEMENTS_KEPT)


@blueprint.get("/club")
def club() -> Response:
    """A page of an invented club that embeds them."""
    return send_file(Path(__file__).parent / "club.html", mimetype="text/html")


@blueprint.get("/docs")
@cache
def docs() -> str:
    """The reference, made of the document, once: it says the same to everyone, and takes as long as many answers."""
    return render_template(
        "docs.html",
        document=document(),
        build=build(),
        cautions=CAUTIONS,
        surfaces=SURFACES,
        factors=SURFACE_FACTORS,
    )
