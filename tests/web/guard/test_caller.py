"""Who asks, as far as anybody's word is taken."""

import ipaddress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from climbwright.web.guard.caller import Proxies, read_proxies

NEAR = "10.1.2.3"
NOBODY = Proxies(())
PROXIES = Proxies(read_proxies("10.0.0.0/8 192.0.2.7 fd00::/8"))
UNIX = Proxies(read_proxies("unix 10.0.0.0/8 192.0.2.7 fd00::/8"))


def client(proxies, peer, forwarded=None):
    return proxies.client({"REMOTE_ADDR": peer} | ({} if forwarded is None else {"HTTP_X_FORWARDED_FOR": forwarded}))


@pytest.mark.parametrize(
    ("forwarded", "expected"),
    [
        (None, NEAR),
        ("", NEAR),
        ("203.0.113.9", "203.0.113.9"),
        ("203.0.113.9:51234", "203.0.113.9"),
        ("198.51.100.1, 203.0.113.9", "203.0.113.9"),  # what the client wrote itself
        ("10.9.9.9, 203.0.113.9", "203.0.113.9"),  # and where it plays the proxy
        ("203.0.113.9, 10.9.9.9", "203.0.113.9"),
        ("203.0.113.9,192.0.2.7 , 10.9.9.9", "203.0.113.9"),
        ("203.0.113.9, fd00::1, 10.9.9.9", "203.0.113.9"),
        ("203.0.113.9, [fd00::1]:443", "203.0.113.9"),
        ("10.5.5.5, 10.9.9.9", "10.5.5.5"),  # only proxies: the first of them asks for itself
        ("203.0.113.9, unknown, 10.9.9.9", "10.9.9.9"),
        ("203.0.113.9, , 10.9.9.9", "10.9.9.9"),
        ("203.0.113.9, 999.1.1.1", NEAR),
        ("203.0.113.9, 203.0.113.9:x:y", NEAR),
        ("\x00", NEAR),
        ("," * 3000, NEAR),
        ("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::/64"),
        ("[2001:db8:1:2:ffff::1]:443", "2001:db8:1:2::/64"),
        ("2001:db8:1:2::1%eth0", "2001:db8:1:2::/64"),
        ("::ffff:203.0.113.9", "203.0.113.9"),
        ("::ffff:cb00:7109", "203.0.113.9"),
    ],
)
def test_the_client_is_the_last_that_is_no_proxy_of_ours(forwarded, expected):
    assert client(PROXIES, NEAR, forwarded) == expected
    assert client(UNIX, "", forwarded) == ("nobody" if expected == NEAR else expected)


@pytest.mark.parametrize("peer", ["203.0.113.50", "11.0.0.1", "192.0.2.8", "::ffff:203.0.113.50"])
def test_nobody_else_is_believed(peer):
    assert client(PROXIES, peer, "198.51.100.1") == peer.removeprefix("::ffff:")
    assert client(NOBODY, peer, "198.51.100.1") == peer.removeprefix("::ffff:")


@pytest.mark.parametrize("peer", ["127.0.0.1", "10.0.0.1", "::1", ""])
def test_nobody_is_believed_where_nothing_is_said(peer):
    assert client(NOBODY, peer, "198.51.100.1") == {"::1": "::/64", "": "nobody"}.get(peer, peer)
    assert not NOBODY.secure({"REMOTE_ADDR": peer, "HTTP_X_FORWARDED_PROTO": "https"})


def test_a_proxy_is_known_however_its_address_is_written():
    for peer in ("10.0.0.1", "::ffff:10.0.0.1", "fd00::2"):
        assert client(PROXIES, peer, "198.51.100.1") == "198.51.100.1"
    assert client(PROXIES, "", "198.51.100.1") == "nobody"  # a socket in the file system, where the setting has no word


@given(st.lists(st.ip_addresses(), min_size=1, max_size=6), st.text(max_size=30))
def test_what_stands_before_the_client_changes_nothing(chain, written):
    told = ", ".join(map(str, chain))
    outside = [address for address in chain if not any(address in network for network in PROXIES._networks)]
    if outside and not any(getattr(address, "ipv4_mapped", None) for address in chain):
        last = outside[-1]
        expected = str(last) if last.version == 4 else str(ipaddress.ip_network(f"{last}/64", strict=False))
        assert client(PROXIES, NEAR, told) == expected
        assert client(PROXIES, NEAR, f"{written}, {told}") == expected


@given(st.text(max_size=200))
def test_nothing_that_is_sent_breaks_it(text):
    assert client(PROXIES, NEAR, text)
    assert client(UNIX, "", text)


@pytest.mark.parametrize(
    ("peer", "told", "expected"),
    [
        (NEAR, "https", True),
        (NEAR, "http", False),
        (NEAR, "HTTPS, http", False),
        (NEAR, None, False),
        ("203.0.113.50", "https", False),
    ],
)
def test_https_is_what_a_proxy_of_ours_says(peer, told, expected):
    environ = {"REMOTE_ADDR": peer} | ({} if told is None else {"HTTP_X_FORWARDED_PROTO": told})
    assert PROXIES.secure(environ) is expected


@pytest.mark.parametrize(
    "value", ["10.0.0.1/8", "proxy.example", "*", "10.0.0.0/8,fd00::/8", "::ffff:10.0.0.0/104", "10/8"]
)
def test_what_is_no_network_is_refused(value):
    with pytest.raises(ValueError, match=r"must be networks such as 10\.0\.0\.0/8"):
        read_proxies(value)
