"""Licence, version and dependencies: each said once, and everywhere the same."""

import subprocess
import sys
import tomllib
from importlib.metadata import version as installed_version
from itertools import chain

import pytest
from packaging.requirements import Requirement
from packaging.version import Version

import catalogue
from tests.running import ROOT, surroundings

PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
RUNNING = PROJECT["project"]["dependencies"]
EXTRAS = PROJECT["project"]["optional-dependencies"]
NEEDED = [*PROJECT["build-system"]["requires"], *RUNNING, *chain.from_iterable(EXTRAS.values())]
# Releases before it have known holes.
SAFE_WAITRESS = Version("3.0.1")


def bounds(line: str) -> tuple[Version, Version]:
    """Floor and ceiling of a requirement; a KeyError where one is missing."""
    found = {each.operator: Version(each.version) for each in Requirement(line).specifier}
    return found[">="], found["<"]


@pytest.mark.parametrize("line", NEEDED)
def test_each_dependency_has_a_floor_at_a_release_and_a_ceiling(line):
    floor, ceiling = bounds(line)
    assert len(floor.release) >= 2 and floor < ceiling
    # the next major, or the next minor of what has no major yet (and of Django)
    assert ceiling.release[0] <= floor.release[0] + 1


@pytest.mark.parametrize("line", [*RUNNING, *EXTRAS["test"]])
def test_what_it_is_tested_with_lies_within(line):
    wanted = Requirement(line)
    assert wanted.specifier.contains(installed_version(wanted.name))


def test_the_server_is_one_without_known_holes():
    (line,) = [line for line in RUNNING if Requirement(line).name == "waitress"]
    assert bounds(line)[0] >= SAFE_WAITRESS


def test_the_licence_is_named_and_there():
    assert PROJECT["project"]["license"] == "MIT"
    (name,) = PROJECT["project"]["license-files"]
    assert (
        (ROOT / name).read_text(encoding="utf-8").startswith("MIT License\n\nCopyright (c) 2026 The Siltmark")
    )


def test_the_version_is_said_once():
    assert PROJECT["project"]["dynamic"] == ["version"] and "version" not in PROJECT["project"]
    assert PROJECT["tool"]["setuptools"]["dynamic"]["version"] == {"attr": "catalogue.__version__"}


@pytest.mark.parametrize("word", ["--version", "version"])
def test_the_command_says_its_own_version(tmp_path, word):
    said = subprocess.run(
        [sys.executable, str(ROOT / "manage.py"), word],
        env=surroundings(tmp_path),
        capture_output=True,
        text=True,
        check=True,
    )
    assert said.stdout == f"Siltmark {catalogue.__version__}\n"
