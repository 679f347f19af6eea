"""Append-only list of migrations with their digests: what a catalogue has gone through never changes.

A catalogue that has run a migration never runs it again: edited afterwards, it makes two kinds of catalogue
that nothing can tell apart. So a migration that is on main stays as it is, and whatever is wrong with it is
mended by a new one.

    python -m tests.house.migrations        # adds the new ones to the list
"""

import hashlib
import subprocess
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
LIST = Path(__file__).with_name("migrations.txt")
HOW_TO_ADD = "a new migration is added to tests/house/migrations.txt by: python -m tests.house.migrations"
NEVER_CHANGED = (
    "has been on main, so it must stay as it is: undo the change and write a new migration instead"
)


def on_disk() -> dict[str, str]:
    """Digest by path of every migration in the tree."""
    found = sorted(ROOT.glob("catalogue/*/migrations/[0-9]*.py"))
    return {path.relative_to(ROOT).as_posix(): digest(path.read_text(encoding="utf-8")) for path in found}


def digest(text: str) -> str:
    """SHA-256 of a migration, the same however a checkout ends its lines."""
    return hashlib.sha256(text.encode()).hexdigest()


def listed(text: str | None = None) -> dict[str, str]:
    """Digest by path as the list says; of the list in the tree, or of another state of it."""
    lines = (LIST.read_text(encoding="utf-8") if text is None else text).splitlines()
    return {path: sha256 for sha256, path in (line.split() for line in lines if line.strip())}


def complaints(there: dict[str, str], noted: dict[str, str]) -> list[str]:
    """What is amiss with the migrations `there`, by the list `noted`; a sentence each."""
    gone = [f"{path} {NEVER_CHANGED}" for path in noted if path not in there]
    changed = [f"{path} {NEVER_CHANGED}" for path in noted if path in there and there[path] != noted[path]]
    return [*gone, *changed, *(f"{path} is not listed; {HOW_TO_ADD}" for path in there if path not in noted)]


def on_main() -> dict[str, str] | None:
    """Digest by path of the migrations where this checkout left main; None where git or main is not there.

    On main itself that is its last commit: what is changed in the tree and not committed yet.
    """
    if (fork := _git("merge-base", "HEAD", "main")) is None:
        return None
    fork = fork.strip()
    names = (_git("ls-tree", "-r", "--name-only", fork, "catalogue") or "").splitlines()
    paths = [name for name in names if "/migrations/0" in name and name.endswith(".py")]
    return {path: digest(_git("show", f"{fork}:{path}") or "") for path in paths}


def _git(*words: str) -> str | None:
    try:
        run = subprocess.run(["git", *words], cwd=ROOT, capture_output=True, check=False)
    except FileNotFoundError:
        return None
    return run.stdout.decode().replace("\r\n", "\n") if run.returncode == 0 else None


def main() -> None:
    """Add to the list what it lacks; a line that is there is never altered."""
    noted, there = listed() if LIST.exists() else {}, on_disk()
    lines = sorted({**there, **noted}.items())
    LIST.write_text("".join(f"{sha256}  {path}\n" for path, sha256 in lines), encoding="utf-8")
    for path in there.keys() - noted.keys():
        print(f"added {path}")


if __name__ == "__main__":
    main()
