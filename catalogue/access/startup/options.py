"""Command-line options: what may stand behind `start`."""

import argparse
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn

from catalogue.access.startup import StartRefused
from catalogue.environment import DEFAULT_PORT


@dataclass(frozen=True, slots=True)
class Options:
    """The choices of one start. `data` is None where the usual folder is meant."""

    demo: bool = False
    port: int = DEFAULT_PORT
    data: Path | None = None
    browser: bool = True
    lan: bool = False
    adopt: bool = False
    admin: bool = False


def program_name() -> str:
    """What the person types to call this program: `siltmark` where it is installed, else `manage.py`."""
    return "siltmark" if Path(sys.argv[0]).stem == "siltmark" else "manage.py"


class OneSentenceParser(argparse.ArgumentParser):
    """Says what is wrong in a sentence instead of printing the usage."""

    def error(self, message: str) -> NoReturn:
        raise StartRefused(
            f"That start is not understood ({message}): {program_name()} start --help lists what is."
        )


def port_number(text: str) -> int:
    """A port from 1 to 65535; raises StartRefused for anything else."""
    if not text.isascii() or not text.isdigit() or not 1 <= int(text) <= 65535:
        raise StartRefused(f"--port takes a whole number from 1 to 65535, not {text!r}.")
    return int(text)


def add_to(parser: argparse.ArgumentParser) -> None:
    """The arguments of `start`, for our own parser and for Django's list of commands."""
    parser.add_argument(
        "--demo", action="store_true", help="show an invented catalogue, thrown away at the end"
    )
    parser.add_argument(
        "--port", type=port_number, default=DEFAULT_PORT, metavar="N", help=f"default {DEFAULT_PORT}"
    )
    parser.add_argument(
        "--data",
        type=Path,
        metavar="DIR",
        help="folder of the catalogue (default: SILTMARK_DATA, else ~/Siltmark)",
    )
    parser.add_argument(
        "--no-browser", action="store_false", dest="browser", help="print the link, open nothing"
    )
    parser.add_argument(
        "--adopt", action="store_true", help="open a folder with a database that isn't its own, after asking"
    )
    parser.add_argument(
        "--admin", action="store_true", help="show the plain tables under /admin/, only to look at"
    )
    parser.add_argument("--lan", action="store_true", help="let phones on the same network in, once paired")


def read(words: list[str]) -> Options:
    """The options in `words` (what follows `start`); raises StartRefused, or SystemExit(0) after --help."""
    name = f"{program_name()} start"
    parser = OneSentenceParser(name, description="Open the catalogue.", allow_abbrev=False)
    add_to(parser)
    options = Options(**vars(parser.parse_args(words)))
    if options.demo and options.data:
        raise StartRefused(
            "The demo keeps to a folder of its own that is thrown away: leave out --data or --demo."
        )
    return options
