"""The application factory."""

import json
import threading
from collections.abc import Mapping
from typing import Any

from flask import Flask, Response, request
from werkzeug.exceptions import HTTPException

from climbwright.web import endpoints, pages
from climbwright.web.guard import guard
from climbwright.web.origins import allow_origins
from climbwright.web.problems import MEDIA_TYPE, Problem
from climbwright.web.remembered import Remembered
from climbwright.web.settings import read_settings
from climbwright.web.watch import watch
from climbwright.web.watch.following import log_fault
from climbwright.web.watch.identity import request_id
from climbwright.web.watch.seen import note_refusal

__all__ = ["create_app"]


def create_app(settings: Mapping[str, Any] | None = None) -> Flask:
    """A service, stateless and complete.

    Parameters
    ----------
    settings : mapping, optional
        In place of the environment's, by name without prefix.

    Returns
    -------
    flask.Flask
        Ready to serve.

    Raises
    ------
    ValueError
        A setting in the environment is misspelt or wrong.
    """
    app = Flask("climbwright.web", static_folder="static", static_url_path="/static")
    app.config.update(read_settings() | dict(settings or {}))
    app.extensions["climbwright-fleets"] = threading.BoundedSemaphore(app.config["MAXIMUM_FLEETS"])
    app.extensions["climbwright-remembered"] = Remembered()
    app.url_map.strict_slashes = True
    app.url_map.merge_slashes = False  # a redirect would go where the Host header says
    watch(app)
    app.register_blueprint(endpoints.blueprint)
    app.register_blueprint(pages.blueprint)
    guard(app)
    app.after_request(allow_origins(app.config["ORIGINS"]))
    app.register_error_handler(Problem, _problem)
    app.register_error_handler(HTTPException, _http)
    app.register_error_handler(MemoryError, _out_of_memory)
    app.register_error_handler(Exception, _unexpected)
    return app


def _respond(problem: Problem) -> Response:
    note_refusal(problem.kind)
    document = json.dumps(problem.document(), ensure_ascii=True, allow_nan=False)
    headers = {"Cache-Control": "no-store", "Vary": "Accept, Origin", **problem.headers}
    return Response(document, status=problem.status, content_type=MEDIA_TYPE, headers=headers)


def _problem(problem: Problem) -> Response:
    return endpoints.told_in_a_cell(problem) or _respond(problem)


def _http(error: HTTPException) -> Response:
    status = error.code or 500
    kept = {name: value for name, value in error.get_headers() if name.lower() in ("allow", "retry-after", "location")}
    details = {
        404: "there is nothing at this address: the operations are listed in /docs",
        405: f"this address does not take {request.method}: it takes {kept.get('Allow', 'other methods')}",
    }
    detail = details.get(status, error.description or error.name)
    return _respond(Problem(status, error.name, detail, headers=kept))


def _out_of_memory(error: MemoryError) -> Response:
    log_fault(error)
    detail = "the service has too little memory left for this request: send it in smaller parts, or again in a while"
    return _respond(Problem(503, "Service Unavailable", detail, headers={"Retry-After": "5"}))


def _unexpected(error: Exception) -> Response:
    log_fault(error)
    quoted = f"request ID {request_id(request.environ)}"
    word = f"the service failed to answer: the fault is ours and has been logged ({quoted})"
    return _respond(Problem(500, "Internal Server Error", word))
