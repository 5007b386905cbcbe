"""Memory that is short while a request is read is told as our fault, and as one that may pass."""

import io

import pytest
from werkzeug.formparser import MultiPartParser

from climbwright.web import create_app


def short(*_, **__):
    raise MemoryError


class Unread(io.BytesIO):
    """A body for which there is no room."""

    read = short


def told(answer):
    assert answer.status_code == 503
    assert answer.headers["Retry-After"] == "5"
    assert "memory" in answer.json["detail"]


@pytest.mark.parametrize("path", ["/v1/comparison", "/v1/fleet", "/v1/operability"])
def test_a_body_that_finds_no_room_is_not_called_cut_off(path):
    client = create_app({}).test_client()
    given = {"wsgi.input": Unread(), "CONTENT_LENGTH": "10"}
    told(client.post(path, environ_overrides=given, content_type="application/json"))


def test_nor_are_parts_called_malformed(monkeypatch):
    monkeypatch.setattr(MultiPartParser, "parse", short)
    told(create_app({}).test_client().post("/v1/fleet", data={"table": (io.BytesIO(b"name\n"), "table.csv")}))


def test_nor_is_a_table(monkeypatch):
    arrow = pytest.importorskip("pyarrow")
    stream = io.BytesIO()
    with arrow.ipc.new_stream(stream, arrow.schema([("name", arrow.string())])):
        pass

    def short_of_its_own(*_):
        raise arrow.ArrowMemoryError("malloc failed")

    monkeypatch.setattr(arrow.ipc, "open_stream", short_of_its_own)
    answer = (
        create_app({})
        .test_client()
        .post("/v1/fleet", data=stream.getvalue(), content_type="application/vnd.apache.arrow.stream")
    )
    told(answer)
