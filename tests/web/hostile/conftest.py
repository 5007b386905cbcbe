import pytest

from .calling import started, watched


@pytest.fixture(scope="module")
def service(tmp_path_factory):
    with started(tmp_path_factory.mktemp("hostile")) as one:
        yield one


@pytest.fixture(autouse=True)
def _watch(service):
    """After each test the service answers as before, has logged no fault and has not grown."""
    with watched(service):
        yield
