"""The image, built and run as an orchestrator would: without root, with nothing to write to, in little memory."""

import contextlib
import http.client
import json
import os
import threading
import time
import urllib.error
import urllib.parse
import urllib.request
from pathlib import Path

import pytest

from climbwright.web import create_app
from climbwright.web.build import build as build_here

from ..serving import ROOT
from .engine import Container, build, inspected, podman, running

EXAMPLES = ROOT / "openapi" / "examples"
MEGABYTE = 1_000_000
NO_GET = ("calibration", "test-plan", "requirement", "comparison", "fleet", "operability")


def ask(address, path, body=None, kind="application/json"):
    """Status, headers and body of an answer."""
    request = urllib.request.Request(address + path, data=body, headers={"Content-Type": kind} if body else {})
    try:
        with urllib.request.urlopen(request, timeout=60) as answer:
            return answer.status, answer.headers, answer.read()
    except urllib.error.HTTPError as error:
        with error:
            return error.code, error.headers, error.read()


def example(name):
    return (EXAMPLES / name).read_bytes()


def fleet_columns():
    return example("fleet.json")


def queries():
    """A GET of every operation that has one, as the examples ask it."""
    for path in sorted(EXAMPLES.glob("*.json")):
        name, _, form = path.name.removesuffix(".json").partition(".")
        if form or name in NO_GET:
            continue
        other = EXAMPLES / f"{name}.query.json"
        fields = json.loads((other if other.exists() else path).read_text())
        yield f"/v1/{name}?{urllib.parse.urlencode(fields, doseq=True)}"


def comparison(address):
    return ask(address, "/v1/comparison", example("comparison.json"))


def status_of(process):
    lines = Path(f"/proc/{process}/status").read_text().splitlines()
    return dict(line.split(":\t", 1) for line in lines if ":\t" in line)


def processor_time(process):
    """Seconds that a process has used, in its own code and in the system's."""
    fields = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
    return sum(map(int, fields[11:13])) / os.sysconf("SC_CLK_TCK")


def test_the_images_are_small(plain, fleet):
    sizes = [inspected(image)["Size"] / MEGABYTE for image in (plain, fleet)]
    print(f"without the parts for fleets {sizes[0]:.0f} MB, with them {sizes[1]:.0f} MB")
    assert sizes[0] <= 350
    assert sizes[1] <= 550


def test_an_extra_that_is_none_is_refused_by_name(engine):
    with pytest.raises(AssertionError, match="EXTRAS: fleet and traces are known, not matplotlib"):
        build("fleet matplotlib")


def test_the_parts_for_traces_can_be_added(engine):
    started = "from opentelemetry.exporter.otlp.proto.http.trace_exporter import OTLPSpanExporter as made; made()"
    with running(build("traces")) as container:
        done = container.execute("python", "-c", started)
        assert done.returncode == 0, done.stderr


def test_it_answers_as_the_source_here_does(container):
    here = (
        create_app({})
        .test_client()
        .post("/v1/comparison", data=example("comparison.json"), content_type="application/json")
    )
    status, headers, body = comparison(container.address)
    assert (status, headers["Content-Type"]) == (200, here.content_type)
    assert json.loads(body)["provenance"] == here.json["provenance"]
    assert json.loads(ask(container.address, "/health/ready")[2])["build"] == build_here()


@pytest.mark.parametrize(
    "path", ["/", "/docs", "/openapi.json", "/club", "/elements.js", "/static/home.js", "/static/style.css"]
)
def test_pages_are_in_it(container, path):
    assert ask(container.address, path)[0] == 200


def test_it_runs_as_nobody_with_no_rights(container):
    for process in (container.main(), *container.workers()):
        status = status_of(process)
        assert set(status["Uid"].split()) == {"10001"}
        assert set(status["Gid"].split()) == {"10001"}
        assert [status[name].strip("0") for name in ("CapEff", "CapPrm", "CapBnd", "CapInh", "CapAmb")] == [""] * 5
        assert status["NoNewPrivs"] == "1"


