"""Writes the typed shapes and the methods of the client from the OpenAPI document.

Run: python clients/python/generate.py, with ruff in the environment. A test compares what it would write with what is
committed.
"""

import json
import subprocess
import sys
import textwrap
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent
DOCUMENT = HERE.parents[1] / "openapi" / "openapi.json"
PACKAGE = HERE / "climbwright_client"
WIDTH = 118
LONG = 12  # words of a choice that has no name of its own
BY_HAND = {"fleet"}  # operations whose methods are not written here

Schema = dict[str, Any]
PLAIN = {"string": "str", "integer": "int", "number": "float", "boolean": "bool", "null": "None"}
NAMED = {"Answer": "Quantity"}  # schemas that have a class of their own


class Shapes:
    """TypedDicts for the schemas that operations take and give, each after those that it holds."""

    def __init__(self, schemas: dict[str, Schema]) -> None:
        self.schemas = schemas
        self.written: dict[str, str] = {}
        self._contents: dict[str, Any] = {}

    def type_of(self, schema: Schema, name: str) -> str:
        """How a schema is written as a type; `name` is for an object that has none of its own."""
        if "$ref" in schema:
            return self._referred(schema["$ref"].rsplit("/", 1)[1])
        if "enum" in schema:
            return self._choice(f"Literal[{', '.join(json.dumps(word) for word in schema['enum'])}]", name)
        choices = schema.get("anyOf") or schema.get("oneOf")
        if choices:
            return " | ".join(dict.fromkeys(self.type_of(one, name) for one in choices))
        kind = schema.get("type")
        if isinstance(kind, list):
            return " | ".join(PLAIN[one] for one in kind)
        if kind == "array":
            return f"Sequence[{self.type_of(schema.get('items', {}), one_of(name))}]"
        if kind == "object" and schema.get("properties"):
            return self._object(schema, name)
        if kind == "object":
            inner = schema.get("additionalProperties", {})
            return f"Mapping[str, {self.type_of(inner, one_of(name)) if isinstance(inner, dict) else 'Any'}]"
        return PLAIN.get(str(kind), "Any")

    def _referred(self, name: str) -> str:
        if name in NAMED:
            return NAMED[name]
        schema = self.schemas[name]
        if name.endswith("Quantity") or name == "Amount":
            return "RatioLike" if {"number"} & {one.get("type") for one in schema["anyOf"]} else "QuantityLike"
        return self.type_of(schema, name)

    def _choice(self, words: str, name: str) -> str:
        """Words to choose from; many of them have a name."""
        if words.count(",") < LONG:
            return words
        return self._once(name, words, f"{name} = {words}")

    def _object(self, schema: Schema, name: str) -> str:
        if name in self.written:
            return name
        required = set(schema.get("required", ()))
        lines = [f"class {name}(TypedDict):", *docstring(schema.get("description") or spaced(name) + ".", 4)]
        told: dict[str, str] = {}
        for field, inner in schema["properties"].items():
            kind = self.type_of(inner, self._inner(name, field))
            told[field] = kind if field in required else f"NotRequired[{kind}]"
            lines += commented(f"    {field}: {told[field]}", first_words(inner.get("description", "")))
        return self._once(name, told if schema not in self.schemas.values() else name, "\n".join(lines))

    @staticmethod
    def _inner(name: str, field: str) -> str:
        """A name for what a field holds; all measures are alike."""
        if name.endswith("Measures"):
            return one_of(name)
        return name.removesuffix("Request").removesuffix("Answer") + camel(field)

    def _once(self, name: str, content: Any, text: str) -> str:
        """The name of what was written with the same content; else it is written."""
        for known, same in self._contents.items():
            if same == content:
                return known
        while name in self.written:
            name += "Also"
        self._contents[name] = content
        self.written[name] = text
        return name


def camel(name: str) -> str:
    """A name of words in capitals."""
    return "".join(part.capitalize() for part in name.replace("-", "_").split("_"))


def one_of(name: str) -> str:
    """A name for one member of a list."""
    return name[:-1] if name.endswith("s") and not name.endswith("ss") else name


def spaced(name: str) -> str:
    """A name in capitals as words."""
    return "".join(f" {c.lower()}" if c.isupper() else c for c in name).strip().capitalize()


def first_words(description: str) -> str:
    """The first paragraph of a description, in one line."""
    return " ".join(description.partition("\n\n")[0].split())


def docstring(text: str, indent: int) -> list[str]:
    """The first paragraph of a text as a docstring."""
    pad = " " * indent
    first = first_words(text)
    lines = textwrap.wrap(f'"""{first}', WIDTH - indent)
    closed = f'{lines[-1]}"""' if len(lines) == 1 else f'{lines[-1]}\n{pad}"""'
    return [pad + line for line in (*lines[:-1], closed)]


