"""Pages of an invented club, served from an origin of their own, and what the tests ask of a page."""

import contextlib
import json
import threading
import urllib.error
import urllib.request
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

ROOT = Path(__file__).resolve().parents[3]
SCRIPT = ROOT / "clients" / "web" / "elements.js"
EXAMPLES = ROOT / "openapi" / "examples"
AXE = (ROOT / "tests" / "node_modules" / "axe-core" / "axe.min.js").read_text("utf-8")

ELEVATION = "6150 ft"


def performance():
    return json.loads((EXAMPLES / "performance.json").read_text("utf-8"))


def comparison():
    """The example, with what the engine and its propeller bought told as one."""
    asked = json.loads((EXAMPLES / "comparison.json").read_text("utf-8"))
    for change in asked["options"][0]["changes"][:2]:
        change["group"] = "engine and propeller"
    return asked | {"shares": True, "targets": [{"measure": "best_climb_rate", "at_least": "600 ft/min"}]}


def club(**more):
    """Settings of the elements for conditions and balance: the aeroplane of the example, a strip, and limits."""
    asked = performance()
    limits = [
        {"measure": "density_altitude", "at_most": "9000 ft"},
        {"measure": "best_climb_rate", "at_least": "300 ft/min"},
        {"measure": "takeoff_margin", "at_least": "150 m"},
    ]
    return {
        "aircraft": asked["aircraft"],
        "loadings": asked["loadings"],
        "strip": asked["strip"] | {"elevation": ELEVATION},
        "limits": limits,
    } | more


def ask(address, operation, body, query=""):
    """The service's own answer to a POST, a refusal too."""
    request = urllib.request.Request(
        f"{address}/v1/{operation}{query}", json.dumps(body).encode(), {"Content-Type": "application/json"}
    )
    try:
        with urllib.request.urlopen(request, timeout=60) as reply:
            return json.load(reply)
    except urllib.error.HTTPError as refused:
        return json.load(refused)


def element(name, settings=None, attributes="", inside=""):
    """One element as a page holds it; `</script>` in a name must not end the block."""
    block = "" if settings is None else json.dumps(settings).replace("<", "\\u003c")
    script = f'<script type="application/json">{block}</script>' if block else ""
    return f"<climbwright-{name} {attributes}>{inside}{script}</climbwright-{name}>"


def document(body, *, script="/elements.js", lang="en", head=""):
    scripts = f'<script type="module" src="{script}"></script>' if script else ""
    return (
        f'<!doctype html><html lang="{lang}"><head><meta charset="utf-8"><title>Example Mesa Flyers</title>'
        '<meta name="viewport" content="width=device-width, initial-scale=1"><link rel="icon" href="data:,">'
        f"{head}{scripts}</head><body><main><h1>Example Mesa Flyers</h1>{body}</main></body></html>"
    )


@contextlib.contextmanager
def serving_pages(pages, headers=None, port=0):
    """An origin that serves these documents by their paths and our script, and nothing else."""

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self):
            path = self.path.partition("?")[0]
            known = pages | {"/elements.js": SCRIPT.read_text("utf-8")}
            self.send_response(200 if path in known else 404)
            kinds = {".js": "text/javascript", ".json": "application/json", ".css": "text/css"}
            self.send_header("Content-Type", kinds.get(Path(path).suffix, "text/html; charset=utf-8"))
            for name, value in (headers or {}).items():
                self.send_header(name, value)
            self.end_headers()
            self.wfile.write(known.get(path, "").encode())

        def log_message(self, *words):
            pass

    with ThreadingHTTPServer(("127.0.0.1", port), Handler) as server:
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        try:
            yield f"http://127.0.0.1:{server.server_port}"
        finally:
            server.shutdown()
            thread.join()


def accessibility_faults(page):
    """What axe-core finds, in the shadow roots too: rule and place."""
    page.evaluate(AXE)
    found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    return [(fault["id"], [node["target"] for node in fault["nodes"]]) for fault in found["violations"]]


def number(text):
    """A number as the elements write it in English."""
    return float(text.replace("\u202f", "").replace("−", "-").split()[0])


def exact(locator):
    """The exact value behind a figure."""
    return float(locator.get_attribute("value"))
