"""The run of a few minutes (`tests/quick.py`): what of a small folder of tests it takes."""

import os
import subprocess
import sys
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path

import pytest

from tests.quick import TODAY, one_of_each, seed_of
from tests.running import ROOT

NAMES = ("m.py::a[1]", "m.py::b", "m.py::a[2]", "n.py::a[x]", "n.py::K::a[[]", "m.py::a[3]", "n.py::K::a[]]")
SMALL = {
    "test_kept.py": """
import subprocess, sys
import pytest
@pytest.fixture(scope="session", params=["one", "two"])
def costly(request):
    return request.param
@pytest.mark.parametrize("number", range(9))
def test_of_nine(number): pass
def test_alone(): pass
def test_of_two(costly): pass
class TestIt:
    @pytest.mark.parametrize("number", range(4))
    def test_of_four(self, number): pass
def test_program():
    try:
        subprocess.run([sys.executable, "-c", "open('begun', 'w')"], check=True)
    except Exception:
        pass
def test_after(): subprocess.Popen
""",
    "whole/test_left_out.py": "raise RuntimeError('this was read')",
    "pytest.ini": "[pytest]\nquick_leaves_out = whole",
}
Run = Callable[..., tuple[int, str]]


@pytest.fixture
def run(tmp_path: Path) -> Run:
    """Pytest, with this plugin alone, in a folder of a few tests: how it ended, and what it said."""
    for name, text in SMALL.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text(text)

    def run(*words: str) -> tuple[int, str]:
        plugins = ["-p", "no:cacheprovider", "-p", "tests.quick", "--rootdir", str(tmp_path)]
        kept = {key: value for key, value in os.environ.items() if not key.startswith(("PYTEST", "COV_"))}
        ended = subprocess.run(
            [sys.executable, "-m", "pytest", "-v", *plugins, *words],
            env=kept | {"PYTHONPATH": str(ROOT), "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1"},
            cwd=tmp_path, capture_output=True, text=True,
        )  # fmt: skip
        return ended.returncode, ended.stdout + ended.stderr

    return run


def functions(names: Sequence[str]) -> set[str]:
    return {name.partition("[")[0] for name in names}


def ran(said: str) -> set[str]:
    """The tests that a run names, with how each ended."""
    return {line.partition("%")[0].rpartition(" [")[0].strip() for line in said.splitlines() if "::" in line}


@pytest.mark.parametrize("seed", [0, 1, 739_950, 999_999_999])
def test_each_function_has_one_case(seed: int) -> None:
    chosen = [NAMES[place] for place in one_of_each(NAMES, seed)]
    assert functions(chosen) == functions(NAMES) and len(chosen) == len(functions(NAMES))


def test_days_that_follow_each_other_go_over_every_case() -> None:
    names = [f"m.py::a[{n}]" for n in range(7)] + [f"m.py::b[{n}]" for n in range(3)]
    day = 739_950
    days = [one_of_each(names, day + n) for n in range(7)]
    assert set().union(*days) == set(range(10))
    assert days[0] == one_of_each(names, day) != days[1]


def test_of_all_folders_two_days_go_over_every_function_and_a_fortnight_over_every_case() -> None:
    names = [f"m.py::{letter}[{n}]" for letter in "abcdefgh" for n in range(4)]
    day = 739_950
    days = [one_of_each(names, day + n, every_other=True) for n in range(14)]
    today, tomorrow = (functions([names[place] for place in places]) for places in days[:2])
    assert today | tomorrow == functions(names) and not today & tomorrow
    assert 0 < len(today) < 8
    assert set().union(*days) == set(range(32))


def test_not_every_function_begins_with_its_first_case() -> None:
    names = [f"m.py::{letter}[{n}]" for letter in "abcdefgh" for n in range(5)]
    assert len({place % 5 for place in one_of_each(names, 0)}) > 2


def test_a_day_has_its_seed() -> None:
    assert seed_of("7") == 7
    assert abs(seed_of(TODAY) - date.today().toordinal()) <= 1  # midnight may pass between the two


@pytest.mark.parametrize("typed", ["x", "-1", "1.5", "²", "9" * 10, "tests/house"])
def test_what_is_no_seed_is_refused(typed: str) -> None:
    with pytest.raises(pytest.UsageError, match="takes a whole number") as why:
        seed_of(typed)
    assert repr(typed) in str(why.value)


def test_without_a_name_it_takes_every_other_function(run: Run) -> None:
    one, two = (ran(run(f"--quick={seed}")[1]) for seed in (4, 5))
    first, second = (functions([line.split()[0] for line in lines]) for lines in (one, two))
    assert len(first | second) == 6 and not first & second
    spread = run("--quick=4", "-p", "xdist.plugin", "-n", "2")[1]
    assert "one case of every other function" in spread
    assert spread.count(" PASSED ") == sum(line.endswith("PASSED") for line in one)


def test_a_quick_run_takes_one_of_each_and_starts_no_program(run: Run, tmp_path: Path) -> None:
    code, said = run("--quick=5", ".")
    names = {line.split()[0] for line in ran(said)}
    assert code == 0, said
    assert len(names) == 6 and functions(sorted(names)) == {
        f"test_kept.py::{name}"
        for name in ("test_of_nine", "test_alone", "test_of_two", "TestIt::test_of_four", "test_program")
    } | {"test_kept.py::test_after"}
    # the test swallows every exception, and yet
    assert "test_program SKIPPED" in said and not (tmp_path / "begun").exists()
    assert "test_after PASSED" in said
    assert "--quick=5: 6 tests, one case of each function; left out are 12 others" in said
    assert "1 files and folders" in said and "this was read" not in said
    assert ran(run("--quick=5", ".")[1]) == ran(said) != ran(run("--quick=6", ".")[1])


def test_workers_take_the_same_and_tell_of_it_once(run: Run) -> None:
    alone, spread = run("--quick=5", "."), run("--quick=5", ".", "-p", "xdist.plugin", "-n", "2")
    assert spread[0] == 0 and spread[1].count("left out are 12 others") == 1, spread[1]
    assert alone[1].count(" PASSED") == spread[1].count(" PASSED ") == 5


def test_the_whole_run_is_left_alone(run: Run, tmp_path: Path) -> None:
    (tmp_path / "whole/test_left_out.py").write_text("def test_it(): pass")
    code, said = run()
    assert code == 0 and "19 passed" in said and "left out" not in said
    assert (tmp_path / "begun").exists()


def test_a_wrong_seed_ends_the_run_with_one_sentence(run: Run) -> None:
    code, said = run("--quick=soon")
    assert code == pytest.ExitCode.USAGE_ERROR
    assert said.strip().count("\n") == 0 and "'soon' is none" in said


def test_what_it_leaves_out_is_there(pytestconfig: pytest.Config) -> None:
    assert [path for path in pytestconfig.getini("quick_leaves_out") if not path.exists()] == []
