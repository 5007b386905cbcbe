import httpx
import pytest

from climbwright_client import Climbwright


@pytest.fixture
def here(app):
    """The client, asking the service in this process."""
    with Climbwright("http://service.example", transport=httpx.WSGITransport(app=app)) as client:
        yield client


@pytest.fixture
def there(server):
    """The client, asking the service as people run it."""
    with Climbwright(server) as client:
        yield client
