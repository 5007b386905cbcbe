"""Install, serve, show: the body of service/start. Standard library only, since nothing is installed yet."""

import argparse
import contextlib
import errno
import hashlib
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path
from types import FrameType

ROOT = Path(__file__).resolve().parents[1]
VENV = ROOT / ".venv"
PYTHON = VENV / "bin" / "python"
SERVICE = [ROOT / "service" / "requirements.lock", ROOT / "service" / "requirements-fleet.lock"]
LOCKS = {
    "service": SERVICE,
    "test": [*SERVICE, ROOT / "service" / "requirements-traces.lock", ROOT / "service" / "requirements-test.lock"],
}
# The packages of this repository that are installed as they stand.
OURS = {"service": [ROOT], "test": [ROOT, ROOT / "clients" / "python"]}
EXAMPLE = ROOT / "openapi" / "examples" / "comparison.json"
INSTALL_LOG = VENV / "install.log"
FITS = "import sys, pip; sys.exit(not (3, 11) <= sys.version_info < (3, 14))"
NAME = f"python{sys.version_info.major}.{sys.version_info.minor}"
# How pip says that there is no way to an index; with few retries it only says that no index has a locked package.
UNREACHED = re.compile(
    r"NewConnectionError|NameResolutionError|ConnectTimeout|ProxyError|SSLError|name resolution|"
    r"Network is unreachable|Connection refused|Read timed out|from versions: none"
)
SECONDS_TO_START = 60
SECONDS_TO_STOP = 5

# Proxies in the environment are for other machines; the service is on this one.
direct = urllib.request.build_opener(urllib.request.ProxyHandler({}))


class Failure(Exception):
    """What went wrong, in words for the person at the keyboard."""


def say(text: str) -> None:
    """One line of progress; standard output is kept for the answer."""
    print(text, file=sys.stderr, flush=True)


class Child:
    """A program in a process group of its own, which ends with us: by Ctrl-C, SIGTERM or SIGHUP too."""

    running: "Child | None" = None
    asked = 0  # the signal that asked us to end
    held = False  # starting or ending a child: a signal waits

    def __init__(self, command: list[str | Path], log: Path) -> None:
        # Without our variables for Python, which could bring in another environment's packages.
        environment = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
        self.log = log
        Child.held = True
        with log.open("ab") as output:
            self.process = subprocess.Popen(
                command,
                cwd=ROOT,
                env=environment,
                stdin=subprocess.DEVNULL,
                stdout=output,
                stderr=output,
                start_new_session=True,
            )
        Child.running = self
        Child.held = False
        if Child.asked:
            raise SystemExit(128 + Child.asked)

    @staticmethod
    def on_signal(number: int, _frame: FrameType | None) -> None:
        """End us, but never between a child's start and our knowing of it."""
        Child.asked = number
        if not Child.held:
            raise SystemExit(128 + number)

    @classmethod
    def end(cls) -> None:
        """End the running child and all that it started."""
        cls.held = True
        if cls.running is None:
            return
        process, cls.running = cls.running.process, None
        if process.poll() is None:
            process.terminate()  # gunicorn passes it on to its workers
            with contextlib.suppress(subprocess.TimeoutExpired):
                process.wait(SECONDS_TO_STOP)
        with contextlib.suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
        process.wait()


def run(command: list[str | Path], log: Path) -> bool:
    """Run a command to its end; whether it went well."""
    child = Child(command, log)
    code = child.process.wait()
    Child.running = None
    return code == 0


def usable() -> bool:
    """Whether .venv has a working Python of ours and pip, and was made here: its programs know its full path."""
    activate = VENV / "bin" / "activate"
    if not (PYTHON.exists() and activate.exists() and str(VENV) in activate.read_text(errors="replace")):
        return False
    return subprocess.run([PYTHON, "-I", "-c", FITS], stderr=subprocess.DEVNULL).returncode == 0


def make_environment() -> None:
    """.venv at the root, made anew when it is not usable."""
    if usable():
        return
    try:
        import ensurepip  # noqa: F401  Debian packs it apart from Python
        import venv  # noqa: F401
    except ImportError:
        raise Failure(
            "this Python cannot make an environment: on Debian or Ubuntu, apt-get install python3-venv "
            f"(for this Python: {NAME}-venv)."
        ) from None
    say(f"Making the environment in .venv ({NAME}) ...")
    shutil.rmtree(VENV, ignore_errors=True)
    VENV.mkdir(exist_ok=True)
    if not run([sys.executable, "-I", "-m", "venv", VENV], INSTALL_LOG):
        raise Failure(f"the environment cannot be made: {last_lines(INSTALL_LOG, 1)}")


