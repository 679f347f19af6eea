"""`--quick[=SEED]`: the run of a few minutes, for whoever is at work on the code.

Of every other test function one case of its parameters, of a folder or a file that is named of each function,
and nothing that starts another program: folders and files of such tests are not even read (`quick_leaves_out`
in pyproject.toml), and where another test is about to start one it is skipped. Which functions and which case
is a matter of the day: the seed is the day's number, one more each day, so that two days go over every
function, and a fortnight over seven cases of each. The seed is printed with what was left out, and chooses
the same again when it is given.
"""

import subprocess
from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import Any, Final
from unittest.mock import patch
from zlib import crc32

import pytest
from hypothesis import settings

TODAY: Final = "today"
LONGEST_SEED: Final = 9
# Of a property; the whole run tries a hundred where the test itself names no number.
EXAMPLES: Final = 10
LEFT_OUT_KEY: Final = "quick_left_out"
SEED_KEY: Final = "quick_seed"


def seed_of(typed: str) -> int:
    """The seed that was given, else the day's number. Raises UsageError for what is no whole number."""
    if typed == TODAY:
        return date.today().toordinal()
    if not (typed.isascii() and typed.isdigit() and len(typed) <= LONGEST_SEED):
        raise pytest.UsageError(
            f"--quick takes a whole number of up to {LONGEST_SEED} figures as its seed, and "
            f"{typed!r} is none: name folders and files before it, or write --quick=1."
        )
    return int(typed)


def one_of_each(names: Sequence[str], seed: int, *, every_other: bool = False) -> set[int]:
    """Which of the tests run, by their places: of those alike but for what is in brackets, one.

    `every_other`: of the functions those whose day it is.
    """
    alike: dict[str, list[int]] = {}
    for place, name in enumerate(names):
        alike.setdefault(name.partition("[")[0], []).append(place)
    chosen = set()
    for name, places in alike.items():
        # Each function begins elsewhere: not all with their first case on the same day.
        begins = crc32(name.encode())
        if every_other and (begins + seed) % 2:
            continue
        chosen.add(places[(begins + (seed // 2 if every_other else seed)) % len(places)])
    return chosen


def pytest_addoption(parser: pytest.Parser) -> None:
    """The option, and the list of what it never runs."""
    parser.addoption(
        "--quick",
        nargs="?",
        const=TODAY,
        metavar="SEED",
        help="one case of each test function, chosen by SEED (else by the day); no program is started",
    )
    parser.addini("quick_leaves_out", "files and folders of tests that start other programs", type="paths")


def pytest_configure(config: pytest.Config) -> None:
    """Settle the seed once, for workers too, also over midnight. Properties are short."""
    if config.option.quick is not None:
        settled: dict[str, Any] = getattr(config, "workerinput", {})
        config.option.quick = str(settled.get(SEED_KEY) or seed_of(config.option.quick))
        config.option.quick_every_other = config.args_source is not pytest.Config.ArgsSource.ARGS
        settings.register_profile("quick", settings.default, max_examples=EXAMPLES)
        settings.load_profile("quick")


@pytest.hookimpl(optionalhook=True)
def pytest_configure_node(node: Any) -> None:
    """A worker reads the command anew: what the day's number was is handed on to it."""
    if node.config.option.quick is not None:
        node.workerinput[SEED_KEY] = node.config.option.quick


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """Don't even read what starts other programs."""
    if config.option.quick is None:
        return None
    whole = config.getini("quick_leaves_out")
    return True if any(collection_path.is_relative_to(each) for each in whole) else None


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave one case of each function."""
    if config.option.quick is None:
        return
    names = [item.nodeid for item in items]
    places = one_of_each(names, int(config.option.quick), every_other=config.option.quick_every_other)
    left_out = [item for place, item in enumerate(items) if place not in places]
    items[:] = [item for place, item in enumerate(items) if place in places]
    config.hook.pytest_deselected(items=left_out)
    # A worker's goes to whoever tells of the run.
    told: dict[str, Any] = getattr(config, "workeroutput", vars(config))
    told[LEFT_OUT_KEY] = (len(items), len(left_out))


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node: Any, error: object) -> None:
    """Every worker collects the same: what one says is what there is to tell."""
    if told := getattr(node, "workeroutput", {}).get(LEFT_OUT_KEY):
        vars(node.config)[LEFT_OUT_KEY] = told


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Iterator[None]:
    """Skip a test where it is about to start a program."""
    if item.config.option.quick is None:
        return (yield)
    with patch.object(subprocess, "Popen", _NoProgram):
        return (yield)


class _NoProgram(subprocess.Popen[Any]):
    def __init__(self, args: Any, *_more: Any, **_named: Any) -> None:
        self._child_created = False  # asked for when this is forgotten
        pytest.skip(f"--quick starts no other program: {args!r:.200}")


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    """Say what was left out, and how to have the same again."""
    if config.option.quick is None:
        return
    ran, left_out = vars(config).get(LEFT_OUT_KEY, (0, 0))
    whole = len(config.getini("quick_leaves_out"))
    terminalreporter.write_line(
        f"--quick={config.option.quick}: {ran:,} tests, one case of "
        f"{'every other' if config.option.quick_every_other else 'each'} function; left out are {left_out:,} "
        f"others, what starts another program (skipped), and {whole} files and folders of such."
    )
