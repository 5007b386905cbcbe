"""Makes the scripts from the examples of openapi/openapi.json: python clients/curl/make.py [FOLDER]

Without FOLDER it writes them here. Each script stands alone: it can be copied without the rest.
"""

import json
import sys
import textwrap
from pathlib import Path
from typing import Any
from urllib.parse import quote, urlencode

HERE = Path(__file__).resolve().parent
PATHS = json.loads((HERE.parents[1] / "openapi" / "openapi.json").read_text("utf-8"))["paths"]
WIDTH = 100

HEAD = """\
#!/bin/sh
# {title}.
#
{about}
#
#     sh {name}.sh [ADDRESS]
#
# ADDRESS is where climbwright answers; left out, it is $CLIMBWRIGHT_ADDRESS, or else http://127.0.0.1:8000.
# Needs curl 7.76 or newer. What is refused is printed with the reason, and ends the script with code 22.
# The aeroplanes, places and numbers are invented. Answers are estimates, not a flight manual: local
# rules, an approved weighing and a licensed inspector decide.
#
# Made by make.py from the examples of the OpenAPI document: change those, not this.
set -eu
address=${{1:-${{CLIMBWRIGHT_ADDRESS:-http://127.0.0.1:8000}}}}

# Sends a request by curl and ends the line after its answer; whatever goes wrong ends the script,
# an answer that is sent on from another address too.
ask() {{
    code=0
    curl --silent --show-error --fail-with-body --max-time 120 --location --max-redirs 0 "$@" || code=$?
    if [ "$code" -eq 7 ]; then
        echo "No service answers at $address: start one, or say where it is: sh {name}.sh ADDRESS" >&2
    else
        echo
    fi
    if [ "$code" -ne 0 ]; then exit "$code"; fi
}}
"""

BEFORE_AND_AFTER = """\
The owner-builder's question: weigh the aeroplane, see where it balances, know the air of the place, then compare it \
before and after the changes. The answers come as text; format=json gives the same to a program."""

CACHES_AND_CELLS = """\
How to ask again without being sent the same again, and what a cell of a spreadsheet sends. An answer to a GET is \
named by its ETag. It may be kept for as long as Cache-Control says, and is then asked for by that name."""

CACHES_AND_CELLS_CALLS = r"""
question="$address/v1/density-altitude?{query}"

# The answer with its headers: look at ETag and Cache-Control.
ask --include "$question"

# HEAD: the headers alone.
headers=$(ask --head "$question")
printf '%s\n' "$headers"

# Asked for by its ETag: 304 and no body, before anything is computed.
tag=$(printf '%s\n' "$headers" | tr -d '\r' | sed -n 's/^[Ee][Tt][Aa][Gg]: *//p')
ask --include --header "If-None-Match: $tag" "$question"

# Another question has another ETag, and is answered.
ask --header "If-None-Match: $tag" "$question&units=si"

# OPTIONS: which methods there are.
ask --include --request OPTIONS "$address/v1/density-altitude"

# One value as plain text, for a cell.
ask "$question&pick=density_altitude"

# A cell loses what is refused: errors=text answers the reason as text, with 200. Here most is missing.
ask "$address/v1/density-altitude?elevation=6150ft&errors=text"
"""


def main(folder: Path = HERE) -> None:
    """Write every script into a folder."""
    for name, script in scripts().items():
        path = folder / f"{name}.sh"
        path.write_text(script, "utf-8")
        path.chmod(0o755)


def scripts() -> dict[str, str]:
    """Every script by its name: one for each operation, for the main job, for caches and cells, and for health."""
    operations = {path.removeprefix("/v1/"): methods for path, methods in PATHS.items() if path.startswith("/v1/")}
    return {name: _operation(name, methods) for name, methods in operations.items()} | {
        "before-and-after": _script("before-and-after", "Weigh, balance, compare", BEFORE_AND_AFTER, _main_job()),
        "caches-and-cells": _script("caches-and-cells", "ETag, HEAD, OPTIONS", CACHES_AND_CELLS, _caches_and_cells()),
        "health": _health(),
    }


def _script(name: str, title: str, about: str, calls: str) -> str:
    lines = textwrap.fill(about, WIDTH, initial_indent="# ", subsequent_indent="# ", break_on_hyphens=False)
    return HEAD.format(name=name, title=title, about=lines) + calls


