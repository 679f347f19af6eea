"""Styles and scripts beside carried pages: the catalogue's own files, each script in one piece.

A browser loads no module from a disk, so what a script imports is written into it.
"""

import logging
import re
from collections.abc import Iterable
from pathlib import Path

from catalogue import environment
from catalogue.exchange.backup.running import WorkRefused

log = logging.getLogger("siltmark.public_pages")

_IMPORT = re.compile(r"""^import \{([^}]*)\} from ["'](\.[^"']+)["'];$""", re.MULTILINE)
_EXPORT = re.compile(r"^export (?=(?:async )?(?:function|class|const|let) ([A-Za-z_$][\w$]*))", re.MULTILINE)
_STATIC = re.compile(r"""\{%-? static ["']([^"']+)["'] -?%\}""")
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


def carried_assets(templates: Iterable[str]) -> dict[str, bytes]:
    """Every file that these templates and their style sheets ask for, by name, as it is carried.

    `templates`: folders of them, or single ones. Read before the first page is made: raises WorkRefused where
    one can't be read, and nothing has been sent or written then.
    """
    folder = Path(environment.resource_folder("templates"))
    try:
        texts = [
            file.read_text(encoding="utf-8")
            for place in (folder / name for name in templates)
            for file in (place.glob("*.html") if place.is_dir() else [place])
        ]
        asked = {name for text in texts for name in _STATIC.findall(text)}
        asked |= {more for name in asked if name.endswith(".css") for more in asked_by_sheet(name)}
        return {name: carried_asset(name) for name in asked}
    except OSError as error:
        missing = Path(str(error.filename)).name
        log.error("no pages can be made: %s (%s)", missing, error.strerror)
        raise WorkRefused(
            f"No pages were made: {missing}, a file of the program itself, can't be read ({error.strerror}). "
            "Install the program anew, then make them again."
        ) from error


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
