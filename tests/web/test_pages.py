"""The pages beside the operations: there, self-contained, and telling the truth about the operations."""

import json
import re

import pytest

from climbwright.web import pages

from .asking import OPERATIONS, QUERIED


@pytest.mark.parametrize("path", ["/", "/docs"])
def test_a_page_works_offline(client, path):
    response = client.get(path)
    assert response.status_code == 200
    assert response.mimetype == "text/html"
    for source in re.findall(r"""(?:src|href)\s*=\s*["']([^"']+)""", response.text):
        assert not source.startswith(("http:", "https:", "//")), source
        if source.startswith("/"):
            with client.get(source.partition("#")[0]) as linked:
                assert linked.status_code in (200, 405), source
    for operation in OPERATIONS:
        assert f"/v1/{operation}" in response.text or path == "/"


def test_the_document_names_every_operation(client):
    response = client.get("/openapi.json")
    assert response.status_code == 200
    assert response.mimetype == "application/json"
    document = json.loads(response.text)
    assert document["openapi"].startswith("3.1")
    for operation in OPERATIONS:
        methods = document["paths"][f"/v1/{operation}"]
        assert "post" in methods
        assert ("get" in methods) == (operation in QUERIED)


def test_every_documented_example_is_answered(client):
    document = json.loads(client.get("/openapi.json").text)
    asked = 0
    for operation in OPERATIONS:
        media = document["paths"][f"/v1/{operation}"]["post"]["requestBody"]["content"]["application/json"]
        examples = [entry["value"] for entry in media.get("examples", {}).values()]
        examples += [media["example"]] if "example" in media else []
        for body in examples:
            response = client.post(f"/v1/{operation}", json=body)
            assert response.status_code == 200, response.text
            asked += 1
    assert asked >= len(OPERATIONS)


def _given(page, name):
    """What the first page hands to its script."""
    return json.loads(re.search(rf'<script type="application/json" id="{name}">(.*?)</script>', page, re.S)[1])


def test_the_form_is_made_of_the_document(client):
    document = json.loads(client.get("/openapi.json").text)
    page = client.get("/").text
    asked = document["paths"]["/v1/comparison"]["post"]["requestBody"]["content"]["application/json"]
    assert _given(page, "demo") in [example["value"] for example in asked["examples"].values()]
    schemas = _given(page, "schemas")
    assert schemas.items() <= document["components"]["schemas"].items()
    led_to = set(re.findall(r"#/components/schemas/(\w+)", json.dumps(schemas) + json.dumps(asked["schema"])))
    assert led_to == schemas.keys()


@pytest.mark.parametrize("path", ["/", "/docs"])
def test_a_page_has_no_script_and_no_style_of_its_own(client, path):
    page = client.get(path).text
    scripts = re.findall(r"<script[^>]*>", page)
    assert all("src=" in script or 'type="application/json"' in script for script in scripts)
    assert not re.search(r"<style|\sstyle=|\son\w+=", page)


def test_the_reference_is_made_once_however_often_it_is_asked_for(client):
    """It takes as long as a hundred answers, and no rate counts it."""
    pages.docs.cache_clear()
    assert client.get("/docs").data == client.get("/docs").data
    assert pages.docs.cache_info().misses == 1