def _operation(name: str, methods: dict[str, Any]) -> str:
    calls = []
    if "get" in methods:
        calls.append((f"In a query.{_explained(name)}", _get(name)))
    calls.append(("As JSON.", _post(name)))
    if "multipart/form-data" in methods["post"]["requestBody"]["content"]:
        calls.append(("With its table as CSV, beside what no column says.", _parts(name)))
    return _script(name, methods["post"]["summary"], methods["post"]["description"], _calls(calls))


def _calls(calls: list[tuple[str, str]]) -> str:
    return "".join(f"\n# {comment}\n{call}\n" for comment, call in calls)


def _get(name: str, *options: str) -> str:
    fields = [f"--data-urlencode '{field}={value}'" for field, value in _query(name)]
    return " \\\n    ".join([f'ask --get "$address/v1/{name}"', *fields, *(f"--data '{option}'" for option in options)])


def _query(name: str) -> list[tuple[str, str]]:
    """The fields of the example of a GET: a list stands once for each member, an object as its members."""
    found = []
    for parameter in _parameters(name):
        field, example = parameter["name"], parameter["example"]
        members = example.items() if isinstance(example, dict) else None
        found += members or [(field, value) for value in (example if isinstance(example, list) else [example])]
    return found


def _parameters(name: str) -> list[dict[str, Any]]:
    """The parameters that the example of a GET fills in, without those of every operation."""
    of_all = ("units", "format", "pick", "working", "spread", "errors")
    return [p for p in PATHS[f"/v1/{name}"]["get"]["parameters"] if "example" in p and p["name"] not in of_all]


def _explained(name: str) -> str:
    """What a reader of the query could not read: a field that is packed."""
    packed = [p for p in _parameters(name) if len(p["example"]) > WIDTH]
    return "".join(
        f"\n# Its {p['name']} is {p['description'][0].lower()}{p['description'][1:]}"
        "\n# The single fields after it stand in place of what that says."
        for p in packed
    )


def _post(name: str, query: str = "") -> str:
    body = _example(name, "application/json")
    call = f"ask \"$address/v1/{name}{query}\" --header 'Content-Type: application/json' --data @- <<'END'"
    return f"{call}\n{_json(body)}\nEND"


def _parts(name: str) -> str:
    parts = _example(name, "multipart/form-data")
    measures = _example(name, "application/json").get("measures", [])
    query = f"?measures={','.join(measures)}" if measures else ""
    return (
        f"shared=$(cat <<'END'\n{_json(parts['shared'])}\nEND\n)\n"
        f'ask "$address/v1/{name}{query}" \\\n'
        f"    --form-string \"shared=$shared\" --form 'table=@-;filename=table.csv;type=text/csv' <<'END'\n"
        f"{parts['table']}END"
    )


def _example(name: str, content_type: str) -> Any:
    return PATHS[f"/v1/{name}"]["post"]["requestBody"]["content"][content_type]["examples"]["invented"]["value"]


def _main_job() -> str:
    steps = {
        "Weighed, and where it balances": _post("balance", "?format=text"),
        "The air at the place": _get("density-altitude", "format=text"),
        "Before and after": _post("comparison", "?format=text"),
    }
    return "".join(f"\necho '== {title}'\n{call}\n" for title, call in steps.items())


def _caches_and_cells() -> str:
    fields = [(name, value.replace(" ", "")) for name, value in _query("density-altitude")]
    return CACHES_AND_CELLS_CALLS.format(query=urlencode(fields, quote_via=quote))


def _health() -> str:
    paths = [path for path in PATHS if path.startswith("/health/")]
    calls = _calls([(f"{PATHS[path]['get']['summary']}.", f'ask "$address{path}"') for path in paths])
    about = "For whoever runs the service: live while the process answers, ready when it takes questions."
    return _script("health", "Whether the service lives and is ready", about, calls)


def _json(value: Any, indent: str = "") -> str:
    """JSON for people: what fits stands on one line."""
    flat = json.dumps(value, ensure_ascii=False)
    if len(indent) + len(flat) < WIDTH or not isinstance(value, (dict, list)):
        return flat
    inner = indent + "  "
    if isinstance(value, dict):
        lines = [f"{inner}{json.dumps(name)}: {_json(part, inner)}" for name, part in value.items()]
        return "{\n" + ",\n".join(lines) + f"\n{indent}}}"
    if any(isinstance(part, (dict, list)) for part in value):
        return "[\n" + ",\n".join(inner + _json(part, inner) for part in value) + f"\n{indent}]"
    return "[\n" + textwrap.fill(flat[1:-1], WIDTH, initial_indent=inner, subsequent_indent=inner) + f"\n{indent}]"


if __name__ == "__main__":
    main(*map(Path, sys.argv[1:]))
