"""Code runs on Windows too: nothing in it that only a Unix knows, unless it is asked for first."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.house.imports import parsed

ROOT = Path(__file__).resolve().parents[2]
FILES = [
    ROOT / "manage.py",
    *(path for top in ("catalogue", "dating", "demo_fixtures") for path in (ROOT / top).rglob("*.py")),
]
# Modules and functions that Windows lacks.
UNIX_MODULES = {"fcntl", "grp", "pwd", "resource", "syslog", "termios", "tty", "pty"}
UNIX_NAMES = {
    "chown", "fchmod", "fork", "getegid", "geteuid", "getgid", "getloadavg", "getpgid", "getuid", "killpg",
    "mkfifo", "nice", "pthread_kill", "sched_getaffinity", "setsid", "statvfs", "sysconf",
    "SIGALRM", "SIGHUP", "SIGKILL", "SIGUSR1", "SIGUSR2",
}  # fmt: skip
UNPADDED = re.compile(r"%-[a-zA-Z]")
FIXED_PLACE = re.compile(r"^/(tmp|var|dev|proc)(/|$)")
# The words of a question about the system: code below it may use what only that system has.
ASKED = ("os.name", "sys.platform", "hasattr")


def asked_first(tree: ast.AST) -> set[int]:
    """Lines of code that runs only where the system was asked about first."""
    lines: set[int] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.If | ast.IfExp) and any(word in ast.unparse(node.test) for word in ASKED):
            lines |= set(range(node.lineno, (node.end_lineno or node.lineno) + 1))
    return lines


def text_without_encoding(call: ast.Call) -> bool:
    """Whether it reads or writes text in whatever encoding the machine happens to have."""
    name = call.func.attr if isinstance(call.func, ast.Attribute) else getattr(call.func, "id", "")
    named = {keyword.arg for keyword in call.keywords}
    if "encoding" in named:
        return False
    if name in ("read_text", "write_text"):
        # In the first place for reading, in the second for writing.
        return len(call.args) <= (name == "write_text")
    if name in ("NamedTemporaryFile", "TemporaryFile", "SpooledTemporaryFile", "fdopen"):
        return any(isinstance(k.value, ast.Constant) and "b" not in str(k.value.value)
                   for k in call.keywords if k.arg == "mode")  # fmt: skip
    if name != "open":
        return False
    mode = [*call.args, *(k.value for k in call.keywords if k.arg == "mode")]
    modes = [m.value for m in mode if isinstance(m, ast.Constant) and isinstance(m.value, str)]
    built_in = isinstance(call.func, ast.Name)
    if any("b" in m for m in modes if re.fullmatch(r"[rwaxbt+]+", m)):
        return False
    # Images, sockets and the system's own `os.open` have an `open` too, without text in it.
    owner = ast.unparse(call.func.value) if isinstance(call.func, ast.Attribute) else ""
    # So do the entries of an archive.
    owner = owner.removeprefix("self.")
    return built_in or owner not in ("os", "Image", "webbrowser", "zipfile", "tarfile", "archive")


def findings(text: str) -> Iterator[str]:
    """What would fail or differ on Windows, each with its line."""
    tree = parsed(text)
    fine = asked_first(tree)
    for node in ast.walk(tree):
        line = getattr(node, "lineno", 0)
        if line in fine:
            continue
        if isinstance(node, ast.Import | ast.ImportFrom):
            names = {node.module} if isinstance(node, ast.ImportFrom) else {a.name for a in node.names}
            yield from (f"{line}: imports {name}" for name in names & UNIX_MODULES)
        elif isinstance(node, ast.Attribute) and node.attr in UNIX_NAMES:
            yield f"{line}: uses {ast.unparse(node)}"
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            if UNPADDED.search(node.value):
                yield f"{line}: {node.value!r} is a form of dates that Windows lacks"
            if FIXED_PLACE.match(node.value):
                yield f"{line}: {node.value!r} is a place that other systems lack"
        elif isinstance(node, ast.Call) and text_without_encoding(node):
            yield f"{line}: {ast.unparse(node)[:60]} does not say its encoding"


def test_there_is_code_to_look_at():
    assert len(FILES) > 300


@pytest.mark.parametrize("top", ["manage.py", "catalogue", "dating", "demo_fixtures"])
def test_nothing_needs_a_unix(top):
    wrong = [
        f"{path.relative_to(ROOT)}:{found}"
        for path in FILES
        if path.relative_to(ROOT).parts[0] == top
        for found in findings(path.read_text(encoding="utf-8"))
    ]
    assert not wrong


@pytest.mark.parametrize(
    "code",
    [
        "day.strftime('%-d %B')",
        "f'{day:%-d %b}'",
        "import fcntl",
        "import resource",
        "from pwd import getpwuid",
        "os.getuid()",
        "os.kill(1, signal.SIGKILL)",
        "Path('/tmp/x')",
        "open(name)",
        "open(name, 'w')",
        "path.open('a')",
        "path.open(newline='')",
        "path.read_text()",
        "path.write_text(words)",
    ],
)
def test_it_finds_each_kind(code):
    assert len(list(findings(code))) == 1


@pytest.mark.parametrize(
    "code",
    [
        "if os.name == 'nt':\n    import msvcrt\nelse:\n    import fcntl",
        "open(name, 'rb')",
        "path.open('xb')",
        "path.open('w', encoding='utf-8')",
        "path.read_text('utf-8')",
        "path.write_text(words, 'utf-8')",
        "os.open(folder, os.O_RDONLY)",
        "Image.open(file)",
        "day.strftime('%d %B')",
    ],
)
def test_it_leaves_what_is_fine(code):
    assert list(findings(code)) == []
