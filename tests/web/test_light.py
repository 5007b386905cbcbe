"""What a worker does not load until somebody asks for it: each of these costs megabytes and a slow start."""

import json
import subprocess
import sys

from climbwright.web.openapi import query_example, query_text, read_example
from climbwright.web.operations import OPERATIONS

HEAVY = ("scipy", "pyarrow", "matplotlib", "pandas", "dask", "apispec", "opentelemetry", "redis")
ASKING = """
import json, sys
from climbwright.web import create_app
client = create_app({}).test_client()
queries, bodies = json.load(sys.stdin)
answers = [client.get(f"/v1/{name}?{query}") for name, query in queries.items()]
answers += [client.post(f"/v1/{name}", json=body) for name, body in bodies.items()]
loaded = list(sys.modules)
import scipy
print(json.dumps([loaded, list(sys.modules), [answer.status_code for answer in answers]]))
"""


def test_heavy_packages_are_loaded_when_they_are_needed():
    queries = {name: query_text(query_example(name)) for name, operation in OPERATIONS.items() if operation.query}
    bodies = {name: read_example(name) for name in ("performance", "comparison", "requirement", "fleet", "calibration")}
    asked = json.dumps([queries, bodies])
    told = subprocess.run([sys.executable, "-c", ASKING], input=asked, capture_output=True, text=True, check=True)
    loaded, after, statuses = json.loads(told.stdout)
    assert set(statuses) == {200}
    assert not [name for name in HEAVY if name in loaded]
    assert "scipy" in after  # which shows that it would have been found
