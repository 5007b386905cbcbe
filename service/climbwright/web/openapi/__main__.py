"""The command, for ``python -m climbwright.web.openapi``."""

import argparse
import json
import sys

from climbwright.web.openapi import examples
from climbwright.web.openapi.document import build_document

__all__ = ["main"]


def main(arguments: list[str] | None = None) -> int:
    """Write the document, or check that the committed one is up to date."""
    parser = argparse.ArgumentParser(description="Make openapi/openapi.json from the schemas and examples.")
    parser.add_argument("--check", action="store_true", help="only say whether the committed document is up to date")
    asked = parser.parse_args(arguments)
    text = json.dumps(build_document(), indent=1, ensure_ascii=False, allow_nan=False) + "\n"
    path = examples.ROOT / "openapi.json"
    if asked.check:
        same = path.exists() and path.read_text("utf-8") == text
        print(
            "openapi.json is up to date"
            if same
            else "openapi.json is out of date: run python -m climbwright.web.openapi"
        )
        return 0 if same else 1
    path.write_text(text, "utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
