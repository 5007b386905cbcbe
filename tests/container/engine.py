"""What builds and runs the image here: buildah and podman with a store of their own, and a base image made on the spot.

No registry of images is asked. The base image is a Debian by debootstrap with this machine's CPython in the place where the
official one has it, under the official one's name; so it has a store of its own, where no other build can meet it.
"""

import os
import shutil
import subprocess
from pathlib import Path

from ..serving import ROOT

BASE = "docker.io/library/python:3.12-slim-bookworm"
NEEDED = ("buildah", "podman", "debootstrap", "runc")
CACHE = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "climbwright-container-tests"
STORE = ("--root", str(CACHE / "store"), "--runroot", str(CACHE / "run"), "--storage-driver", "overlay")
AUTHORITIES = Path("/etc/ssl/certs/ca-certificates.crt")
# The libraries that CPython is linked with, and what the official image installs.
LIBRARIES = "ca-certificates,libbz2-1.0,libffi8,liblzma5,libsqlite3-0,libssl3,libuuid1,netbase,tzdata,zlib1g"
_PATH = f"{os.environ.get('PATH', '')}:/usr/sbin:/sbin"


class Unable(Exception):
    """Why images cannot be built or run on this machine."""


def run(*command, seconds=600, check=True, **options):
    """A command to its end, with what it wrote."""
    done = subprocess.run(
        [str(part) for part in command],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=seconds,
        env=os.environ | {"PATH": _PATH},
        **options,
    )
    if check and done.returncode:
        raise AssertionError(f"{' '.join(map(str, command))}\n{done.stdout[-3000:]}\n{done.stderr[-3000:]}")
    return done


def podman(*arguments, **options):
    return run("podman", *STORE, "--cgroup-manager", "cgroupfs", "--runtime", which("runc"), *arguments, **options)


def buildah(*arguments, **options):
    return run("buildah", *STORE, *arguments, **options)


def which(program):
    return shutil.which(program, path=_PATH)


def require():
    """Raise Unable where a tool is missing."""
    missing = [program for program in NEEDED if which(program) is None]
    if missing:
        raise Unable(f"{', '.join(missing)} not installed: tests/run --container installs what Debian has of them")
    if os.geteuid() != 0:
        raise Unable("debootstrap needs root")


def base_image():
    """The base image, made if the store has none."""
    if buildah("inspect", "--type", "image", BASE, check=False).returncode == 0:
        return
    python = _cpython()
    CACHE.mkdir(parents=True, exist_ok=True)
    folder = CACHE / "base"
    shutil.rmtree(folder, ignore_errors=True)
    try:
        made = run("debootstrap", "--variant=minbase", f"--include={LIBRARIES}", "bookworm", folder, check=False)
        if made.returncode:
            raise Unable(f"debootstrap cannot make a Debian here: {(made.stdout + made.stderr).strip()[-300:]}")
        _install(python, folder)
        container = buildah("from", "scratch").stdout.strip()
        buildah("copy", container, folder, "/")
        buildah("config", "--env", "PATH=/usr/local/bin:/usr/bin:/bin:/usr/sbin:/sbin", "--env", "LANG=C.UTF-8", container)
        buildah("commit", "--rm", "--format", "docker", container, BASE)
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _cpython():
    """The folder of a CPython 3.12 that was built to stand alone, not one of the system's packages."""
    for command in ("python3.12", *Path.home().glob(".pyenv/versions/3.12.*/bin/python3.12")):
        asked = subprocess.run(
            [command, "-c", "import sys; print(sys.version_info[:2], sys.base_prefix)"], capture_output=True, text=True
        ) if which(str(command)) else None
        if asked and asked.returncode == 0 and asked.stdout.startswith("(3, 12)"):
            prefix = asked.stdout.split(") ", 1)[1].strip()
            if prefix != "/usr":
                return Path(prefix)
    raise Unable("there is no CPython 3.12 apart from the system's to put into a base image")


def _install(python, folder):
    """CPython under /usr/local, less what the official image leaves out as well."""
    place = folder / "usr" / "local"
    library = "lib/python3.12"
    leave = shutil.ignore_patterns("__pycache__", "test", "tests", "idle_test", "*.a", "*.pyc", "site-packages", "config-3.12-*")
    shutil.copytree(python / library, place / library, symlinks=True, ignore=leave)
    (place / library / "site-packages").mkdir()
    (place / "bin").mkdir(exist_ok=True)
    shutil.copy2(python / "bin" / "python3.12", place / "bin" / "python3.12")
    for shared in (python / "lib").glob("libpython3*.so*"):
        shutil.copy2(shared, place / "lib", follow_symlinks=False)
    for name in ("python", "python3"):
        (place / "bin" / name).symlink_to("python3.12")
    inside = ("chroot", folder)
    run(*inside, "/sbin/ldconfig")
    run(*inside, "/usr/local/bin/python", "-m", "ensurepip")
    for rubbish in ("var/cache/apt/archives", "var/lib/apt/lists", "usr/share/doc", "usr/share/man", "usr/share/locale"):
        shutil.rmtree(folder / rubbish, ignore_errors=True)
        (folder / rubbish).mkdir(parents=True)
    for compiled in list((place / "lib").rglob("__pycache__")):
        shutil.rmtree(compiled)


def build(extras=""):
    """The image's name, built of the repository as it stands."""
    name = "localhost/climbwright-test:" + (extras.replace(" ", "-") or "plain")
    secret = ("--secret", f"id=ca,src={AUTHORITIES}") if AUTHORITIES.exists() else ()
    buildah(
        *("bud", "--format", "docker", "--isolation", "chroot", "--pull-never", "--layers", *secret),
        *("--build-arg", f"EXTRAS={extras}", "--file", ROOT / "docker" / "Containerfile", "--tag", name, ROOT),
        seconds=1200,
    )
    return name


def size(name):
    """Bytes of all layers of an image."""
    return int(podman("image", "inspect", "--format", "{{.Size}}", name).stdout)
