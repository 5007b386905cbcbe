"""Pages and health: what this is, the reference, the document, and whether the service is well."""

import json
from functools import cache
from pathlib import Path
from typing import Any

from flask import Blueprint, Response, render_template, send_file

from climbwright.flight.runway_factors import SURFACE_FACTORS
from climbwright.flight.surfaces import SURFACES
from climbwright.web.build import build
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
    """The service is ready to answer, and which build it is."""
    body = json.dumps({"status": "ready", "build": build()})
    return Response(body, content_type="application/json", headers={"Cache-Control": "no-store"})


@blueprint.get("/")
def home() -> str:
    """What this is; try it."""
    example = document()["paths"]["/v1/comparison"]["post"]["requestBody"]["content"]["application/json"]
    body = next(iter(example["examples"].values()))["value"]
    return render_template("home.html", document=document(), example=json.dumps(body, indent=2), build=build())


@blueprint.get("/elements.js")
def elements() -> Response:
    """The elements that other web pages embed."""
    return send_file(Path(__file__).parent / "elements.js", mimetype="text/javascript", max_age=_ELEMENTS_KEPT)


@blueprint.get("/club")
def club() -> Response:
    """A page of an invented club that embeds them."""
    return send_file(Path(__file__).parent / "club.html", mimetype="text/html")


@blueprint.get("/docs")
def docs() -> str:
    """The reference, made of the document."""
    return render_template(
        "docs.html",
        document=document(),
        build=build(),
        cautions=CAUTIONS,
        surfaces=SURFACES,
        factors=SURFACE_FACTORS,
    )
