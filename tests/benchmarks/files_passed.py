"""How many files of the program one request passes: what somebody who follows it has to open.

``python -m tests.benchmarks files_passed``: fills a throw-away folder with the demo, asks for each page
twice and counts, while the third request is answered, the files below ``catalogue/`` and ``dating/`` in which
a function ran. ``python -m tests.benchmarks files_passed --names 1`` prints which.

Beside it stand the lines of the functions that ran, and of the files that they stand in, and how many files
of 300 lines, the most that a file may have, each would fill: nothing but fewer lines goes below the first
(the floor), and below the second only what parts the functions that ran from their neighbours.
"""

import io
import math
import os
import sys
import tempfile
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import CodeType, FrameType
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
PRODUCT = tuple(f"{ROOT / top}{os.sep}" for top in ("catalogue", "dating"))
MOST_LINES = 300  # of a file, by the rule of the house


class Passed:
    """The product's files in which a function was called, each with the numbers of these functions' lines."""

    def __init__(self) -> None:
        self._lines: dict[str, set[int]] = {}
        self._noted: set[CodeType] = set()

    def note(self, code: CodeType) -> None:
        """A function was called; it has the lines from its first to the last that has an instruction."""
        if code in self._noted or not code.co_filename.startswith(PRODUCT):
            return
        self._noted.add(code)
        last = max(line for *_, line in code.co_lines() if line is not None)
        self._lines.setdefault(code.co_filename, set()).update(range(code.co_firstlineno, last + 1))

    @property
    def names(self) -> list[str]:
        """The files, as the repository calls them."""
        return sorted(os.path.relpath(name, ROOT) for name in self._lines)

    @property
    def lines_of_functions(self) -> int:
        """Of the functions that were called."""
        return sum(map(len, self._lines.values()))

    @property
    def lines_of_files(self) -> int:
        """Of the whole files that they stand in."""
        return sum(len(Path(name).read_text(encoding="utf-8").splitlines()) for name in self._lines)


def full_files(lines: int) -> int:
    """How many files so many lines fill."""
    return math.ceil(lines / MOST_LINES)


@contextmanager
def passed() -> Iterator[Passed]:
    """What was called meanwhile, in any thread begun meanwhile."""
    found = Passed()

    def note(frame: FrameType, event: str, arg: object) -> None:
        if event == "call":
            found.note(frame.f_code)

    threading.setprofile(note)
    sys.setprofile(note)
    try:
        yield found
    finally:
        sys.setprofile(None)
        threading.setprofile(None)


def picture(seed: int) -> io.BytesIO:
    """A small photograph that no other is equal to."""
    from PIL import Image

    data = io.BytesIO()
    Image.effect_noise((1200, 900), 40 + seed).convert("RGB").save(data, "JPEG")
    data.seek(0)
    data.name = f"IMG_{seed}.jpg"
    return data


def requests(client: Any) -> dict[str, Callable[[int], Any]]:
    """What is asked for; each is given a number so that nothing is sent twice."""
    from catalogue.specimens.models import Specimen
    from tests.pages.finds.form.record_form import filled, reading

    find = Specimen.objects.exclude(made_from=None).filter(readings__isnull=False).order_by("pk")[0]
    town = Specimen.objects.exclude(town=None)[0].town_id
    mark = {"letters": "T&H", "frame": "hexagon", "right": "46"}
    live = filled(readings=[reading(**mark)])
    return {
        "a reading live, on the form": lambda n: client.post("/finds/dating/", live, HTTP_HX_REQUEST="true"),
        "a reading live, on /makers/read/": lambda n: client.get(
            "/makers/read/", {"text": "T&H 46"}, HTTP_HX_REQUEST="true"
        ),
        "a reading kept": lambda n: client.post(
            "/finds/new/", filled(readings=[reading(**mark)], notes=f"number {n}")
        ),
        "a find's page": lambda n: client.get(f"/finds/{find.number}/"),
        "a filter click": lambda n: client.get("/finds/", {"town": town}, HTTP_HX_REQUEST="true"),
        "an upload": lambda n: client.post(f"/photos/add/?find={find.pk}", {"pictures": picture(n)}),
    }


def main(names: int = 0) -> None:
    """Count and print."""
    with tempfile.TemporaryDirectory(prefix="siltmark-passed-") as folder:
        os.environ["SILTMARK_DATA"] = folder
        os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")
        import django

        django.setup()
        from django.core.management import call_command
        from django.test import Client

        from catalogue.access.services import the_owner

        call_command("migrate", verbosity=0)
        from demo_fixtures.load import fill

        fill()
        client = Client(SERVER_NAME="127.0.0.1", raise_request_exception=True)
        client.force_login(the_owner())
        print("files  floor  full   lines of functions, of files")
        for what, ask in requests(client).items():
            ask(1)
            ask(2)
            with passed() as found:
                answer = ask(3)
            assert answer.status_code in (200, 201, 302), f"{what}: {answer.status_code}"
            ran, whole = found.lines_of_functions, found.lines_of_files
            counted = f"{len(found.names):5}  {full_files(ran):5}  {full_files(whole):4}"
            print(f"{counted}   {ran:5} {whole:6}  {what}")
            if names:
                print(*(f"        {name}" for name in found.names), sep="\n")
