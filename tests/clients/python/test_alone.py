"""The package needs httpx and nothing else; it is typed."""

import subprocess
import sys

from .asking import ROOT

BLOCKED = ("pandas", "polars", "pyarrow", "numpy", "climbwright", "flask", "orjson")
ALONE = """
import sys
for name in {blocked}:
    sys.modules[name] = None
sys.path.insert(0, {place!r})
import climbwright_client
from climbwright_client import Climbwright, command
{then}
"""


def alone(then):
    code = ALONE.format(blocked=BLOCKED, place=str(ROOT / "clients" / "python"), then=then)
    return subprocess.run([sys.executable, "-I", "-c", code], capture_output=True, text=True, timeout=60)


def test_it_imports_with_nothing_but_httpx():
    said = alone("print(sorted({name.split('.')[0] for name in sys.modules} & {'rich', 'click', 'tqdm'}))")
    assert said.returncode == 0, said.stderr


def test_it_imports_none_of_the_optional_packages_where_they_are():
    code = "import sys, climbwright_client.command; print({'pandas', 'polars', 'pyarrow', 'numpy'} & set(sys.modules))"
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60)
    assert said.stdout == "set()\n"


def test_it_answers_rows_and_files_without_them(server, tmp_path):
    table, shared = ROOT / "openapi/examples/fleet.csv", ROOT / "openapi/examples/fleet.shared.json"
    said = alone(f"""
import csv, json
shared = json.load(open({str(shared)!r}))
with Climbwright({server!r}) as client:
    rows = list(csv.DictReader(open({str(table)!r})))
    told = [row["status"] for row in client.fleet(rows, shared=shared, rows=2)]
    written = client.fleet({str(table)!r}, into={str(tmp_path / "out.csv")!r}, shared=shared, rows=2)
    print(told.count("ok"), written.right, written.wrong)
""")
    assert said.stdout == "4 4 1\n", said.stderr


TYPED = """
from climbwright_client import AsyncClimbwright, Climbwright, Quantity

client = Climbwright()
air = client.density_altitude(elevation="6150 ft", qnh=Quantity(1016, "hPa"), oat="33 C", units="us")
reveal_type(air["density_altitude"])
reveal_type(client.fleet([{"a": 1}]))
reveal_type(client.fleet("in.csv", into="out.csv"))
client.density_altitude(elevatoin="6150 ft")
client.density_altitude(elevation=6150)
client.density_altitude(spread="round")
client.balance(cg="1 m")
client.performance(aircraft={"name": "x"}, loadings=[])
air["density_altitud"]
"""


def test_a_type_checker_sees_what_goes_in_and_comes_out(tmp_path):
    from mypy import api

    (tmp_path / "asks.py").write_text(TYPED)
    arguments = ["--strict", "--no-error-summary", "--cache-dir", str(tmp_path / "cache"), str(tmp_path / "asks.py")]
    told, _, _ = api.run(arguments)
    assert 'Revealed type is "climbwright_client.quantity.Quantity"' in told
    assert "Iterator[dict[str, Any]]" in told.replace("builtins.", "")
    assert 'Revealed type is "climbwright_client.answers.Written"' in told
    wrong = {int(one.split(":")[1]) for one in told.splitlines() if ": error:" in one}
    assert wrong == {9, 10, 11, 12, 13, 14}, told
