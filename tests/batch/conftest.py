import json

import pytest

from climbwright.web import create_app

from .running import SHARED


@pytest.fixture(scope="session")
def app():
    return create_app()


@pytest.fixture
def client(app):
    return app.test_client()


@pytest.fixture
def shared(tmp_path):
    path = tmp_path / "shared.json"
    path.write_text(json.dumps(SHARED))
    return path
