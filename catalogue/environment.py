"""What the machine decides: where the program and the data folder are, the secret, the port."""

import errno
import hashlib
import os
import secrets
from pathlib import Path

DATA_VARIABLE = "SILTMARK_DATA"
DEFAULT_PORT = 8737
PACKAGE = Path(__file__).resolve().parent


def resource_folder(name: str) -> Path:
    """The folder of pages (`templates`) or of styles and scripts (`static`).

    They stand beside the package in a checkout, also with `pip install -e`; a wheel carries them inside it.
    """
    carried = PACKAGE / name
    return carried if carried.is_dir() else PACKAGE.parent / name


def data_folder() -> Path:
    """The folder that holds the whole catalogue: `SILTMARK_DATA`, else `~/Siltmark`.

    Raises RuntimeError for a user without a home folder.
    """
    named = os.environ.get(DATA_VARIABLE)
    return Path(named).expanduser().resolve() if named else Path.home() / "Siltmark"


def secret_key(folder: Path) -> str:
    """The key kept in the data folder, or a throw-away one while there is no folder yet.

    A throw-away key is enough for checks and tests; `start` calls `keep_secret_key` first.
    """
    return _kept_secret(folder) or secrets.token_urlsafe(60)


def keep_secret_key(folder: Path) -> str | None:
    """Write the key once, readable by its owner alone. Raises OSError where the folder is not writable.

    It appears whole or not at all, so that a crash can't leave an empty one behind. One that can't be read as
    text is put aside: a sentence then, as nobody is signed in any more by what it signed.
    """
    kept = folder / "secret"
    if kept.is_dir():
        raise IsADirectoryError(errno.EISDIR, "its file called secret is a folder")
    if _kept_secret(folder):
        return None
    strange = kept.exists() and kept.stat().st_size > 0
    if strange:
        os.replace(kept, folder / "secret.unreadable")
    fresh = folder / "secret.new"
    fresh.unlink(missing_ok=True)
    handle = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "w", encoding="ascii") as file:
        file.write(secrets.token_urlsafe(60))
        file.flush()
        os.fsync(file.fileno())
    os.replace(fresh, kept)
    if not strange:
        return None
    return (
        "The file called secret could not be read and was put aside as secret.unreadable: everybody has to "
        "sign in anew."
    )


def _kept_secret(folder: Path) -> str | None:
    """The key in the folder; None where there is none, or something that is no text."""
    try:
        text = (folder / "secret").read_text(encoding="utf-8").strip()
    except (OSError, UnicodeDecodeError):
        return None
    return text if text.isprintable() and text else None


def cookie_mark(folder: Path) -> str:
    """A few letters that keep the cookies of two catalogues on one machine apart.

    Browsers share cookies between the ports of a host: without this, a look at the demo would sign the
    owner out of the real catalogue. All demos share theirs, so that they do not pile up.
    """
    if words_from("SILTMARK_DEMO"):
        return "demo"
    return hashlib.sha256(str(folder).encode()).hexdigest()[:8]


def port() -> int:
    """The port that `start` listens on, for addresses shown on the screen."""
    return int(os.environ.get("SILTMARK_PORT") or DEFAULT_PORT)


def words_from(variable: str) -> list[str]:
    """A comma-separated environment variable as a list without blanks."""
    return [word.strip() for word in os.environ.get(variable, "").split(",") if word.strip()]
