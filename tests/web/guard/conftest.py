import pytest

from .redis import Server


@pytest.fixture(scope="session")
def redis():
    """A Redis that every test of the session shares."""
    server = Server()
    server.start()
    yield server
    server.stop()


@pytest.fixture
def failing_redis():
    """A Redis for a test to stop and start."""
    server = Server()
    server.start()
    yield server
    server.stop()
