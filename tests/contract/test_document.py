"""The committed OpenAPI document: up to date, valid, and true of what the service answers."""

import io
import json
import re

import jsonschema
import pyarrow as pa
import pyarrow.csv
import pytest
from openapi_spec_validator import validate

from climbwright.answers.cautions import cautions_of
from climbwright.answers.notes import EXCEEDED
from climbwright.web import openapi
from climbwright.web.endpoints import OPTIONS
from climbwright.web.openapi import examples
from climbwright.web.openapi.__main__ import main
from climbwright.web.operations import OPERATIONS
from climbwright.web.words.assumed import ASSUMED
from climbwright.web.words.cautions import CAUTIONS
from climbwright.web.words.measures import LABELS

from ..alike import alike, as_documented
from .document import DOCUMENT, METHODS, checked, example_of


def test_the_document_is_up_to_date():
    text = json.dumps(openapi.build_document(), indent=1, ensure_ascii=False, allow_nan=False) + "\n"
    assert (openapi.ROOT / "openapi.json").read_text("utf-8") == text


def test_drift_is_noticed(tmp_path, monkeypatch, capsys):
    (tmp_path / "examples").symlink_to(openapi.ROOT / "examples")
    monkeypatch.setattr(examples, "ROOT", tmp_path)
    (tmp_path / "openapi.json").write_text("{}", "utf-8")
    assert main(["--check"]) == 1
    assert "out of date" in capsys.readouterr().out
    assert main([]) == 0
    assert main(["--check"]) == 0


def test_the_document_is_valid():
    validate(DOCUMENT)


def test_the_service_serves_the_committed_document(client):
    assert client.get("/openapi.json").json == DOCUMENT


@pytest.mark.parametrize("operation", OPERATIONS.values(), ids=OPERATIONS)
def test_the_documented_example_is_answered_as_documented(client, operation):
    post = DOCUMENT["paths"][f"/v1/{operation.name}"]["post"]
    body = post["requestBody"]["content"]["application/json"]
    answer = post["responses"]["200"]["content"]["application/json"]
    request = body["examples"]["invented"]["value"]
    checked(request, body["schema"])
    response = client.post(f"/v1/{operation.name}", json=request)
    assert response.status_code == 200
    checked(response.json, answer["schema"])
    as_documented(response.json, answer["examples"]["invented"]["value"])


def test_the_documented_fleet_is_answered_as_documented(client):
    """As JSON, and as the same table in CSV with what is shared beside it."""
    post = DOCUMENT["paths"]["/v1/fleet"]["post"]
    body = post["requestBody"]["content"]["application/json"]
    answer = post["responses"]["200"]["content"]["application/json"]
    request = body["examples"]["invented"]["value"]
    checked(request, body["schema"])
    response = client.post("/v1/fleet", json=request)
    checked(response.json, answer["schema"])
    as_documented(response.json, answer["examples"]["invented"]["value"])
    spread = client.post("/v1/fleet?spread=linear&cautions=true&units=us", json=request).json
    checked(spread, answer["schema"])
    shared, table = ((openapi.ROOT / "examples" / name).open("rb") for name in ("fleet.shared.json", "fleet.csv"))
    parts = {"shared": (shared, "shared", "application/json"), "table": (table, "table", "text/csv")}
    measures = ",".join(request["measures"])
    as_table = client.post(f"/v1/fleet?format=json&measures={measures}", data=parts).json
    assert as_table["columns"] == response.json["columns"]


@pytest.mark.parametrize("operation", [o for o in OPERATIONS.values() if o.query], ids=lambda o: o.name)
def test_the_documented_query_is_answered_as_documented(client, operation):
    get = DOCUMENT["paths"][f"/v1/{operation.name}"]["get"]
    query = openapi.query_text(openapi.query_example(operation.name))
    response = client.get(f"/v1/{operation.name}?{query}")
    assert response.status_code == 200
    answer = get["responses"]["200"]["content"]["application/json"]
    checked(response.json, answer["schema"])
    as_documented(response.json, answer["examples"]["invented"]["value"])


def whole_answer(client, path, query, **body):
    response = client.post(f"{path}?{query}", **body)
    assert response.status_code == 200, response.text
    return response.json


