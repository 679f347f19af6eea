"""The time zone as an IANA name, also where `TZ` tells it in POSIX form or there is only the zone's file."""

import os
import re
import zoneinfo
from pathlib import Path

ANY_ZONE = "UTC"
LOCAL_FILE = Path("/etc/localtime")
# A name, how far west of Greenwich in hours, and perhaps summer time with its rule (POSIX, "TZ").
POSIX = re.compile(r"(?:[A-Za-z]{3,}|<[A-Za-z0-9+-]{3,}>)(?P<west>[+-]?\d{1,2})(?P<rest>.*)", re.DOTALL)


def zone_name() -> str:
    """What `TZ` says, where that is known; else the machine's own zone; UTC where it does not say."""
    return _of_variable() or _of_machine() or ANY_ZONE


def unknown_zone() -> str | None:
    """A sentence where `TZ` says something that is no time zone here, so that another is used."""
    said = os.environ.get("TZ", "")
    if not said or _of_variable():
        return None
    return (
        f"TZ is set to {said!r}, which is no time zone that is known here: times are those of {zone_name()}."
    )


def is_known(name: str) -> bool:
    """Whether there are rules of that zone, also where Django looks for them."""
    try:
        zoneinfo.ZoneInfo(name)
    except (KeyError, OSError, ValueError):
        # not there, a folder of zones, or a path that leads out of it
        return False
    shared = Path("/usr/share/zoneinfo")
    return not shared.exists() or shared.joinpath(*name.split("/")).exists()


def _of_variable() -> str | None:
    said = os.environ.get("TZ", "").removeprefix(":")
    if not said:
        return None
    name = said.rpartition("zoneinfo/")[2]
    if is_known(name):
        return name
    posix = POSIX.fullmatch(said)
    if posix is None:
        return None
    if not posix["rest"]:
        # The names of these zones count hours to the west, as POSIX does.
        fixed = f"Etc/GMT{int(posix['west']):+d}"
        return fixed if is_known(fixed) else None
    return _with_footer(said)


def _of_machine() -> str | None:
    try:
        name = LOCAL_FILE.resolve().as_posix().partition("zoneinfo/")[2]
        return name if name and is_known(name) else _with_footer(_footer(LOCAL_FILE))
    except OSError:
        return None


def _with_footer(rule: str) -> str | None:
    """The first zone of which the POSIX rule holds today; a rule may leave out when summer begins."""
    if not rule:
        return None
    for name in sorted(zoneinfo.available_timezones()):
        for folder in zoneinfo.TZPATH:
            file = Path(folder, name)
            if file.is_file() and (found := _footer(file)) and f"{found},".startswith(f"{rule},"):
                return name
    return None


def _footer(file: Path) -> str:
    """The POSIX rule at the end of a zone's file (RFC 9636): what holds from its last change on."""
    return file.read_bytes().rstrip(b"\n").rpartition(b"\n")[2].decode("ascii", "replace")
