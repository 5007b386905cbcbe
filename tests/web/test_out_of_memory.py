"""Too little memory for one request is told, and the next is answered."""

import numpy as np

from climbwright.web import create_app


def test_it_is_told_as_a_problem():
    app = create_app({})
    app.add_url_rule("/hungry", view_func=lambda: str(np.empty(2**50)))
    client = app.test_client()
    response = client.get("/hungry")
    assert response.status_code == 503
    assert response.content_type == "application/problem+json"
    assert response.json["status"] == 503
    assert "memory" in response.json["detail"]
    assert int(response.headers["Retry-After"]) > 0
    assert client.get("/v1/atmosphere?altitude=6000ft").status_code == 200
