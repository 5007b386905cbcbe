import pytest

from climbwright.web import create_app

from .serving import serving


@pytest.fixture(scope="session")
def app():
    """The service with the settings that are assumed, whatever the environment says."""
    return create_app({})


@pytest.fixture
def client(app):
    return app.test_client()


@pytest.fixture(scope="session")
def server():
    """The service behind gunicorn, by its address."""
    with serving() as address:
        yield address
