"""What schemathesis needs to know of this service, beside its document: generated.py loads it.

No check is left out; two are told more exactly than they come:

- `positive_data_acceptance` takes any 2xx or 422 for an answer; `refused_by_what_is_documented` here looks into each of
  the latter.
- With `errors=text` a GET's refusal is answered 200 with the refusal as text, for the cell of a spreadsheet, so that no
  check of a status could see it. `map_query` sends errors=document in its place; that both say the same is
  shown by tests/web/test_formats.py.

Quantities are drawn near the example of their kind, in any of its units and spellings: what a pattern alone gives (a
number of eighty digits) the bounds refuse, so that nearly nothing would be answered. They are judged by the patterns.
"""

import io

import pyarrow as pa
import pyarrow.csv
import schemathesis
from hypothesis import strategies as st

from climbwright.units import DISPLAY, KINDS, display_units, parse_text, to_unit
from climbwright.web.openapi import read_example
from climbwright.web.openapi.quantities import text_pattern, unit_pattern

from .rules import NOT_ANSWERABLE, NOT_UNDERSTOOD, unsaid

STREAM = "application/vnd.apache.arrow.stream"
CSV = "text/csv"


@schemathesis.check
def refused_by_what_is_documented(ctx, response, case):
    """What the schemas accept is refused by physics alone, or by a rule that the document says in words."""
    if response.status_code not in (400, 422) or not case.meta.generation.mode.is_positive:
        return
    problem = response.json()
    if response.status_code == 400:  # schemathesis draws texts where the content is to be a packed aircraft
        assert [error["pointer"] for error in problem["errors"]] == ["/aircraft"]
        return
    if problem["type"] == NOT_ANSWERABLE:
        return
    assert problem["type"] == NOT_UNDERSTOOD
    # the columns of a table are free names to the schema
    made = case.operation.label in ("GET /v1/performance", "POST /v1/fleet") or case.media_type == "multipart/form-data"
    rule = unsaid(problem, made=made)
    assert not rule, f"the document does not say: {rule}"


@schemathesis.hook
def map_query(ctx, query):
    """A refusal as a document, whose status tells that it is one."""
    return query | {"errors": "document"} if query and query.get("errors") == "text" else query


def _spelt(kind):
    """A unit, as somebody might write it."""
    return st.builds(
        lambda unit, change, blank: change(unit) + blank,
        st.sampled_from(sorted(KINDS[kind].by_spelling)),
        st.sampled_from([str, str.upper, str.title]),
        st.sampled_from(["", " "]),
    )


def _quantities(kind):
    """Texts of a kind of quantity, most of them of the size of its example."""
    number, unit = parse_text(KINDS[kind].example, kind)
    value = number * unit.factor + unit.zero

    def written(factor, unit, digits, blank):
        return f"{to_unit(value * factor, unit):.{digits}g}{blank}{unit.name}"

    near = st.builds(
        written,
        st.floats(0.5, 1.5),
        st.sampled_from(list(KINDS[kind].units.values())),
        st.integers(3, 15),
        st.sampled_from([" ", "\u00a0", "  "]),
    )
    far = st.builds("{} {}".format, st.floats(allow_nan=False, allow_infinity=False), _spelt(kind))
    return st.one_of(near, near, near, far)


for _kind in KINDS:
    schemathesis.openapi.format(f"{_kind} text", _quantities(_kind))
    schemathesis.openapi.format(f"{_kind} unit", _spelt(_kind))


_KINDS = sorted(display_units("aviation"))
_UNITS = st.builds(
    lambda system, kinds, names: ",".join([system, *(f"{kind.replace(' ', '_')}:{names[kind]}" for kind in kinds)]),
    st.sampled_from(sorted(DISPLAY)),
    st.lists(st.sampled_from(_KINDS), unique=True, max_size=3),
    st.fixed_dictionaries({kind: _spelt(kind) for kind in _KINDS}),
)
schemathesis.openapi.format("units", _UNITS)


@schemathesis.hook
def before_load_schema(ctx, raw_schema):
    """Tell from what to draw; a format that no one knows is no rule.

    The examples of tables are texts, which cannot stand beside tables that are drawn as bytes: test_document.py has
    them.
    """
    for kind in (CSV, STREAM):
        media = raw_schema["paths"]["/v1/fleet"]["post"]["requestBody"]["content"][kind]
        del media["examples"], media["schema"]["examples"]
    raw_schema["components"]["schemas"]["Units"]["format"] = "units"
    patterns = {f"^{unit_pattern(kind)}$": f"{kind} unit" for kind in KINDS} | {
        text_pattern(kind): f"{kind} text" for kind in KINDS
    }
    waiting = [raw_schema]
    while waiting:
        node = waiting.pop()
        if isinstance(node, dict) and node.get("pattern") in patterns:
            node["format"] = patterns[node["pattern"]]
        waiting += node.values() if isinstance(node, dict) else node if isinstance(node, list) else ()


def _tables():
    """The columns of the documented fleet, some of them, of a few rows."""
    columns = {
        f"{name} [{column['unit']}]" if isinstance(column, dict) else name: (
            column["value"] if isinstance(column, dict) else column
        )
        for name, column in read_example("fleet")["columns"].items()
    }
    names = st.lists(st.sampled_from(sorted(columns)), min_size=1, unique=True)
    return st.builds(
        lambda names, rows: pa.table({name: columns[name][:rows] for name in names}), names, st.integers(0, 5)
    )


def _stream(table):
    sink = io.BytesIO()
    with pa.ipc.new_stream(sink, table.schema) as writer:
        writer.write_table(table)
    return sink.getvalue()


def _csv(table):
    sink = io.BytesIO()
    pa.csv.write_csv(table, sink)
    return sink.getvalue()


schemathesis.openapi.media_type(STREAM, _tables().map(_stream))
schemathesis.openapi.media_type(CSV, _tables().map(_csv))
