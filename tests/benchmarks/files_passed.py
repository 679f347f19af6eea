"""How many files of the program one request passes: what somebody who follows it has to open.

``python -m tests.benchmarks files_passed``: fills a throw-away folder with the demo, asks for each page
twice and counts, while the third request is answered, the files below ``catalogue/`` and ``dating/`` in which
a function ran. ``python -m tests.benchmarks files_passed --names 1`` prints which.
"""

import io
import os
import sys
import tempfile
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import FrameType
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
PRODUCT = tuple(f"{ROOT / top}{os.sep}" for top in ("catalogue", "dating"))


@contextmanager
def passed() -> Iterator[set[str]]:
    """The product's files in which a Python function was called meanwhile, in any thread begun meanwhile."""
    files: set[str] = set()

    def note(frame: FrameType, event: str, arg: object) -> None:
        if event == "call" and frame.f_code.co_filename.startswith(PRODUCT):
            files.add(os.path.relpath(frame.f_code.co_filename, ROOT))

    threading.setprofile(note)
    sys.setprofile(note)
    try:
        yield files
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
        for what, ask in requests(client).items():
            ask(1)
            ask(2)
            with passed() as files:
                answer = ask(3)
            assert answer.status_code in (200, 201, 302), f"{what}: {answer.status_code}"
            print(f"{len(files):4}  {what}")
            if names:
                print(*(f"        {name}" for name in sorted(files)), sep="\n")
