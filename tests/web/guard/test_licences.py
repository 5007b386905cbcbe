"""What is shipped with the service may be shipped with it, and the list of it is true."""

import runpy
from importlib import metadata

import pytest

from ...serving import ROOT

LISTED = runpy.run_path(str(ROOT / "docker" / "licences.py"))
PACKAGES = sorted(LISTED["locked"]())
# What stands in every licence of a kind, whatever the package's own data call it.
WORDS = {
    "MIT": "permission is hereby granted, free of charge",
    "BSD-3-Clause": "neither the name",
    "BSD-1-Clause": "redistributions of source code must retain",
    "BSD-2-Clause": "redistribution and use in source and binary forms",
    "Apache-2.0": "apache license",
    "MPL-2.0": "mozilla public license",
    "PSF-2.0": "python software foundation",
}
FOR_OLDER_PYTHONS = {"async-timeout", "lazy-importer"}


def test_the_list_is_as_the_lock_files_say():
    assert (ROOT / "docker" / "LICENCES.md").read_text("utf-8") == LISTED["document"]()


@pytest.mark.parametrize("name", PACKAGES)
def test_a_licence_is_permissive_or_an_exception_is_made(name):
    more = LISTED["licences_in"](LISTED["licence"](name)) - LISTED["PERMISSIVE"]
    assert bool(more) == (name in LISTED["EXCEPTIONS"]), more
    assert more <= {"MPL-2.0"}  # which asks for the package's own files alone


@pytest.mark.parametrize("name", PACKAGES)
def test_the_licence_file_of_a_package_is_of_that_licence(name):
    try:
        files = metadata.distribution(name).files or []
    except metadata.PackageNotFoundError:
        assert name in FOR_OLDER_PYTHONS
        return
    texts = [file.read_text("utf-8") for file in files if file.name.upper().startswith(("LICEN", "COPYING"))]
    texts = [" ".join(text.lower().split()) for text in texts]
    if not texts:
        pytest.skip("it brings no licence file")
    named = LISTED["licences_in"](LISTED["licence"](name)) & set(WORDS)
    assert any(WORDS[licence] in text for licence in named for text in texts), named


def test_no_exception_is_made_for_what_is_not_shipped():
    assert set(LISTED["EXCEPTIONS"]) | set(LISTED["SAID"]) <= set(PACKAGES)
