"""What the machine decides: where the data folder is, its secret, its time zone."""

import os
import secrets
from pathlib import Path

DATA_VARIABLE = "SILTMARK_DATA"


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
    """Write the key once, readable by its owner alone. Raises OSError where the folder is not writable."""
    kept = folder / "secret"
    if kept.exists():
        return
    handle = os.open(kept, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "w", encoding="ascii") as file:
        file.write(secrets.token_urlsafe(60))


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