def commented(line: str, comment: str) -> list[str]:
    """A line with its comment behind it where there is room, else before it."""
    if not comment:
        return [line]
    if len(line) + len(comment) + 4 <= WIDTH:
        return [f"{line}  # {comment}"]
    return [*textwrap.wrap(comment, WIDTH, initial_indent="    # ", subsequent_indent="    # "), line]


SHAPES_HEAD = '''"""What operations take and give. Written by generate.py from the OpenAPI document: do not edit."""

from collections.abc import Mapping, Sequence
from typing import Literal, NotRequired, TypedDict

from climbwright_client.quantity import Quantity, QuantityLike, RatioLike

'''

METHODS_HEAD = '''"""The operations as methods. Written by generate.py from the OpenAPI document: do not edit."""

from typing import Any, Literal, Unpack, cast

from climbwright_client import shapes

Spread = Literal["linear", "sampled"]

'''

SYNC_CLASS = '''
class Operations:
    """One method for each operation; the client's own class says how it is asked."""

    def ask(self, operation: str, request: Any, /, **options: Any) -> Any:
        """The answer of an operation, by its name."""
        raise NotImplementedError
'''

METHOD = '''
    {define} {method}(
        self,
        *,
        units: str | None = None,
        working: bool | None = None,
        spread: Spread | None = None,
        **request: Unpack[shapes.{request}],
    ) -> shapes.{answer}:
        """{summary}.

{fields}
        """
        answer = {await_}self.ask("{operation}", request, units=units, working=working, spread=spread)
        return cast("shapes.{answer}", answer)
'''


def fields_of(schema: Schema) -> str:
    """The fields of a request for a docstring: required ones first."""
    required = set(schema.get("required", ()))
    lines: list[str] = []
    for name, inner in sorted(schema["properties"].items(), key=lambda pair: pair[0] not in required):
        told = first_words(inner.get("description", "")).replace("\\", "\\\\")
        star = " (required)" if name in required else ""
        lines += textwrap.wrap(f"{name}{star}: {told}", WIDTH - 8, initial_indent=" " * 8, subsequent_indent=" " * 12)
    return "\n".join(lines)


def operations_of(document: Schema) -> dict[str, tuple[Schema, str, str]]:
    """Each operation by its name: its description, and the schemas of its request and its answer."""
    found = {}
    for path, methods in document["paths"].items():
        if path.startswith("/v1/") and "post" in methods:
            post = methods["post"]
            given = post["requestBody"]["content"]["application/json"]["schema"]["$ref"].rsplit("/", 1)[1]
            answer = post["responses"]["200"]["content"]["application/json"]["schema"]
            # the first of several; what an option asks for in its place comes after it
            told = answer.get("anyOf", [answer])[0]["$ref"].rsplit("/", 1)[1]
            found[path.removeprefix("/v1/")] = post, given, told
    return found


def written() -> dict[Path, str]:
    """The modules as they should be, by their paths."""
    document = json.loads(DOCUMENT.read_text("utf-8"))
    schemas = document["components"]["schemas"]
    shapes, operations = Shapes(schemas), operations_of(document)
    methods: dict[str, list[str]] = {"def": [], "async def": []}
    for operation, (post, given, told) in operations.items():
        if operation in BY_HAND:
            continue
        for name in (given, told):
            shapes.type_of({"$ref": f"#/{name}"}, name)
        for define, found in methods.items():
            found.append(
                METHOD.format(
                    define=define, method=operation.replace("-", "_"), operation=operation, request=given, answer=told,
                    summary=post["summary"], fields=fields_of(schemas[given]),
                    await_="await " if define != "def" else "",
                )
            )  # fmt: skip
    asynchronous = SYNC_CLASS.replace("class ", "class Async").replace("def ask", "async def ask")
    summaries = {operation: post["summary"] for operation, (post, _, _) in operations.items()}
    names = f"\nOPERATIONS = {json.dumps(summaries, indent=4)}  # and what each answers\n"
    return {
        PACKAGE / "shapes.py": formatted(SHAPES_HEAD + "\n\n".join(f"\n{one}" for one in shapes.written.values())),
        PACKAGE / "operations.py": formatted(
            METHODS_HEAD + names + SYNC_CLASS + "".join(methods["def"]) + asynchronous + "".join(methods["async def"])
        ),
    }


def formatted(source: str) -> str:
    """The source as ruff formats it."""
    command = [sys.executable, "-m", "ruff", "format", "--line-length", "120", "-"]
    return subprocess.run(command, input=source, capture_output=True, text=True, check=True).stdout


if __name__ == "__main__":
    for path, text in written().items():
        path.write_text(text, "utf-8")
