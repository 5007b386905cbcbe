"""The scripts and the Python client ask a service that needs a key, which stands in the address."""

import subprocess

import pytest

from climbwright.web.guard.keys import entry_of, new_key
from climbwright_client import Climbwright, NotOffered

from ...serving import ROOT, serving

KEY = new_key()


@pytest.fixture(scope="module")
def address():
    """A service that needs a key, without its scheme."""
    with serving(CLIMBWRIGHT_KEYS=entry_of("club", KEY)) as started:
        yield started.removeprefix("http://")


@pytest.mark.parametrize(("key", "let_in"), [(KEY, True), (new_key(), False)])
def test_a_script_sends_the_key_of_its_address(address, key, let_in):
    command = ["sh", ROOT / "clients" / "curl" / "atmosphere.sh", f"http://me:{key}@{address}"]
    asked = subprocess.run(command, capture_output=True, text=True, timeout=30)
    assert (asked.returncode == 0) is let_in
    assert ("density_altitude" in asked.stdout) is let_in
    assert ("does not know the key" in asked.stdout + asked.stderr) is not let_in


def test_the_python_client_sends_the_key_of_its_address(address):
    with Climbwright(f"http://me:{KEY}@{address}") as known:
        assert known.atmosphere(altitude="6150 ft")["altitude"].unit == "ft"
    for stranger in (f"http://me:{new_key()}@{address}", f"http://{address}"):
        with Climbwright(stranger) as unknown, pytest.raises(NotOffered, match="key"):
            unknown.atmosphere(altitude="6150 ft")