def install(wanted: str) -> None:
    """Environment, locked packages and the package itself; nothing if they are there already."""
    make_environment()
    locks = LOCKS[wanted]
    projects = [package / "pyproject.toml" for package in OURS[wanted]]
    state = hashlib.sha256(b"\0".join(path.read_bytes() for path in [*locks, *projects])).hexdigest()
    stamp = VENV / f"installed-{wanted}"
    if stamp.exists() and stamp.read_text() == state:
        return
    say(f"Installing the locked packages ({wanted}) ...")
    pip: list[str | Path] = [PYTHON, "-I", "-m", "pip", "--disable-pip-version-check", "--no-input", "install"]
    steps: list[list[str | Path]] = [["--require-hashes", "-r", lock] for lock in locks]
    steps += [["--no-deps", "--no-build-isolation", "-e", package] for package in OURS[wanted]]
    INSTALL_LOG.write_bytes(b"")
    for step in steps:
        if not run(pip + step, INSTALL_LOG):
            raise Failure(why_pip_failed())
    stamp.write_text(state)


def why_pip_failed() -> str:
    """In one line; the rest is in the log."""
    where = f"all that pip said is in {INSTALL_LOG.relative_to(ROOT)}"
    if UNREACHED.search(INSTALL_LOG.read_text(errors="replace")):
        return f"the packages cannot be fetched: there is no way to the package index (network? proxy?); {where}."
    return f"the packages cannot be installed: {last_lines(INSTALL_LOG, 1)} ({where})"


def last_lines(log: Path, count: int) -> str:
    """The end of a log, without blank lines."""
    lines = [line for line in log.read_text(errors="replace").splitlines() if line.strip()]
    return "\n".join(lines[-count:])


def check_port(port: int) -> None:
    """Refuse a port that we cannot have, before anything is installed or started."""
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind(("127.0.0.1", port))
        except OSError as error:
            if error.errno == errno.EADDRINUSE:
                raise Failure(f"port {port} is in use: stop what uses it, or take another: --port N.") from None
            raise Failure(f"port {port} cannot be used ({error.strerror}): take another: --port N.") from None


def serve(port: int) -> Child:
    """Gunicorn, ready to answer."""
    log = VENV / f"service-{port}.log"
    log.write_bytes(b"")
    say("Starting the service ...")
    bind = f"127.0.0.1:{port}"
    child = Child([PYTHON, "-I", "-m", "gunicorn", "-c", ROOT / "docker" / "gunicorn.conf.py", "--bind", bind], log)
    deadline = time.monotonic() + SECONDS_TO_START
    while time.monotonic() < deadline and child.process.poll() is None:
        with contextlib.suppress(OSError), direct.open(f"http://{bind}/health/ready", timeout=5):
            return child
        time.sleep(0.1)
    raise Failure(f"the service does not start; the end of {log.relative_to(ROOT)}:\n{last_lines(log, 5)}")


def compare(address: str) -> str:
    """The demo's before and after, asked for over HTTP as any client would."""
    request = urllib.request.Request(
        f"{address}/v1/comparison?format=text", EXAMPLE.read_bytes(), {"Content-Type": "application/json"}
    )
    try:
        with direct.open(request, timeout=30) as answer:
            return str(answer.read().decode())
    except urllib.error.HTTPError as problem:
        raise Failure(f"the demo was refused: {problem.code} {problem.read().decode(errors='replace')}") from None
    except OSError as error:
        raise Failure(f"the demo got no answer: {error}") from None


def arguments() -> argparse.Namespace:
    """What the command line asks for."""
    parser = argparse.ArgumentParser(
        prog="service/start",
        description="Install the service into .venv, start it, show a before-and-after answer, and serve on.",
    )
    parser.add_argument("--port", type=int, default=8000, metavar="N", help="port on 127.0.0.1 (8000)")
    parser.add_argument("--once", action="store_true", help="end after the answer")
    parser.add_argument("--install", choices=LOCKS, help="install only: what the service or what its tests need")
    given = parser.parse_args()
    if not 1 <= given.port <= 65535:
        parser.error("--port takes 1 to 65535")
    return given


def main() -> None:
    """Do what the command line asks for."""
    given = arguments()
    if given.install:
        install(given.install)
        return
    check_port(given.port)
    install("service")
    child = serve(given.port)
    address = f"http://127.0.0.1:{given.port}"
    print(compare(address), flush=True)
    if given.once:
        return
    say(f"Try it {address}/   Reference {address}/docs   Contract {address}/openapi.json")
    say(f"Serving; log in {child.log.relative_to(ROOT)}. Ctrl-C stops it.")
    child.process.wait()
    raise Failure(f"the service has ended; the end of its log:\n{last_lines(child.log, 5)}")


if __name__ == "__main__":
    sys.stdout.reconfigure(errors="replace")
    for asking in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
        # Under nohup the hang-up stays ignored.
        if asking != signal.SIGHUP or signal.getsignal(asking) != signal.SIG_IGN:
            signal.signal(asking, Child.on_signal)
    try:
        main()
    except (Failure, OSError) as failure:
        say(f"start: {failure}")
        sys.exit(1)
    finally:
        Child.end()
