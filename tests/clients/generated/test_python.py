"""A typed client that openapi-python-client makes from the document asks everything, and answers as plain HTTP does."""

import enum
import importlib
import io
import json
import subprocess
import sys
import typing
import urllib.request
from pathlib import Path
from types import SimpleNamespace

import pyarrow
import pyarrow.csv
import pytest

from climbwright.web import openapi

from ...alike import alike

OPENAPI = openapi.ROOT
OPTIONS = ("units", "format", "working", "spread", "errors")
PATHS = json.loads((OPENAPI / "openapi.json").read_text("utf-8"))["paths"]
GENERATOR = Path(sys.executable).with_name("openapi-python-client")
PACKAGE = "generated_from_the_document"
IDS = [operation["operationId"] for methods in PATHS.values() for operation in methods.values()]
POSTS = {path.removeprefix("/v1/"): methods["post"] for path, methods in PATHS.items() if "post" in methods}
GETS = {path.removeprefix("/v1/"): m["get"] for path, m in PATHS.items() if path.startswith("/v1/") and "get" in m}


@pytest.fixture(scope="module")
def generated(tmp_path_factory):
    """The package, as made without a warning: its models, its types, and a function for each operation."""
    folder = tmp_path_factory.mktemp("client")
    outcome = subprocess.run(
        [
            GENERATOR, "generate", "--meta", "none", "--fail-on-warning", "--output-path", folder / PACKAGE,
            "--path", OPENAPI / "openapi.json", "--config", OPENAPI / "openapi-python-client.yaml",
        ],
        capture_output=True, text=True,
    )  # fmt: skip
    said = outcome.stdout + outcome.stderr
    assert outcome.returncode == 0, said
    assert "warning" not in said.lower()
    with pytest.MonkeyPatch.context() as patch:
        patch.syspath_prepend(folder)
        modules = {path.stem: path.parent.name for path in (folder / PACKAGE / "api").glob("*/[a-z]*.py")}
        yield SimpleNamespace(
            Client=importlib.import_module(PACKAGE).Client,
            models=importlib.import_module(f"{PACKAGE}.models"),
            File=importlib.import_module(f"{PACKAGE}.types").File,
            api={name: importlib.import_module(f"{PACKAGE}.api.{tag}.{name}") for name, tag in modules.items()},
        )
        for name in [name for name in sys.modules if name.startswith(PACKAGE)]:
            del sys.modules[name]


@pytest.fixture
def ask(server, generated):
    """Calls an operation of the client and answers what it makes of the answer."""
    with generated.Client(base_url=server) as client:
        yield lambda name, **arguments: generated.api[name].sync_detailed(client=client, **arguments)


def plain(url, given=None):
    """The same without the client."""
    body = None if given is None else json.dumps(given).encode()
    request = urllib.request.Request(url, body, {"Content-Type": "application/json"})
    with urllib.request.urlopen(request) as answer:
        return json.loads(answer.read())


def told(answer):
    """What an answer says, without the hash of the request: the client also sends what is assumed without it."""
    whole = answer if isinstance(answer, dict) else answer.parsed.to_dict()
    return {name: part for name, part in whole.items() if name != "provenance"}


def example(name, content_type="application/json"):
    return POSTS[name]["requestBody"]["content"][content_type]["examples"]["invented"]["value"]


def test_no_operation_is_left_out(generated):
    assert generated.api.keys() == {*IDS}


@pytest.mark.parametrize("name", POSTS)
def test_a_documented_request_is_asked_and_answered_with_types(server, generated, ask, name):
    given = example(name)
    body = model(generated, POSTS[name]["requestBody"]).from_dict(given)
    assert body.to_dict() == given
    answer = ask(f"post_{name.replace('-', '_')}", body=body)
    assert (answer.status_code, type(answer.parsed)) == (200, model(generated, POSTS[name]["responses"]["200"]))
    assert told(answer) == told(plain(f"{server}/v1/{name}", given))


@pytest.mark.parametrize("name", GETS)
def test_a_documented_query_is_asked_and_answered_with_types(server, generated, ask, name):
    call = f"get_{name.replace('-', '_')}"
    kinds = typing.get_type_hints(generated.api[call].sync_detailed)
    given = {p["name"]: p["example"] for p in GETS[name]["parameters"] if p.get("example") and p["name"] not in OPTIONS}
    typed = {field.replace(".", "_"): value for field, value in given.items()}
    answer = ask(call, **{field: as_kind(kinds[field], value) for field, value in typed.items()})
    assert (answer.status_code, type(answer.parsed)) == (200, model(generated, GETS[name]["responses"]["200"]))
    query = openapi.query_text(openapi.query_example(name))
    assert told(answer) == told(plain(f"{server}/v1/{name}?{query}"))


