import json

import pytest

from .running import SHARED


@pytest.fixture
def shared(tmp_path):
    path = tmp_path / "shared.json"
    path.write_text(json.dumps(SHARED))
    return path