def as_parts(given):
    """The parts of a documented form, as files."""
    kinds = {"shared": "application/json", "table": "text/csv"}
    texts = {name: part if isinstance(part, str) else json.dumps(part) for name, part in given.items()}
    return {name: (io.BytesIO(text.encode()), name, kinds[name]) for name, text in texts.items()}


def test_every_form_of_the_documented_fleet_is_answered_alike(client):
    """Parts, and one table that holds everything, against the documented answer to the JSON."""
    post = DOCUMENT["paths"]["/v1/fleet"]["post"]
    bodies = {kind: example_of(media) for kind, media in post["requestBody"]["content"].items()}
    documented = example_of(post["responses"]["200"]["content"]["application/json"])
    query = f"format=json&measures={','.join(bodies['application/json']['measures'])}"
    told = {
        "parts": whole_answer(client, "/v1/fleet", query, data=as_parts(bodies["multipart/form-data"])),
        "csv": whole_answer(client, "/v1/fleet", query, data=bodies["text/csv"], content_type="text/csv"),
    }
    for answer in told.values():
        as_documented(answer["columns"], documented["columns"])
        assert answer["right"] == documented["right"]


def test_a_stream_is_answered_as_its_rows_are(client):
    """Of which the document can show no example: the documented table, as a stream."""
    post = DOCUMENT["paths"]["/v1/fleet"]["post"]
    bodies = {kind: example_of(media) for kind, media in post["requestBody"]["content"].items()}
    table = pa.csv.read_csv(io.BytesIO(bodies["text/csv"].encode()))
    sink = io.BytesIO()
    with pa.ipc.new_stream(sink, table.schema) as writer:
        writer.write_table(table)
    query = f"format=json&measures={','.join(bodies['application/json']['measures'])}"
    kind = "application/vnd.apache.arrow.stream"
    answer = whole_answer(client, "/v1/fleet", query, data=sink.getvalue(), content_type=kind)
    documented = example_of(post["responses"]["200"]["content"]["application/json"])
    as_documented(answer["columns"], documented["columns"])


def test_the_documented_parts_of_a_season_are_its_first_hour(client):
    content = DOCUMENT["paths"]["/v1/operability"]["post"]["requestBody"]["content"]
    whole, parts = (example_of(content[kind]) for kind in ("application/json", "multipart/form-data"))
    weather = {"time": whole["weather"]["time"][:1]} | {
        name: column | {"value": column["value"][:1]} for name, column in whole["weather"].items() if name != "time"
    }
    alone = whole_answer(client, "/v1/operability", "", json=whole | {"weather": weather})
    answer = whole_answer(client, "/v1/operability", "", data=as_parts(parts))
    alike(answer, alone, rel=1e-12, aside="provenance")


@pytest.mark.parametrize("name", [o.name for o in OPERATIONS.values() if o.query])
def test_a_query_made_of_the_documented_parameters_is_answered_as_documented(client, name):
    """As somebody fills in a form: each parameter with its example, the options left out."""
    get = DOCUMENT["paths"][f"/v1/{name}"]["get"]
    shown = {one["name"]: one["example"] for one in get["parameters"] if "example" in one}
    query = {key: value for key, value in shown.items() if key not in OPTIONS}
    query |= query.pop("members", {})
    if isinstance(query.get("measures"), list):
        query["measures"] = ",".join(query["measures"])
    response = client.get(f"/v1/{name}?{openapi.query_text(query)}")
    assert response.status_code == 200, response.text
    as_documented(response.json, example_of(get["responses"]["200"]["content"]["application/json"]))


def test_the_documented_options_go_together(client):
    """The examples of the options, all at once, answer the documented request."""
    for path, methods in DOCUMENT["paths"].items():
        if not path.startswith("/v1/"):
            continue
        post = methods["post"]
        body = example_of(post["requestBody"]["content"]["application/json"])
        query = {one["name"]: one["example"] for one in post["parameters"] if "example" in one}
        if "measures" in query and "measures" in body:
            body = {name: part for name, part in body.items() if name != "measures"}
        if query.get("combine"):
            del query["combine"]  # which needs columns of another length
        assert client.post(path, query_string=query, json=body).status_code == 200, path


