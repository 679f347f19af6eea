"""Styles and scripts beside carried pages: the catalogue's own files, each script in one piece.

A browser loads no module from a disk, so what a script imports is written into it.
"""

import re
from pathlib import Path

from catalogue import environment

_IMPORT = re.compile(r"""^import \{([^}]*)\} from ["'](\.[^"']+)["'];$""", re.MULTILINE)
_EXPORT = re.compile(r"^export (?=(?:async )?(?:function|class|const|let) ([A-Za-z_$][\w$]*))", re.MULTILINE)
_URL = re.compile(r"""url\("([^"]+)"\)""")


def static_file(name: str) -> Path:
    """Where the static file of that name lies."""
    return Path(environment.resource_folder("static")) / name


def carried_asset(name: str) -> bytes:
    """What stands in the carried file of that name. Raises OSError."""
    place = static_file(name)
    if place.suffix == ".js":
        return f'"use strict";\n(() => {{\n{plain_script(place)}\n}})();\n'.encode()
    return place.read_bytes()


def asked_by_sheet(name: str) -> list[str]:
    """Names of the files that a style sheet asks for."""
    place = static_file(name)
    folder = name.rpartition("/")[0]
    return [f"{folder}/{url}" for url in _URL.findall(place.read_text(encoding="utf-8"))]


def plain_script(place: Path) -> str:
    """A module as a script without imports or exports: each imported module in a scope of its own."""
    text = place.read_text(encoding="utf-8")

    def taken(match: re.Match[str]) -> str:
        source = (place.parent / match[2]).resolve()
        exported = _EXPORT.findall(source.read_text(encoding="utf-8"))
        within = plain_script(source)
        return f"const {{{match[1]}}} = (() => {{\n{within}\nreturn {{ {', '.join(exported)} }};\n}})();"

    return _EXPORT.sub("", _IMPORT.sub(taken, text))
