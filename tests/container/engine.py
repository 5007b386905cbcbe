"""buildah and podman, with a store of their own; no registry of images is asked."""

import contextlib
import json
import os
import shutil
import subprocess
import time
import urllib.error
import urllib.request
import uuid
from pathlib import Path

from ..serving import ROOT, free_port

NEEDED = ("buildah", "podman", "debootstrap", "runc")
CACHE = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "climbwright-container-tests"
STORE = ("--root", CACHE / "store", "--runroot", CACHE / "run", "--storage-driver", "overlay")
AUTHORITIES = Path("/etc/ssl/certs/ca-certificates.crt")
_PATH = f"{os.environ.get('PATH', '')}:/usr/sbin:/sbin"

# A container as it is meant to be run: nothing to write to but a small /tmp, no capability, little memory.
CONFINED = (
    *("--read-only", "--read-only-tmpfs=false", "--tmpfs", "/tmp:size=16m,mode=1777"),
    *("--cap-drop", "ALL", "--security-opt", "no-new-privileges", "--memory", "256m", "--pids-limit", "100"),
    *("--ulimit", "nofile=1024:1024", "--ulimit", "nproc=1000:1000"),
)


class Unable(Exception):
    """Why images cannot be built or run on this machine."""


def which(program):
    return shutil.which(program, path=_PATH)


def run(*command, seconds=600, check=True):
    """A command to its end, with what it wrote."""
    done = subprocess.run(
        [str(part) for part in command],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=seconds,
        env=os.environ | {"PATH": _PATH},
    )
    assert not check or done.returncode == 0, f"{command}\n{done.stdout[-3000:]}\n{done.stderr[-3000:]}"
    return done


def buildah(*arguments, **options):
    return run("buildah", *STORE, *arguments, **options)


def podman(*arguments, **options):
    return run("podman", *STORE, "--cgroup-manager", "cgroupfs", "--runtime", which("runc"), *arguments, **options)


def require():
    """Raise Unable where a tool is missing."""
    missing = [program for program in NEEDED if which(program) is None]
    if missing:
        raise Unable(f"not installed: {', '.join(missing)}")
    if os.geteuid() != 0:
        raise Unable("debootstrap needs root")


def build(extras=""):
    """The name of the image, built of the repository as it stands."""
    name = f"localhost/climbwright-test:{extras.replace(' ', '-') or 'plain'}"
    secret = ("--secret", f"id=ca,src={AUTHORITIES}") if AUTHORITIES.exists() else ()
    buildah(
        *("bud", "--format", "docker", "--isolation", "chroot", "--pull-never", "--layers", *secret),
        *("--build-arg", f"EXTRAS={extras}", "--file", ROOT / "docker" / "Containerfile", "--tag", name, ROOT),
        seconds=1200,
    )
    return name


def inspected(image):
    return json.loads(podman("image", "inspect", image).stdout)[0]


class Container:
    """A running container of the service."""

    def __init__(self, image, **settings):
        self.name = f"climbwright-test-{uuid.uuid4().hex[:8]}"
        self.port = free_port()
        self.address = f"http://127.0.0.1:{self.port}"
        given = {"GUNICORN_BIND": f"127.0.0.1:{self.port}"} | settings
        variables = [part for name, value in given.items() for part in ("--env", f"{name}={value}")]
        self._command = ("run", "--name", self.name, "--network", "host", *CONFINED, *variables)
        self._image = image
        self.seconds_to_ready = None

    def start(self):
        """Start it, until it is ready."""
        begun = time.perf_counter()
        podman(*self._command, "--detach", self._image)
        while time.perf_counter() < begun + 60:
            with contextlib.suppress(urllib.error.URLError, OSError):
                urllib.request.urlopen(f"{self.address}/health/ready", timeout=5).close()
                self.seconds_to_ready = time.perf_counter() - begun
                return
            time.sleep(0.01)
        raise AssertionError(f"not ready: {self.log()}")

    def refused(self):
        """Start it, to see it end by itself: its exit code and what it wrote."""
        done = podman(*self._command, self._image, check=False, seconds=60)
        return done.returncode, done.stdout + done.stderr

    def execute(self, *command, **variables):
        """A command inside it, to its end."""
        given = [part for name, value in variables.items() for part in ("--env", f"{name}={value}")]
        return podman("exec", *given, self.name, *command, check=False, seconds=60)

    def stop(self):
        """Stop it as an orchestrator does: its exit code, and the seconds it took."""
        begun = time.perf_counter()
        podman("stop", "--time", "50", self.name)
        seconds = time.perf_counter() - begun
        return int(podman("inspect", "--format", "{{.State.ExitCode}}", self.name).stdout), seconds

    def log(self):
        done = podman("logs", self.name, check=False)
        return done.stdout + done.stderr

    def main(self):
        """The first process, by its number out here."""
        return int(podman("inspect", "--format", "{{.State.Pid}}", self.name).stdout)

    def workers(self):
        main = self.main()
        return [int(number) for number in Path(f"/proc/{main}/task/{main}/children").read_text().split()]

    def remove(self):
        podman("rm", "--force", "--time", "0", "--ignore", self.name, check=False)


@contextlib.contextmanager
def running(image, **settings):
    """A ready container of the service, gone at the end."""
    container = Container(image, **settings)
    try:
        container.start()
        yield container
    finally:
        container.remove()
