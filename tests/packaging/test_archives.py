"""The wheel and the source archive: what they carry, and that an installed wheel opens from anywhere."""

import re
import shutil
import subprocess
import sys
import sysconfig
import tarfile
import urllib.request
import venv
import zipfile
from http.cookiejar import CookieJar
from pathlib import Path

import pytest

import catalogue
from tests.running import ROOT, start, surroundings

BUILD = """
import sys
from setuptools import build_meta
folder = sys.argv[1]  # each build writes an argv of its own
build_meta.build_wheel(folder)
build_meta.build_sdist(folder)
"""
# What a checkout holds that no archive may be built from or carry.
LEFT_OUT = (".git", ".venv", "build", "*.egg-info", "__pycache__", ".*_cache", ".hypothesis", "node_modules")
CARRIED = {
    path.relative_to(ROOT).as_posix()
    for top in ("templates", "static")
    for path in (ROOT / top).rglob("*")
    if path.is_file()
}
TABLES = {
    path.relative_to(ROOT).as_posix()
    for top in ("catalogue", "dating")
    for ending in ("*.csv", "*.sqlite3")
    for path in (ROOT / top).rglob(ending)
}
DEMO = {
    path.relative_to(ROOT).as_posix()
    for pattern in ("pictures/*.jpg", "pictures/*.webp", "scenario/*.toml")
    for path in (ROOT / "demo_fixtures").glob(pattern)
}


def code_of(tops: tuple[str, ...]) -> set[str]:
    return {path.relative_to(ROOT).as_posix() for top in tops for path in (ROOT / top).rglob("*.py")}


@pytest.fixture(scope="module")
def archives(tmp_path_factory) -> tuple[Path, Path]:
    """The wheel and the source archive, built from a copy of this checkout without any network."""
    folder = tmp_path_factory.mktemp("archives")
    copy = folder / "checkout"
    shutil.copytree(ROOT, copy, ignore=shutil.ignore_patterns(*LEFT_OUT))
    run = subprocess.run(
        [sys.executable, "-c", BUILD, str(folder)], cwd=copy, capture_output=True, text=True, check=False
    )
    assert run.returncode == 0, run.stderr
    (wheel,), (source,) = folder.glob("*.whl"), folder.glob("*.tar.gz")
    return wheel, source


def test_the_checkout_has_something_to_carry():
    assert len(CARRIED) > 100
    assert len(TABLES) > 10
    assert len(DEMO) > 100


def test_the_wheel_carries_code_pages_styles_tables_and_the_demo(archives):
    with zipfile.ZipFile(archives[0]) as wheel:
        names = {name for name in wheel.namelist() if ".dist-info/" not in name}
    inside = {f"catalogue/{name}" for name in CARRIED}
    assert inside | TABLES | DEMO | code_of(("catalogue", "dating", "demo_fixtures")) == names


def test_both_carry_the_licence_and_the_one_version(archives):
    name = f"siltmark-{catalogue.__version__}"
    assert archives[0].name.startswith(f"{name}-") and archives[1].name == f"{name}.tar.gz"
    with zipfile.ZipFile(archives[0]) as wheel:
        about = wheel.read(f"{name}.dist-info/METADATA").decode()
        assert wheel.read(f"{name}.dist-info/licenses/LICENSE") == (ROOT / "LICENSE").read_bytes()
    assert f"\nVersion: {catalogue.__version__}\n" in about and "\nLicense-Expression: MIT\n" in about
    with tarfile.open(archives[1]) as source:
        assert f"{name}/LICENSE" in source.getnames()


def test_the_source_archive_carries_what_building_and_testing_need(archives):
    with tarfile.open(archives[1]) as source:
        names = {name.partition("/")[2] for name in source.getnames()}
    files = {"manage.py", "setup.py", "pyproject.toml", "MANIFEST.in", "README.md", "DEVELOPERS.md"}
    code = code_of(("catalogue", "dating", "demo_fixtures", "tests"))
    cases = {p.relative_to(ROOT).as_posix() for p in (ROOT / "tests").rglob("*.json*")}
    assert files | CARRIED | TABLES | DEMO | code | cases <= names
    assert not [name for name in names if "__pycache__" in name]


@pytest.fixture(scope="module")
def installed(archives, tmp_path_factory) -> Path:
    """The command of a wheel installed where this checkout is unknown; what it needs is shared with us."""
    place = tmp_path_factory.mktemp("environment")
    venv.create(place, with_pip=False)
    scripts = place / ("Scripts" if sys.platform == "win32" else "bin")
    subprocess.run(
        [sys.executable, "-m", "pip", "--python", str(scripts / "python"), "install"]
        + ["-q", "--no-deps", "--no-index", "--disable-pip-version-check", str(archives[0])],
        check=True,
    )
    (site,) = place.rglob("site-packages")
    # Only now, or pip would find this checkout's own install. Its .pth files are not read from here.
    shared = sysconfig.get_paths()["purelib"]
    (site / "shared.pth").write_text(f"{shared}\n", encoding="utf-8")
    return scripts / "siltmark"


@pytest.fixture(scope="module")
def running(installed, tmp_path_factory):
    """Its demo, open, started from a folder that is not the checkout."""
    home = tmp_path_factory.mktemp("home")
    opened = start(home, "--demo", program=installed)
    yield opened
    opened.stop()


def test_the_installed_command_opens_the_demo_from_another_folder(running):
    browser = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(CookieJar()))
    browser.open(running.link).close()
    with browser.open(f"{running.base}/finds/") as page:
        shown = page.read().decode()
    assert re.search(r'href="/finds/20\d\d\.\d+\.\d+/"', shown)
    styles = re.findall(r'href="(/static/[^"]+\.css)', shown)
    assert styles
    for address in styles:
        with browser.open(running.base + address) as sheet:
            kept = ROOT / address.lstrip("/")
            assert sheet.read() == kept.read_bytes()


def test_it_ends_when_asked(running):
    assert running.stop() == 0
    assert "Traceback" not in running.log.read_text()


def test_its_other_commands_and_its_own_name(installed, tmp_path):
    ended = subprocess.run(
        [installed, "start", "--everywhere"], cwd=tmp_path, env=surroundings(tmp_path), capture_output=True
    )
    assert ended.returncode == 2
    assert b"siltmark start --help lists what is" in ended.stderr
    checked = subprocess.run(
        [installed, "check"], cwd=tmp_path, env=surroundings(tmp_path), capture_output=True
    )
    assert checked.returncode == 0, checked.stderr
    assert list(tmp_path.iterdir()) == []