def test_it_can_write_to_nothing_of_its_own(container):
    for place in ("/srv/x", "/opt/climbwright/x", "/x"):
        assert "Read-only file system" in container.execute("python", "-c", f"open({place!r}, 'w')").stderr
    assert container.execute("python", "-c", "open('/tmp/x', 'w').close()").returncode == 0


@pytest.mark.parametrize("module", ["pip", "ensurepip", "hatchling", "pytest", "pyarrow", "matplotlib", "numpy.tests"])
def test_what_it_does_not_need_is_not_in_it(container, module):
    done = container.execute("python", "-c", f"import {module}")
    assert "ModuleNotFoundError" in done.stderr


def test_no_compiler_is_in_it(container):
    found = container.execute(
        "python", "-c", "import shutil; print(*filter(None, map(shutil.which, ['cc', 'gcc', 'c++', 'make'])))"
    )
    assert (found.returncode, found.stdout.strip()) == (0, "")


def test_its_byte_code_is_there_before_the_start(container):
    asked = (
        "import sys, os, climbwright.web, gunicorn.app.wsgiapp, gunicorn.workers.gthread; "
        "climbwright.web.create_app(); "
        "print(*(m.__name__ for m in list(sys.modules.values()) if (c := getattr(m, '__cached__', None)) "
        "and getattr(m, '__file__', '').endswith('.py') and not os.path.exists(c)))"
    )
    done = container.execute("python", "-c", asked)
    assert (done.returncode, done.stdout.split()) == (0, [])


def test_it_is_ready_within_two_seconds(plain):
    """Of its own time: it starts in one process, so that on a machine with nothing else to do no more passes."""
    with running(plain) as container:
        seconds = sum(processor_time(process) for process in (container.main(), *container.workers()))
    print(f"ready after {container.seconds_to_ready:.2f} s, of which it used {seconds:.2f} s")
    assert 0.1 < seconds < 2


def test_its_workers_stay_small(plain):
    with running(plain) as container:
        for _ in range(2):
            for query in queries():
                for _ in range(4):  # to meet both workers
                    status, _, body = ask(container.address, query)
                    assert status == 200, (query, body)
            for _ in range(4):
                assert comparison(container.address)[0] == 200
        workers = container.workers()
        kilobytes = [int(status_of(process)["VmRSS"].split()[0]) for process in workers]
        print("workers hold", *(f"{each / 1024:.1f}" for each in kilobytes), "MB")
        assert len(workers) == 2
        assert max(kilobytes) <= 80 * 1024
        for process in workers:
            maps = Path(f"/proc/{process}/maps").read_text()
            assert "/site-packages/numpy/" in maps
            assert not [name for name in ("scipy", "pyarrow", "matplotlib") if f"/site-packages/{name}/" in maps]


def test_its_health_check_tells_ready_from_not(container, plain):
    check = inspected(plain)["Healthcheck"]["Test"]
    assert check[0] == "CMD"
    assert container.execute(*check[1:]).returncode == 0
    away = container.execute(*check[1:], GUNICORN_BIND="127.0.0.1:9")
    assert (away.returncode, away.stderr.startswith("not ready")) == (1, True)
    assert podman("healthcheck", "run", container.name, check=False).returncode == 0


def test_told_to_stop_it_answers_what_is_under_way_and_ends_well(plain):
    with running(plain) as container:
        # The headers are there, the body not yet: a worker waits for it.
        connection = http.client.HTTPConnection("127.0.0.1", container.port, timeout=30)
        body = example("comparison.json")
        connection.putrequest("POST", "/v1/comparison")
        connection.putheader("Content-Type", "application/json")
        connection.putheader("Content-Length", str(len(body)))
        connection.endheaders()
        connection.send(body[:100])
        time.sleep(0.5)
        stopped = []
        thread = threading.Thread(target=lambda: stopped.append(container.stop()))
        thread.start()
        time.sleep(1.5)
        connection.send(body[100:])
        assert connection.getresponse().status == 200
        connection.close()
        thread.join()
        code, seconds = stopped[0]
        print(f"stopped after {seconds:.1f} s")
        assert code == 0
        assert 1.5 < seconds < 10
        assert "Shutting down" in container.log()


