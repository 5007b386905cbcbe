import pytest

from .base import base_image
from .engine import Unable, build, podman, require, running


def pytest_addoption(parser):
    parser.addoption("--container", action="store_true", help="build the image and run it (tests/run --container)")


@pytest.fixture(scope="session")
def engine(request):
    """What can build images here, with the base image made."""
    if not request.config.getoption("--container", default=False):
        pytest.skip("images are built and run by tests/run --container")
    try:
        require()
        base_image()
    except Unable as reason:
        pytest.skip(f"no image can be built here: {reason}")
    # What former builds left, but not the steps that those of today begin with.
    podman("image", "prune", "--force", "--filter", "until=48h")


@pytest.fixture(scope="session")
def plain(engine):
    """The image without extras."""
    return build()


@pytest.fixture(scope="session")
def fleet(engine):
    """The image with Arrow and Parquet tables."""
    return build("fleet")


@pytest.fixture(scope="session")
def container(plain):
    """A container that runs while the tests do."""
    with running(plain) as started:
        yield started
