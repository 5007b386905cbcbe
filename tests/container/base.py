"""A base image made on the spot, where no registry of images is to be had.

It is a Debian by debootstrap with this machine's CPython in the place where the official image has it, under the name
of the official image. So it stands in a store of its own, where no other build can meet it.
"""

import hashlib
import os
import shutil
import subprocess
import tempfile
from pathlib import Path

from .engine import CACHE, Unable, buildah, run, which

NAME = "docker.io/library/python:3.12-slim-bookworm"
# The libraries that CPython is linked with, and what the official image installs.
LIBRARIES = "ca-certificates,libbz2-1.0,libffi8,liblzma5,libsqlite3-0,libssl3,libuuid1,netbase,tzdata,zlib1g"
RECIPE = hashlib.sha256(Path(__file__).read_bytes()).hexdigest()


def base_image():
    """The base image, made where the store has none of this recipe."""
    wanted = ("inspect", "--type", "image", "--format", '{{index .OCIv1.Config.Labels "recipe"}}', NAME)
    if buildah(*wanted, check=False).stdout.strip() == RECIPE:
        return
    python = _cpython()
    CACHE.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=CACHE) as place:
        folder = Path(place) / "root"
        folder.mkdir()
        try:
            made = run("debootstrap", "--variant=minbase", f"--include={LIBRARIES}", "bookworm", folder, check=False)
        finally:
            for mounted in filter(os.path.ismount, (folder / "proc", folder / "sys")):
                run("umount", mounted)  # left where debootstrap was ended: the folder is about to be removed
        if made.returncode:
            raise Unable(f"debootstrap makes no Debian here: {(made.stdout + made.stderr).strip()[-300:]}")
        _install(python, folder)
        _commit(folder)


def _cpython():
    """The folder of a CPython 3.12 that stands alone: Debian's own is spread over the system."""
    for command in ("python3.12", *Path.home().glob(".pyenv/versions/3.12.*/bin/python3.12")):
        if which(str(command)) is None:
            continue
        asked = subprocess.run([command, "-c", "import sys; print(sys.base_prefix)"], capture_output=True, text=True)
        prefix = Path(asked.stdout.strip() or "/usr")
        if prefix != Path("/usr"):
            return prefix
    raise Unable("there is no CPython 3.12 of its own folder (pyenv has one) to put into a base image")


def _install(python, folder):
    """CPython under /usr/local, less what the official image leaves out as well."""
    place = folder / "usr" / "local"
    library = Path("lib", "python3.12")
    left_out = ("__pycache__", "test", "tests", "idle_test", "*.a", "*.pyc", "site-packages", "config-3.12-*")
    shutil.copytree(python / library, place / library, symlinks=True, ignore=shutil.ignore_patterns(*left_out))
    (place / library / "site-packages").mkdir()
    shutil.copy2(python / "bin" / "python3.12", place / "bin" / "python3.12")
    for name in ("python", "python3"):
        (place / "bin" / name).symlink_to("python3.12")
    for shared in (python / "lib").glob("libpython3*.so*"):
        shutil.copy2(shared, place / "lib", follow_symlinks=False)
    if which("strip"):
        run("strip", place / "bin" / "python3.12", *(place / "lib").glob("libpython3.12.so.*"))
    run("chroot", folder, "/sbin/ldconfig")
    run("chroot", folder, "/usr/local/bin/python", "-m", "ensurepip")
    for rubbish in (
        "var/cache/apt",
        "var/lib/apt/lists",
        "var/log",
        "usr/share/doc",
        "usr/share/man",
        "usr/share/locale",
    ):
        shutil.rmtree(folder / rubbish)
        (folder / rubbish).mkdir()
    for compiled in list((place / "lib").rglob("__pycache__")):
        shutil.rmtree(compiled)


def _commit(folder):
    container = buildah("from", "scratch").stdout.strip()
    buildah("copy", container, folder, "/")
    path = "PATH=/usr/local/bin:/usr/local/sbin:/usr/sbin:/usr/bin:/sbin:/bin"
    buildah("config", "--env", path, "--env", "LANG=C.UTF-8", "--label", f"recipe={RECIPE}", container)
    buildah("commit", "--rm", "--format", "docker", container, NAME)