def test_told_to_stop_it_serves_on_until_the_proxies_know(plain):
    with running(plain, CLIMBWRIGHT_DRAIN="3") as container:
        stopped = []
        thread = threading.Thread(target=lambda: stopped.append(container.stop()))
        thread.start()
        deadline = time.monotonic() + 10
        while ask(container.address, "/health/ready")[0] != 503 and time.monotonic() < deadline:
            time.sleep(0.1)
        assert ask(container.address, "/health/ready")[0] == 503
        assert ask(container.address, "/health/live")[0] == 200
        assert comparison(container.address)[0] == 200
        thread.join()
        code, seconds = stopped[0]
        print(f"stopped after {seconds:.1f} s, 3 of which it served on")
        assert code == 0
        assert 3 <= seconds < 12


@pytest.mark.parametrize(
    ("variable", "value", "told"),
    [
        ("CLIMBWRIGHT_ORIGNS", "https://club.example", "CLIMBWRIGHT_ORIGNS is no setting"),
        ("CLIMBWRIGHT_MAXIMUM_ROWS", "many", "CLIMBWRIGHT_MAXIMUM_ROWS must be a positive whole number"),
    ],
)
def test_a_wrong_setting_is_refused_at_the_start(plain, variable, value, told):
    container = Container(plain, **{variable: value})
    try:
        code, written = container.refused()
    finally:
        container.remove()
    assert code not in (0, None)
    assert told in written


def test_a_fleet_in_json_is_answered_by_every_image(container):
    assert ask(container.address, "/v1/fleet", fleet_columns())[0] == 200


def parts(**fields):
    """A multipart body: shared JSON and a table."""
    lines = [b"--edge", b'Content-Disposition: form-data; name="shared"', b"", example("fleet.shared.json")]
    lines += [
        b"--edge",
        b'Content-Disposition: form-data; name="table"; filename="t"',
        f"Content-Type: {fields['kind']}".encode(),
    ]
    return b"\r\n".join([*lines, b"", fields["table"], b"--edge--", b""]), "multipart/form-data; boundary=edge"


def in_arrow():
    import pyarrow
    import pyarrow.csv
    import pyarrow.ipc

    table = pyarrow.csv.read_csv(EXAMPLES / "fleet.csv").slice(0, 4)
    sink = pyarrow.BufferOutputStream()
    with pyarrow.ipc.new_stream(sink, table.schema) as writer:
        writer.write_table(table)
    return sink.getvalue().to_pybytes()


TABLES = {"text/csv": lambda: example("fleet.csv"), "application/vnd.apache.arrow.stream": in_arrow}


@pytest.mark.parametrize("kind", TABLES)
def test_a_table_is_answered_where_its_part_is_installed_and_refused_by_name_elsewhere(container, fleet, kind):
    body, multipart = parts(kind=kind, table=TABLES[kind]())
    status, headers, answer = ask(container.address, "/v1/fleet?measures=weight", body, multipart)
    assert (status, headers["Content-Type"]) == (501, "application/problem+json")
    assert "installed without its part for CSV and Arrow" in json.loads(answer)["detail"]
    with running(fleet) as whole:
        status, headers, answer = ask(whole.address, "/v1/fleet?measures=weight", body, multipart)
        assert (status, headers["Content-Type"].split(";")[0]) == (200, kind)
        there = create_app({}).test_client().post("/v1/fleet?measures=weight", data=body, content_type=multipart)
        assert answer == there.data


def test_its_command_runs_where_the_parts_for_fleets_are(fleet):
    with contextlib.ExitStack() as stack:
        started = stack.enter_context(running(fleet))
        done = started.execute("climbwright", "fleet", "--help")
        assert done.returncode == 0, done.stderr