def test_the_main_job_reads_like_python(server, generated, ask):
    """Before and after, two-up, with what each change bought; the request is changed as a program would change it."""
    given = example("comparison")
    body = generated.models.ComparisonRequest.from_dict(given)
    body.loadings = [loading for loading in body.loadings if loading.name == "two-up"]
    body.baseline.propeller.pitch_class = generated.models.PropellerPitchClass.MIDDLE
    body.shares = True
    answer = ask("post_comparison", body=body).parsed

    given["loadings"] = [loading for loading in given["loadings"] if loading["name"] == "two-up"]
    given["baseline"]["propeller"]["pitch_class"] = "middle"
    by_hand = plain(f"{server}/v1/comparison", given | {"shares": True})
    (option,), (shown,) = answer.options, by_hand["options"]
    assert len(option.results) == len(given["conditions"])
    for result, expected in zip(option.results, shown["results"], strict=True):
        climb = result.measures.best_climb_rate
        assert (result.loading, climb.after.unit) == ("two-up", "ft/min")
        assert climb.after.value - climb.before.value == pytest.approx(climb.change.value, rel=1e-9)
        shares = [share.value for share in climb.shares.additional_properties.values()]
        assert sum(shares) == pytest.approx(climb.change.value, rel=1e-9)
        assert climb.to_dict() == expected["measures"]["best_climb_rate"]
    assert any(caution.code.value == "estimate" for caution in answer.cautions)


def test_a_refusal_is_a_typed_problem(generated, ask):
    answer = ask("get_density_altitude", elevation="6150 ft", qnh="1016", oat="33 C")
    assert (answer.status_code, type(answer.parsed)) == (422, generated.models.Problem)
    assert [error.pointer for error in answer.parsed.errors] == ["/qnh"]


@pytest.mark.parametrize("form", ["text/csv", "application/vnd.apache.arrow.stream"])
def test_a_fleet_goes_in_parts(server, generated, ask, form):
    """The table is a file of its own kind."""
    parts = example("fleet", "multipart/form-data")
    table = parts["table"].encode()
    body = generated.models.PostFleetFilesBody(
        shared=generated.models.PostFleetFilesBodyShared.from_dict(parts["shared"]),
        table=generated.File(io.BytesIO(table if form == "text/csv" else arrow(table)), "table", form),
    )
    answer = ask("post_fleet", body=body, measures="weight,best_climb_rate", format_=json_format(generated))
    given = example("fleet") | {"measures": ["weight", "best_climb_rate"]}
    by_json = plain(f"{server}/v1/fleet", given)
    alike(answer.parsed.to_dict()["columns"], by_json["columns"], rel=1e-12)


def test_a_fleet_goes_as_csv_alone(server, generated, ask):
    """A row that says everything, its units in its cells."""
    fields = flat(example("fleet")["shared"]) | {
        "aircraft.engine.power": "80 hp",
        "loading.stations.seats": "84 kg",
        "condition.density_altitude": "7500 ft",
    }
    table = f"{','.join(fields)}\n{','.join(map(json.dumps, fields.values()))}\n"
    body = generated.File(io.BytesIO(table.encode()), "fleet.csv", "text/csv")
    answer = ask("post_fleet", body=body, measures="weight,best_climb_rate", format_=json_format(generated))
    first = plain(f"{server}/v1/fleet", example("fleet"))["columns"]
    got = answer.parsed.to_dict()["columns"]
    assert got["status"] == ["ok"]
    for measure in ("weight", "best_climb_rate"):
        assert got[measure]["value"] == [pytest.approx(first[measure]["value"][0], rel=1e-12)]


def test_a_season_goes_in_parts(server, generated, ask):
    shared = json.loads((OPENAPI / "examples" / "operability.shared.json").read_text("utf-8"))
    table = (OPENAPI / "examples" / "operability.csv").read_bytes()
    body = generated.models.PostOperabilityFilesBody(
        shared=generated.models.PostOperabilityFilesBodyShared.from_dict(shared),
        table=generated.File(io.BytesIO(table), "hours.csv", "text/csv"),
    )
    answer = ask("post_operability", body=body).parsed
    by_json = plain(f"{server}/v1/operability", example("operability"))
    alike(answer.to_dict(), by_json, rel=1e-12, aside="provenance")


def model(generated, described):
    """The class of the client for a body or an answer."""
    schema = described["content"]["application/json"]["schema"]
    first = schema.get("oneOf", schema.get("anyOf", [schema]))[0]  # a fleet's, before that of its cost
    name = first["$ref"].rsplit("/", 1)[-1]
    return getattr(generated.models, name)


def json_format(generated):
    return generated.models.PostFleetFormat.JSON


def as_kind(hint, value):
    """A value as the client's parameter takes it: a member of an enumeration, an object, or as it is."""
    for kind in typing.get_args(hint):
        if isinstance(kind, type) and issubclass(kind, enum.Enum):
            return kind(value)
        if hasattr(kind, "from_dict"):
            return kind.from_dict(value)
    return value


def arrow(table):
    """A table of CSV as an Arrow stream."""
    read = pyarrow.csv.read_csv(io.BytesIO(table))
    sink = io.BytesIO()
    with pyarrow.ipc.new_stream(sink, read.schema) as stream:
        stream.write_table(read)
    return sink.getvalue()


def flat(part, path=""):
    """What a document says, as columns of a fleet."""
    if isinstance(part, list):
        named = ((member.get("name") or member["configuration"], member) for member in part)
        part = {name: {k: v for k, v in member.items() if v != name} for name, member in named}
    if not isinstance(part, dict):
        return {path[1:]: part}
    return {column: value for name, inner in part.items() for column, value in flat(inner, f"{path}.{name}").items()}