def test_the_documented_problem_is_the_answer_to_a_wrong_request(client):
    shown = DOCUMENT["components"]["schemas"]["Problem"]["examples"][0]
    asked = {name: value for name, value in openapi.read_example("climb-estimate").items() if name != "weight"}
    response = client.post("/v1/climb-estimate", json=asked)
    assert response.json == shown
    assert response.status_code == shown["status"]


def test_every_operation_says_how_it_is_guarded():
    """Refusals for want of a key, for too many requests, and while the service stops; a key may be asked for."""
    schemes = DOCUMENT["components"]["securitySchemes"]
    assert {(one["type"], one["scheme"]) for one in schemes.values()} == {("http", "bearer"), ("http", "basic")}
    for path, methods in DOCUMENT["paths"].items():
        for operation in methods.values():
            answers = operation["responses"]
            assert all("X-Request-Id" in told["headers"] for status, told in answers.items() if status != "414"), path
            if not path.startswith("/v1/"):
                continue
            assert operation["security"] == [{}, {"bearer": []}, {"basic": []}]
            assert "WWW-Authenticate" in answers["401"]["headers"]
            assert {"Retry-After", "RateLimit", "RateLimit-Policy"} <= answers["429"]["headers"].keys()
            assert "Retry-After" in answers["503"]["headers"]
            assert "Allow" in answers["405"]["headers"]


@pytest.mark.parametrize("system", ["metric", "us", "si"])
@pytest.mark.parametrize("name", OPERATIONS)
def test_answers_fit_their_schema_in_all_units(client, name, system):
    response = client.post(f"/v1/{name}?units={system}", json=openapi.read_example(name))
    schema = DOCUMENT["paths"][f"/v1/{name}"]["post"]["responses"]["200"]["content"]["application/json"]["schema"]
    checked(response.json, schema)


def test_a_problem_fits_its_schema(client):
    for response in (client.get("/nowhere"), client.post("/v1/comparison", json={"a": 1}), client.put("/docs")):
        checked(response.json, {"$ref": "#/components/schemas/Problem"})


def test_a_wrong_answer_does_not_fit(client):
    answer = client.post("/v1/atmosphere", json={"altitude": "0 ft"}).json
    schema = {"$ref": "#/components/schemas/AtmosphereAnswer"}
    checked(answer, schema)
    for wrong in (
        {**answer, "extra": 1},
        {**answer, "density": 1.2},
        {k: v for k, v in answer.items() if k != "density"},
    ):
        with pytest.raises(jsonschema.ValidationError):
            checked(wrong, schema)


@pytest.mark.parametrize(("path", "method"), METHODS)
def test_every_operation_is_described(path, method):
    operation = DOCUMENT["paths"][path][method]
    assert all(operation[name] for name in ("operationId", "summary", "description"))
    assert {"404", "405", "500"} <= operation["responses"].keys()


def test_operation_ids_are_unique():
    ids = [DOCUMENT["paths"][path][method]["operationId"] for path, method in METHODS]
    assert len(ids) == len(set(ids))


def test_every_code_has_words():
    source = "".join(
        module.read_text("utf-8")
        for module in sorted((openapi.ROOT.parent / "service" / "climbwright" / "answers").glob("*.py"))
    )
    used = set(re.findall(r'(?:Caution|look)\(\s*"([a-z-]+)"', source)) | set(
        re.findall(r'^        \("([a-z-]+)", ', source, re.M)
    )
    assert len(used) >= 15
    assert used <= CAUTIONS.keys()
    assert set(EXCEEDED) <= CAUTIONS.keys()
    assert cautions_of.__module__ == "climbwright.answers.cautions"


def test_every_assumption_has_words():
    rooms = openapi.ROOT.parent / "service" / "climbwright"
    source = "".join(path.read_text("utf-8") for path in [*rooms.glob("answers/*.py"), *rooms.glob("web/*.py")])
    used = set(re.findall(r'Assumed\(\s*(?:f?"[^"]*"),\s*"([a-z_-]+)"', source))
    assert len(used) >= 10
    assert used <= ASSUMED.keys()


def test_every_measure_has_a_label():
    from climbwright.answers.measures import MEASURES

    assert MEASURES.keys() == LABELS.keys()
