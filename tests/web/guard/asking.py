"""Questions over HTTP, and what came back, refusals too."""

import urllib.error
import urllib.request
from typing import NamedTuple

QUESTION = "/v1/atmosphere?altitude=6150ft&pick=density_altitude"


class Reply(NamedTuple):
    status: int
    headers: object
    body: bytes


def ask(address, path=QUESTION, method="GET", body=None, **headers):
    headers = {name.replace("_", "-"): value for name, value in headers.items()}
    request = urllib.request.Request(f"{address}{path}", data=body, headers=headers, method=method)
    try:
        with urllib.request.urlopen(request, timeout=60) as reply:
            return Reply(reply.status, reply.headers, reply.read())
    except urllib.error.HTTPError as refused:
        with refused:
            return Reply(refused.code, refused.headers, refused.read())


def left(reply):
    """How many more questions the field RateLimit says there are."""
    return int(reply.headers["RateLimit"].split(";r=")[1].split(";")[0])
