"""Every operation of the document is a method, and answers what a plain HTTP call answers."""

import asyncio
import importlib.util
import inspect
import json

import httpx
import pytest

from climbwright_client import AsyncClimbwright, Climbwright
from climbwright_client.operations import OPERATIONS as KNOWN

from .asking import OPERATIONS, ROOT, as_json, example

ASKED = [name for name in OPERATIONS if name != "fleet"]  # whose request is a document, not a table


def posted(server, operation, request, **query):
    response = httpx.post(f"{server}/v1/{operation}", json=request, params=query, timeout=60)
    assert response.status_code == 200, response.text
    return response.json()


@pytest.mark.parametrize("kind", [Climbwright, AsyncClimbwright])
def test_each_operation_of_the_document_is_a_method(kind):
    own = {name for name, _ in inspect.getmembers(kind, inspect.isfunction) if not name.startswith("_")}
    others = {"ask", "text", "ready", "close", "aclose"}
    assert own - others == {name.replace("-", "_") for name in OPERATIONS}
    assert set(KNOWN) == set(OPERATIONS)


@pytest.mark.parametrize("operation", ASKED)
def test_a_method_takes_the_fields_of_the_document(operation):
    for kind in (Climbwright, AsyncClimbwright):
        method = getattr(kind, operation.replace("-", "_"))
        for field in example(operation):
            assert f"        {field}" in method.__doc__


def test_the_written_modules_are_those_of_the_document():
    place = importlib.util.spec_from_file_location("generate", ROOT / "clients" / "python" / "generate.py")
    generate = importlib.util.module_from_spec(place)
    place.loader.exec_module(generate)
    for path, text in generate.written().items():
        assert path.read_text("utf-8") == text, f"{path.name}: run python clients/python/generate.py"


@pytest.mark.parametrize("operation", ASKED)
def test_a_method_answers_as_a_plain_call(server, there, operation):
    answer = getattr(there, operation.replace("-", "_"))(**example(operation))
    assert as_json(answer) == posted(server, operation, example(operation))


def test_a_fleet_as_a_document_answers_as_a_plain_call(server, there):
    assert as_json(there.ask("fleet", example("fleet"))) == posted(server, "fleet", example("fleet"))


@pytest.mark.parametrize("operation", ASKED)
def test_awaited_it_answers_the_same(server, there, operation):
    async def awaited():
        async with AsyncClimbwright(server) as client:
            return await getattr(client, operation.replace("-", "_"))(**example(operation))

    assert asyncio.run(awaited()) == there.ask(operation, example(operation))


@pytest.mark.parametrize("operation", ["density-altitude", "comparison"])
@pytest.mark.parametrize("options", [{"units": "us,speed:mph"}, {"working": True}, {"spread": "linear"}])
def test_options_are_those_of_the_service(server, there, operation, options):
    answer = getattr(there, operation.replace("-", "_"))(**example(operation), **options)
    query = {name: json.dumps(value).strip('"') for name, value in options.items()}
    assert as_json(answer) == posted(server, operation, example(operation), **query)
    assert ("working" in answer) == ("working" in options)


def test_text_csv_and_one_value_come_as_the_service_prints_them(server, there):
    request = example("comparison")
    for query in ({"format": "text"}, {"format": "csv"}, {"pick": "/options/0/cost"}):
        printed = httpx.post(f"{server}/v1/comparison", json=request, params=query).text
        assert there.text("comparison", request, **query) == printed
    assert there.text("comparison", request).startswith("Example A")


def test_the_service_says_that_it_is_ready(server, there):
    assert there.ready() == httpx.get(f"{server}/health/ready").json()

    async def awaited():
        async with AsyncClimbwright(server) as client:
            return await client.ready(), await client.text("comparison", example("comparison"))

    assert asyncio.run(awaited()) == (there.ready(), there.text("comparison", example("comparison")))


def test_answers_about_an_aeroplane_keep_their_cautions(here):
    answer = here.climb_estimate(power="112 hp", weight="545 kg", density_altitude="8000 ft")
    assert any("not a flight manual" in caution["text"] for caution in answer["cautions"])


def test_many_threads_may_share_a_client(there):
    from concurrent.futures import ThreadPoolExecutor

    with ThreadPoolExecutor(8) as pool:
        asked = [f"{1000 + 100 * number} ft" for number in range(40)]
        answers = pool.map(lambda altitude: there.atmosphere(altitude=altitude)["altitude"].value, asked)
    assert list(answers) == pytest.approx([1000 + 100 * number for number in range(40)])
