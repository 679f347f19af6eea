"""What the machine decides: where the program and the data folder are, the secret, the time zone."""

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
    """The folder that holds the whole catalogue: `SILTMARK_DATA`, else `~/Siltmark`."""
    named = os.environ.get(DATA_VARIABLE)
    return Path(named).expanduser().resolve() if named else Path.home() / "Siltmark"


def secret_key(folder: Path) -> str:
    """The key kept in the data folder, or a throw-away one while there is no folder yet.

    A throw-away key is enough for checks and tests; `start` calls `keep_secret_key` first.
    """
    kept = folder / "secret"
    try:
        return kept.read_text(encoding="ascii").strip() or secrets.token_urlsafe(60)
    except OSError:
        return secrets.token_urlsafe(60)


def keep_secret_key(folder: Path) -> None:
    """Write the key once, readable by its owner alone. Raises OSError where the folder is not writable.

    It appears whole or not at all, so that a crash can't leave an empty one behind.
    """
    kept = folder / "secret"
    if kept.exists() and kept.stat().st_size:
        return
    fresh = folder / "secret.new"
    fresh.unlink(missing_ok=True)
    handle = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "w", encoding="ascii") as file:
        file.write(secrets.token_urlsafe(60))
        file.flush()
        os.fsync(file.fileno())
    os.replace(fresh, kept)


def cookie_mark(folder: Path) -> str:
    """A few letters that keep the cookies of two catalogues on one machine apart.

    Browsers share cookies between the ports of a host: without this, a look at the demo would sign the
    owner out of the real catalogue. All demos share theirs, so that they do not pile up.
    """
    if words_from("SILTMARK_DEMO"):
        return "demo"
    return hashlib.sha256(str(folder).encode()).hexdigest()[:8]


def database_url() -> str:
    """The address of a database server, where one was named instead of the file in the data folder."""
    return os.environ.get("DATABASE_URL", "").strip()


def port() -> int:
    """The port that `start` listens on, for addresses shown on the screen."""
    return int(os.environ.get("SILTMARK_PORT") or DEFAULT_PORT)


def zone_name() -> str:
    """The machine's time zone as an IANA name; UTC where it does not say."""
    named = os.environ.get("TZ", "")
    if "/" in named and not named.startswith("/"):
        return named
    try:
        parts = Path("/etc/localtime").resolve().parts
    except OSError:
        return "UTC"
    if "zoneinfo" in parts:
        return "/".join(parts[parts.index("zoneinfo") + 1 :]) or "UTC"
    return "UTC"


def words_from(variable: str) -> list[str]:
    """A comma-separated environment variable as a list without blanks."""
    return [word.strip() for word in os.environ.get(variable, "").split(",") if word.strip()]
